/** Why a rim forms, told with the numbers of one life: steps with a moment, a place and a small curve. Pure. */
import { drawnToPoint } from '../../life/mechanisms.ts'
import { seriesAt } from '../../life/sample.ts'
import { alcoholShares } from '../../life/shares.ts'
import type { Life } from '../../life/types.ts'
import {
  cellValue,
  createFields,
  type Fields,
  locate,
  moveTo,
  pullsAt,
  surfaceSpeedAt,
} from '../../life/view.ts'
import {
  type BeadFacts,
  bandWords,
  basisWords,
  beadFacts,
  type CalculatedBeads,
  tensionWords,
} from '../../plan/beads.ts'
import { count, duration, length, plain } from '../format.ts'
import { beadNumbers, beadsAtLargest } from '../sentence/beads.ts'
import { leftOver } from '../sentence/sentence.ts'

/** A small curve over r/R (0–1). */
export interface Spark {
  /** What and in which unit. */
  label: string
  values: number[]
  logarithmic: boolean
}

export interface RimStep {
  title: string
  text: string
  /** Moment, s, and place, m, that it speaks of. */
  time: number
  radius: number
  spark: Spark
}

const points = 61
const places = Array.from({ length: points }, (_, i) => i / (points - 1))

/** Radius relative to the edge at which the steps look at the outer film. */
const outer = 0.9

const milli = (value: number, digits = 3): string => plain(1e3 * value, digits)

/** A curve of the fields, kept off the very edge where the profile ends. */
function spark(fields: Fields, label: string, of: (r: number) => number, logarithmic = false): Spark {
  return { label, logarithmic, values: places.map((s) => of(Math.min(s, 0.999) * fields.R)) }
}

/** What is needed of one moment. */
class Look {
  readonly fields = createFields()
  constructor(
    readonly life: Life,
    readonly time: number,
  ) {
    moveTo(this.fields, life.frames, life.preset.bath.dishRadius_mm * 1e-3, time)
  }
  at = (field: 'h' | 'phi' | 'sigma', s: number): number => cellValue(this.fields, field, s * this.fields.R)
  speed = (s: number): number => surfaceSpeedAt(this.fields, s * this.fields.R)
  get R(): number {
    return this.fields.R
  }
}

function pulling({ facts }: Life, look: Look): RimStep {
  const { gammaO, gammaA0, gammaI0, S0 } = facts
  const sum = `${milli(gammaO)} − ${milli(gammaA0)} − ${milli(gammaI0)} = ${milli(S0, 2)} mN/m`
  return {
    title: 'The oil pulls harder than the two faces of the drop',
    text: `Oil against air pulls outward, the drop's upper and lower face pull inward: ${sum}. The difference, ${milli(S0, 2)} mN/m, pulls the edge outward.`,
    time: look.time,
    radius: look.R,
    spark: spark(look.fields, 'thickness, µm, log', (r) => 1e6 * cellValue(look.fields, 'h', r), true),
  }
}

function carried({ preset }: Life, look: Look): RimStep {
  const holds = preset.mechanisms.bathDrag ? 'the drag of the oil sets' : 'what drag is left in the oil sets'
  return {
    title: 'A thin film rides on the oil',
    text: `After ${duration(look.time)} the middle is ${length(look.at('h', 0), 2)} thick, the film at 90 % of the way to the edge ${length(look.at('h', outer), 2)}. It runs out at ${milli(look.speed(outer), 2)} mm/s and takes the oil under it along; ${holds} the pace.`,
    time: look.time,
    radius: outer * look.R,
    spark: spark(look.fields, 'speed of the film, mm/s', (r) => 1e3 * surfaceSpeedAt(look.fields, r)),
  }
}

/** Whether the outer film has lost alcohol that can be told from the middle's. */
const faded = (look: Look): boolean => look.at('phi', outer) < 0.97 * look.at('phi', 0)

/** Where the alcohol has gone until a moment. */
function whereTo(life: Life, time: number): string {
  const shares = alcoholShares(life.series, locate(life.series.t, life.series.t.length, time).row)
  if (!shares) return ''
  const part = (share: number) => `${plain(100 * share, 2)} %`
  const air = shares.air > 0 ? `${part(shares.air)} of the alcohol has gone into the air` : ''
  const oil = shares.oil > 0 ? `${part(shares.oil)}${air ? '' : ' of the alcohol has gone'} into the oil` : ''
  return `Until then ${[air, oil].filter(Boolean).join(' and ')}.`
}

