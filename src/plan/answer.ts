/** What a report comes to: the answer in a sentence or two, one table, and what is doubtful about it. Pure. */
import type { Life } from '../life/types.ts'
import { statedPreset } from '../measured/fit/curvePreset.ts'
import { againstWords, type Beside, besideOf, dropName, type OwnLives } from '../measured/fit/ownDrop.ts'
import { type Fall, fallOf, type Peak, peakOf } from '../measured/landmarks.ts'
import type { MeasuredCurve } from '../measured/types.ts'
import { usedPoints } from '../measured/usable.ts'
import { chiSquaredTail } from '../numerics/chance.ts'
import { figure, withError } from './figures.ts'
import { reachAbout } from './reach.ts'
import { type LifeUncertainty, resultTable } from './reportTables.ts'
import type { SureBand } from './sureness.ts'
import { type Cell, type Column, column, type Table } from './table.ts'

export interface Answer {
  /** Sentences, the most important first; never empty. */
  sentences: string[]
  table: Table
  doubts: string[]
}

export interface AnswerInput {
  life: Life
  /** The life in a sentence. */
  sentence: string
  curves: readonly MeasuredCurve[]
  lives: OwnLives
  error: LifeUncertainty
  band: SureBand | null
}

/** Radius of the collapse relative to the largest, for measured and simulated alike. */
export const COLLAPSE_LEVEL = 0.3
/** Most rows of the table; the appendix has all series. */
const MOST_ROWS = 12
/** Chance of a larger χ² below which a difference is more than the uncertainties explain. Common practice, no source. */
const UNLIKELY = 0.01

interface Compared {
  curve: MeasuredCurve
  beside: Beside | null
  peak: Peak | null
  fall: Fall | null
  /** Largest radius and collapse of the life that the curve is compared with, m and s; NaN where there is none. */
  life: { radius: number; collapse: number }
  /** Chance of a larger χ² by chance alone, if all errors were independent; NaN without uncertainties. */
  chance: number
}

/** Time at which a course falls below a part of its largest radius, s; NaN if it does not. */
export function fallsBelow(t: ArrayLike<number>, R: ArrayLike<number>, part: number): number {
  let top = 0
  for (let i = 1; i < R.length; i++) if (R[i]! > R[top]!) top = i
  const level = part * R[top]!
  for (let i = top + 1; i < R.length; i++) {
    if (R[i]! > level) continue
    const share = (R[i - 1]! - level) / (R[i - 1]! - R[i]!)
    return t[i - 1]! + share * (t[i]! - t[i - 1]!)
  }
  return Number.NaN
}

/** The course that a curve is compared with; null while it is not there. */
export function courseBeside(
  curve: MeasuredCurve,
  { life, lives }: Pick<AnswerInput, 'life' | 'lives'>,
): { t: Float64Array; R: Float64Array } | null {
  const beside = besideOf(curve, life, lives)
  if (beside?.state !== 'there') return null
  if (!beside.own) return life.series
  const made = statedPreset(life.preset, curve.meta)
  return made.ok ? (lives.get(dropName(made.preset)) ?? null) : null
}

function comparedOf(curve: MeasuredCurve, input: AnswerInput): Compared {
  const beside = besideOf(curve, input.life, input.lives)
  const course = courseBeside(curve, input)
  const c = beside?.compared
  return {
    curve,
    beside,
    peak: peakOf(curve),
    fall: fallOf(curve, COLLAPSE_LEVEL),
    life: {
      radius: course ? course.R.reduce((most, r) => Math.max(most, r), 0) : Number.NaN,
      collapse: course ? fallsBelow(course.t, course.R, COLLAPSE_LEVEL) : Number.NaN,
    },
    chance: c && c.weighted > 0 ? chiSquaredTail(c.chiSquared, c.weighted) : Number.NaN,
  }
}

const COMPARED: readonly Column[] = [
  column('series', 'Series'),
  column('compared_with', 'compared with'),
  column('points', 'points'),
  column('R_max_measured_mm', 'largest R measured', 'mm'),
  column('R_max_simulated_mm', 'simulated', 'mm'),
  column('collapse_measured_s', 'collapse measured', 's'),
  column('collapse_simulated_s', 'simulated', 's'),
  column('rms_mm', 'r.m.s. difference', 'mm'),
  column('chi_squared_per_point', 'χ² per point'),
]

const pair = (value: number, error: number): Cell =>
  Number.isFinite(value) ? { value, text: withError(value, error, '') } : Number.NaN

function rowOf({ curve, beside, peak, fall, life }: Compared): Cell[] {
  const c = beside?.compared
  return [
    curve.name,
    againstWords(beside) || '–',
    String(usedPoints(curve).time.length),
    pair(1e3 * (peak?.radius ?? Number.NaN), 1e3 * (peak?.radiusError ?? Number.NaN)),
    1e3 * life.radius,
    pair(fall?.time ?? Number.NaN, fall?.timeError ?? Number.NaN),
    life.collapse,
    1e3 * (c?.rms ?? Number.NaN),
    c && c.weighted > 0 ? c.chiSquared / c.weighted : Number.NaN,
  ]
}

