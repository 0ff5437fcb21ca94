/** A fit as plots, tables and names. Pure. */
import { keyOf } from '../../life/keys.ts'
import type { Preset } from '../../life/types.ts'
import type { Profile, Side } from '../../measured/fit/profile.ts'
import type { FitStep, FittedCause, FittedUnknown, LifeFit } from '../../measured/fit/types.ts'
import { START_TIME } from '../../measured/fit/types.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { usedPoints } from '../../measured/usable.ts'
import { toPlace } from '../../plan/figures.ts'
import { scaleOf } from '../controls/scale.ts'
import { roundRange } from '../plots/axis.ts'
import type { Line, Panel } from '../plots/plotData.ts'
import { roundUp } from '../spans.ts'
import type { CurveStyle } from '../theme.ts'

/** A correlation, −1.00 to 1.00; a dash where there is none. */
export const correlationText = (value: number): string => (Number.isFinite(value) ? toPlace(value, 2) : '–')

/** A curve that is fitted, with how it is drawn. */
export interface FitCurve {
  curve: MeasuredCurve
  style: CurveStyle
}

/** The lives that are shown beside the points, by curve: of a step or of the result; s after the stated contact, m. */
export type ShownLives = ReadonlyMap<string, { t: ArrayLike<number>; R: ArrayLike<number> }>

export const livesOfStep = ({ courses }: FitStep): ShownLives =>
  new Map(courses.map(({ id, t, R }) => [id, { t, R }]))

export const livesOfFit = ({ curves }: LifeFit): ShownLives =>
  new Map(curves.map(({ id, lifeTime, lifeRadius }) => [id, { t: lifeTime, R: lifeRadius }]))

const inMillimetres = (values: ArrayLike<number>): Float64Array => Float64Array.from(values, (x) => 1e3 * x)

const common = { opacity: 1, dash: [] as readonly number[] }

/** From the first measured moment, or the contact, to beyond the last one. */
function timeRange(curves: readonly FitCurve[]): [number, number] {
  const times = curves.map(({ curve }) => usedPoints(curve).time)
  const first = Math.min(0, ...times.map((t) => t[0] ?? 0))
  return [first, roundUp(Math.max(0.1, ...times.map((t) => t.at(-1) ?? 0)), 6)]
}

/** Largest |y| + error of a line up to `end`. */
function reach({ x, y, base }: Line, end: number): number {
  let most = 0
  for (let i = 0; i < y.length; i++) {
    if (x[i]! <= end) most = Math.max(most, Math.abs(y[i]!) + (base?.[i] || 0))
  }
  return most
}

function pointLine({ curve, style }: FitCurve): Line {
  const { time, radius, uncertainty } = usedPoints(curve)
  return {
    ...common,
    key: `points ${curve.id}`,
    label: curve.name,
    column: `R_mm (${curve.name})`,
    colour: style.colour,
    width: 1.3,
    kind: 'points',
    marker: style.marker,
    x: time,
    y: inMillimetres(radius),
    ...(uncertainty ? { base: inMillimetres(uncertainty) } : {}),
  }
}

/** Measured radii and the lives beside them. */
export function radiusPanel(curves: readonly FitCurve[], lives: ShownLives): Panel {
  const [xMin, xMax] = timeRange(curves)
  const fitted = curves.flatMap(({ curve, style }): Line[] => {
    const life = lives.get(curve.id)
    if (!life) return []
    const label = `life for ${curve.name}`
    const line = { key: `life ${curve.id}`, label, column: `life_mm (${curve.name})`, colour: style.colour }
    return [
      { ...common, ...line, dash: style.dash, width: 2, kind: 'line', x: life.t, y: inMillimetres(life.R) },
    ]
  })
  const lines = [...fitted, ...curves.map(pointLine)]
  const highest = Math.max(1, ...lines.map((line) => reach(line, xMax)))
  return {
    id: 'fit-radius',
    title: 'Radius',
    xLabel: 'time after contact, s',
    yLabel: 'R, mm',
    xColumn: 't_s',
    xMin,
    xMax,
    yMin: 0,
    yMax: roundRange(0, 1.05 * highest, true, 4).max,
    logarithmic: false,
    lines,
    marks: [],
    weight: 1,
    showX: true,
  }
}