function weaker(life: Life, look: Look): RimStep {
  const { facts } = life
  const [mid, out] = [look.at('phi', 0), look.at('phi', outer)]
  const ratio = look.at('h', 0) / look.at('h', outer)
  const both = `${plain(100 * mid, 2)} % by volume in the middle, ${plain(100 * out, 2)} % at 90 % of the way to the edge`
  const drinks = (life.series.inOil.at(-1) ?? 0) > 0
  const even = facts.startFlux > 0 || drinks ? 'So far little has left' : 'Nothing evaporates here'
  return {
    title: faded(look) ? 'The thin part loses its alcohol first' : 'The thin part keeps its alcohol',
    text: faded(look)
      ? `Alcohol leaves about as fast from every patch, but the outer film is ${plain(ratio, 2)} times thinner than the middle and runs out of it first: ${both}. ${whereTo(life, look.time)}`
      : `${even}: ${both}.`,
    time: look.time,
    radius: outer * look.R,
    spark: spark(look.fields, 'alcohol, % by volume', (r) => 100 * cellValue(look.fields, 'phi', r)),
  }
}

/** Whether neither face's tension depends on the alcohol. */
const evenFaces = ({ preset: { mechanisms } }: Life): boolean =>
  !mechanisms.tensionAbove && !mechanisms.tensionBelow

function tenser(life: Life, look: Look): RimStep {
  const [mid, out] = [look.at('sigma', 0), look.at('sigma', outer)]
  if (evenFaces(life)) {
    return {
      title: 'The tension does not follow the alcohol',
      text: `Both faces keep the tension that they had at touch-down: the film passes ${milli(mid)} mN/m to the oil in the middle and ${milli(out)} mN/m at 90 % of the way to the edge.`,
      time: look.time,
      radius: outer * look.R,
      spark: spark(look.fields, 'tension, mN/m', (r) => 1e3 * cellValue(look.fields, 'sigma', r)),
    }
  }
  const from = `from ${milli(mid)} mN/m in the middle to ${milli(out)} mN/m at 90 % of the way to the edge`
  return {
    title: faded(look) ? 'Less alcohol, more tension' : 'The tension rises only where the film is too thin',
    text: faded(look)
      ? `The tension that the film passes to the oil grows ${from}.`
      : `The alcohol is even all over. What rise there is, ${from}, is there because the film is too thin to pull fully.`,
    time: look.time,
    radius: outer * look.R,
    spark: spark(look.fields, 'tension, mN/m', (r) => 1e3 * cellValue(look.fields, 'sigma', r)),
  }
}

/** A pull over the whole radius that is less than this part of the pull at touch-down hardly matters. */
const SLIGHT = 0.02

function drawn({ facts }: Life, look: Look): RimStep {
  const { above, below } = pullsAt(look.fields, outer * look.R)
  const pull = (above + below) * look.R
  const title =
    pull > SLIGHT * Math.abs(facts.S0)
      ? 'The slope of the tension draws the film outward'
      : pull < -SLIGHT * Math.abs(facts.S0)
        ? 'The slope of the tension draws the film inward'
        : 'The tension has hardly a slope that would draw the film'
  return {
    title,
    text: `At 90 % of the way to the edge the upper face pulls with ${plain(above, 2)} Pa and the lower face with ${plain(below, 2)} Pa (outward counts positive), together ${plain(above + below, 2)} Pa; the oil resists with as much. This pull acts even when the edge stands still.`,
    time: look.time,
    radius: outer * look.R,
    spark: spark(look.fields, 'pull of both faces, Pa', (r) => {
      const pulls = pullsAt(look.fields, Math.min(r, 0.97 * look.R))
      return pulls.above + pulls.below
    }),
  }
}