function sentenceOf({ curve, beside, peak, life, chance }: Compared): string {
  if (!peak) return `${curve.name}: no radius above 0 is measured.`
  const measured = withError(1e3 * peak.radius, 1e3 * peak.radiusError, 'mm')
  const own = beside?.own ? `, of ${beside.drop},` : ''
  if (!beside?.compared || beside.compared.used === 0)
    return `${curve.name}: the largest measured radius is ${measured}; ${againstWords(beside) || 'no life to compare it with is there'}.`
  const { rms, bias } = beside.compared
  const side = bias > 0 ? 'wider' : 'narrower'
  const judged = Number.isNaN(chance)
    ? 'no uncertainties are given, so that it cannot be said whether that is much'
    : chance < UNLIKELY
      ? 'more than the stated uncertainties explain'
      : 'no more than the stated uncertainties explain'
  return `${curve.name}: the largest measured radius is ${measured}, that of the simulated life${own} ${figure(1e3 * life.radius)} mm; the radii differ by ${figure(1e3 * rms, 2)} mm (r.m.s.), measured on average ${figure(1e3 * Math.abs(bias), 2)} mm ${side}: ${judged}.`
}

function sentenceOfMany(all: readonly Compared[]): string {
  const judged = all.filter(({ chance }) => Number.isFinite(chance))
  const agree = judged.filter(({ chance }) => chance >= UNLIKELY)
  const rms = all.map(({ beside }) => 1e3 * (beside?.compared?.rms ?? Number.NaN)).filter(Number.isFinite)
  const span =
    rms.length > 0
      ? `measured and simulated radii differ by ${figure(Math.min(...rms), 2)} to ${figure(Math.max(...rms), 2)} mm (r.m.s.)`
      : 'none of them can be compared with a life yet'
  const one = agree.length < 2
  const count = agree.length === 0 ? 'none' : agree.length === judged.length ? 'all' : String(agree.length)
  const verdict =
    judged.length > 0
      ? `; ${count} of the ${judged.length} with uncertainties ${one ? 'agrees' : 'agree'} with the simulated life of ${one ? 'its' : 'their'} drop within these`
      : '; none gives uncertainties'
  return `${all.length} measured series: ${span}${verdict}.`
}

const named = (curves: readonly Compared[]): string => curves.map(({ curve }) => curve.name).join(', ')

function doubtsOf(all: readonly Compared[], { life, error, band }: AnswerInput): string[] {
  const reach = band && reachAbout(band.reach.maxRadius, life.summary.maxRadius)
  const bare = all.filter(({ chance, beside }) => Number.isNaN(chance) && beside?.compared)
  const unscaled = all.filter(
    ({ curve }) =>
      curve.meta.sigma?.radiusScale === undefined && !curve.shared?.some(({ cause }) => cause === 'scale'),
  )
  const lone = all.filter(({ peak }) => peak && peak.from !== 'local')
  const remarks = all.flatMap(({ curve, beside }) =>
    beside?.remark ? [`${curve.name}: ${beside.remark.replace(/\.$/, '')}.`] : [],
  )
  const aside = all.flatMap(({ curve }) => {
    const count = curve.time.length - usedPoints(curve).time.length
    return count > 0 ? [`${curve.name}: ${count} ${count === 1 ? 'point' : 'points'} set aside by hand.`] : []
  })
  return [
    ...(reach && reach.high > reach.low
      ? [
          `With the uncertain inputs drawn from their widths, the simulated largest radius lies between ${figure(1e3 * reach.low)} and ${figure(1e3 * reach.high)} mm in 68 of 100 drops.`,
        ]
      : []),
    ...(error.radius > 0
      ? [`The calculation itself adds ± ${figure(1e3 * error.radius, 2)} mm to the simulated largest radius.`]
      : []),
    ...(bare.length > 0 ? [`No uncertainties of the radii are given: ${named(bare)}.`] : []),
    ...(unscaled.length > 0
      ? [
          `How well the scale is known is not stated: ${named(unscaled)}. A scale that is wrong by 5 % makes all its radii wrong by 5 %, and no figure here shows it.`,
        ]
      : []),
    ...(lone.length > 0
      ? [
          `The largest radius is that of single or outermost points, since the points show no top: ${named(lone)}.`,
        ]
      : []),
    ...remarks,
    ...aside,
    ...life.facts.warnings,
  ]
}

/** Rows of the life alone that belong on the first page. */
const LIFE_ROWS = 6

/** The result of a report about a whole life and the measured curves that are shown. */
export function answerOf(input: AnswerInput): Answer {
  const { life, sentence, curves, error, band } = input
  const all = curves.map((curve) => comparedOf(curve, input))
  const doubts = doubtsOf(all, input)
  if (all.length === 0) {
    const whole = resultTable(life, error, band)
    return { sentences: [sentence], table: { ...whole, rows: whole.rows.slice(0, LIFE_ROWS) }, doubts }
  }
  const table = {
    title: 'Measured and simulated',
    columns: COMPARED,
    rows: all.slice(0, MOST_ROWS).map(rowOf),
  }
  const more = all.length - MOST_ROWS
  const left = more > 0 ? [`${more} more series are in the appendix only.`] : []
  const first = all.length === 1 ? sentenceOf(all[0]!) : sentenceOfMany(all)
  return { sentences: [first, `Simulated: ${sentence}`], table, doubts: [...left, ...doubts] }
}