/** Residuals of a fit, measured minus life, with ± 1 σ. */
export function residualPanel(fit: LifeFit, curves: readonly FitCurve[], ink: string): Panel {
  const [xMin, xMax] = timeRange(curves)
  const points = fit.curves.flatMap((one): Line[] => {
    const style = curves.find(({ curve }) => curve.id === one.id)?.style
    if (!style) return []
    const bars = fit.weights === 'given' ? one.sigma : new Float64Array(one.time.length).fill(fit.scatter)
    const line = {
      key: one.id,
      label: one.name,
      column: `residual_mm (${one.name})`,
      colour: style.colour,
      marker: style.marker,
    }
    return [
      {
        ...common,
        ...line,
        width: 1.3,
        kind: 'points',
        x: one.time,
        y: inMillimetres(one.residual),
        base: inMillimetres(bars),
      },
    ]
  })
  const zero: Line = {
    ...common,
    key: 'zero',
    label: '',
    column: 'zero_mm',
    colour: ink,
    width: 1.2,
    kind: 'line',
    x: [xMin, xMax],
    y: [0, 0],
  }
  const most = Math.max(1e-3, ...points.map((line) => reach(line, xMax)))
  const top = roundRange(0, 1.05 * most, true, 3).max
  return {
    id: 'fit-residual',
    title: 'Measured minus life',
    xLabel: 'time after contact, s',
    yLabel: 'residual, mm',
    xColumn: 't_s',
    xMin,
    xMax,
    yMin: -top,
    yMax: top,
    logarithmic: false,
    lines: [zero, ...points],
    marks: [],
    weight: 1,
    showX: true,
  }
}

/** Factor and unit of the page for a key: fractions in per cent. */
const pageScale = (path: string, unit: string): { factor: number; unit: string } => {
  const key = path === START_TIME ? undefined : keyOf(path)
  return key?.kind === 'number' ? scaleOf(key) : { factor: 1, unit }
}

/** An unknown in the unit of the page: fractions in per cent. */
export function shownUnknown(unknown: FittedUnknown): FittedUnknown {
  if (unknown.path === START_TIME) return unknown
  const { factor, unit } = pageScale(unknown.path, unknown.unit)
  const { start, value, error, lower, upper, numerical, statistical, systematic, perScalePercent } = unknown
  const scaled = { start, value, error, lower, upper, numerical, statistical, systematic, perScalePercent }
  const entries = Object.entries(scaled).map(([name, number]) => [name, number * factor])
  const { prior } = unknown
  const known = prior && { ...prior, value: prior.value * factor, sigma: prior.sigma * factor }
  return { ...unknown, ...Object.fromEntries(entries), ...(known ? { prior: known } : {}), unit }
}

/** A cause in the unit of the page, its effects in those of the unknowns. */
export function shownCause(cause: FittedCause, unknowns: readonly FittedUnknown[]): FittedCause {
  const { factor, unit } =
    cause.kind === 'condition' ? pageScale(cause.path, cause.unit) : { factor: 1, unit: cause.unit }
  const { prior, value, error, shifts } = cause
  return {
    ...cause,
    unit,
    prior: { value: prior.value * factor, sigma: prior.sigma * factor },
    value: value * factor,
    error: error * factor,
    shifts: shifts.map((shift, j) => shift * pageScale(unknowns[j]!.path, '').factor),
  }
}

/** A profile in the unit of the page. */
export function shownProfile(profile: Profile): Profile {
  const { factor, unit } = pageScale(profile.path, profile.unit)
  const side = (one: Side): Side => (one.kind === 'unknown' ? one : { ...one, value: one.value * factor })
  return {
    ...profile,
    unit,
    best: profile.best * factor,
    lower: side(profile.lower),
    upper: side(profile.upper),
    points: profile.points.map(({ value, rise }) => ({ value: value * factor, rise })),
  }
}

const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ'

const AIRS: Record<Preset['air']['mode'], string> = {
  constant: 'constant rate',
  moving: 'moving air',
  still: 'still air',
  layer: 'layer of air',
}

/** Name of a kept fit: a letter, its unknowns, its evaporation. */
export function keptName(index: number, { unknowns, preset }: Pick<LifeFit, 'unknowns' | 'preset'>): string {
  const labels = unknowns.map(({ path, label }) => (path === START_TIME ? 'Contact' : label))
  return `${LETTERS[index % LETTERS.length]}: ${[...new Set(labels)].join(', ')} (${AIRS[preset.air.mode]})`
}