function arrested(life: Life, look: Look): RimStep {
  const { U, edgePull } = look.fields
  const film = look.speed(outer)
  const faster = film > 1.3 * Math.abs(U) + 1e-5
  const left =
    edgePull >= 0
      ? `${milli(edgePull, 2)} mN/m are left`
      : `nothing is left; the edge by now pulls inward with ${milli(-edgePull, 2)} mN/m`
  const speeds = `At ${duration(look.time)} the film comes at ${milli(film, 2)} mm/s while the edge moves at ${milli(U, 2)} mm/s`
  return {
    title: faster ? 'The edge comes to rest, the film behind it does not' : 'Film and edge keep step',
    text: `Of the pull that drew the edge out (${milli(life.facts.S0, 2)} mN/m at touch-down) ${left}. ${speeds}. ${faster ? 'More arrives at the edge than the edge moves on.' : 'Little piles up.'}`,
    time: look.time,
    radius: outer * look.R,
    spark: spark(look.fields, 'speed of the film, mm/s', (r) => 1e3 * surfaceSpeedAt(look.fields, r)),
  }
}

function piled(life: Life, look: Look): RimStep {
  const { ringHeight, ringRadius, thin, thinRadius } = seriesAt(life.series, look.time)
  const there = ringHeight > 0 && thin > 0
  const text = there
    ? `What arrives piles up: a rim ${length(ringHeight, 2)} high at ${length(ringRadius)}. Behind it the film is stretched to a thin spot of ${length(thin, 2)} at ${length(thinRadius)}.`
    : 'The film thins evenly toward the edge; nothing is there that would pile it up.'
  return {
    title: there ? 'A rim, and a thin spot behind it' : 'No rim',
    text,
    time: look.time,
    radius: there ? ringRadius : look.R,
    spark: spark(look.fields, 'thickness, µm, log', (r) => 1e6 * cellValue(look.fields, 'h', r), true),
  }
}

/** Radius of the edge over the whole life, 0 to its end. */
function radiusSpark(life: Life): Spark {
  const end = life.series.t.at(-1) ?? 0
  return {
    label: 'radius, mm, over the whole life',
    values: places.map((s) => 1e3 * seriesAt(life.series, s * end).R),
    logarithmic: false,
  }
}

/** Why a life is not told as that of a rim. */
export function noRimWords({ facts, summary }: Life): string {
  if (summary.outcome === 'failed')
    return 'The calculation did not come to an end, so nothing is told of a rim.'
  if (facts.S0 >= 0) return 'This drop forms no rim.'
  return Number.isNaN(facts.criticalMassFraction)
    ? 'This drop forms no rim: no strength of this alcohol spreads on this oil.'
    : 'This drop forms no rim; a stronger mixture would.'
}

/** How far the beads move the edge over the whole life, 0 to its end, as the life's own estimate has it. */
function waveSpark(life: Life): Spark {
  const end = life.series.t.at(-1) ?? 0
  return {
    label: 'waves of the edge, µm, over the whole life (quick estimate)',
    values: places.map((s) => 1e6 * seriesAt(life.series, s * end).beadAmplitude),
    logarithmic: false,
  }
}

const WHY_BEADS =
  'A rim is a long strip of liquid that floats on the oil. Where it is narrow its surface is curved more tightly, so the pressure is higher there and drives liquid into the wide places (Plateau–Rayleigh instability). The oil has to be moved aside, and its drag sets the pace.'

function howBeads(facts: BeadFacts): string {
  if (facts.by === 'life') return `This drop: ${beadNumbers(facts)} (a quick estimate).`
  const band = bandWords(facts)
  const more = `(${basisWords(facts)}${band && `; ${band}`})`
  return facts.verdict === 'late'
    ? `On this drop the waves stay lower than the rim until it is largest${facts.atLargest ? `: ${beadsAtLargest(facts, ' beads')}` : ''} ${more}.`
    : `On this drop bulges are as high as the rim from ${duration(facts.from)} on: ${beadNumbers(facts)} ${more}.`
}

/** Null where nothing is known, or where there is no rim that could bead. */
function beading(life: Life, look: Look, facts: BeadFacts | null): RimStep | null {
  const { ringHeight, ringRadius } = seriesAt(life.series, look.time)
  if (!facts || !(ringHeight > 0)) return null
  const told: Record<BeadFacts['verdict'], [string, string]> = {
    beads: ['The rim beads', `${WHY_BEADS} ${howBeads(facts)}`],
    late: ['The rim begins to bead', `${WHY_BEADS} ${howBeads(facts)}`],
    depends: ['The rim may bead', `${WHY_BEADS} Whether this rim beads ${tensionWords}.`],
    none: [
      'The rim stays even',
      'Waves on this rim are not expected to grow enough to be seen before the drop is largest.',
    ],
  }
  const [title, text] = told[facts.verdict]
  return { title, text, time: look.time, radius: ringRadius, spark: waveSpark(life) }
}

function ending(life: Life, look: Look): RimStep {
  const { summary } = life
  const { childDrops, outcome } = summary
  const sheds = childDrops.count > 0
  const end = duration(summary.lifeEnd)
  const drawnBack =
    summary.collapseTime > 0
      ? `The film, weak by now, is drawn together again: collapse at ${duration(summary.collapseTime)}.`
      : `The film, weak by now, is drawn together again; after ${end} it is still going on.`
  const endings: Partial<Record<typeof outcome, string>> = {
    recedes: drawnBack,
    spreads: `The calculation ends after ${end}; the drop is still spread. What comes then is not known.`,
    'reaches-wall': `The drop reaches the wall of the dish after ${end}.`,
    dries: `The film dries where it lies, by ${end}.`,
  }
  const after = endings[outcome] ?? `It is followed to ${end}.`
  const title = outcome === 'recedes' ? 'The drop draws back' : 'The end'
  return {
    title: sheds ? 'The rim breaks up' : title,
    text: sheds
      ? `The necks give way and each bead becomes a drop. By the quick estimate that runs with the life the first leave at ${duration(summary.firstBreakUp)}, and there are ${count(childDrops.count)} child drops in all, half of their volume below ${length(childDrops.medianRadius, 2)} radius. What is left of the drop ${leftOver(life)}.`
      : after,
    time: look.time,
    radius: look.R,
    spark: radiusSpark(life),
  }
}

/**
 * The steps of a whole life; of a lens only the first. Empty while nothing is known.
 * @param fingers the full calculation of the beads, once it is there
 */
export function rimSteps(life: Life, fingers: CalculatedBeads | null = null): RimStep[] {
  if (life.status === 'growing' || life.frames.count < 3) return []
  const { outcome, maxRadiusTime, lifeEnd } = life.summary
  const end = Math.min(lifeEnd, life.series.t.at(-1) ?? 0)
  if (outcome === 'lens' || outcome === 'failed') {
    const step = pulling(life, new Look(life, end))
    if (life.facts.S0 >= 0) return [step]
    const text = step.text.replace(
      /The difference, .*$/,
      drawnToPoint(life)
        ? 'Nothing is left to pull the edge outward, and nothing levels the drop: it is drawn together to a point.'
        : 'Nothing is left to pull the edge outward: the drop stays a lens.',
    )
    return [{ ...step, title: 'The oil does not pull hard enough', text }]
  }
  const peak = Math.max(1e-3, Math.min(maxRadiusTime, end))
  const at = (part: number) => new Look(life, Math.min(end, part * peak))
  const beads = beading(life, at(1.15), beadFacts(life, fingers))
  return [
    pulling(life, at(0.02)),
    carried(life, at(0.15)),
    weaker(life, at(0.3)),
    tenser(life, at(0.6)),
    drawn(life, at(0.8)),
    arrested(life, at(1)),
    piled(life, at(1.15)),
    ...(beads ? [beads] : []),
    ending(life, new Look(life, 0.92 * end)),
  ]
}

/** A curve as the points of a polyline in a box; gaps closed. */
export function sparkPoints({ values, logarithmic }: Spark, width: number, height: number): string {
  const shown = values.map((value) => (logarithmic ? Math.log10(Math.max(value, 1e-3)) : value))
  const finite = shown.filter((value) => Number.isFinite(value))
  const low = Math.min(...finite)
  const high = Math.max(...finite)
  // Differences that do not matter are drawn as the flat line that they are.
  const span = Math.max(high - low, 0.02 * Math.abs(high)) || 1
  return shown
    .map((value, i) => [(i / (shown.length - 1)) * width, height - ((value - low) / span) * height])
    .filter(([, y]) => Number.isFinite(y))
    .map(([x, y]) => `${x!.toFixed(1)},${y!.toFixed(1)}`)
    .join(' ')
}
