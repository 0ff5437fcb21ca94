/** Do the curves fall on one? Each scaled by its own largest radius and collapse time, then compared with their mean. */
import { MonotoneCurve } from '../numerics/monotone.ts'
import { fallOf, peakOf } from './landmarks.ts'
import type { MeasuredCurve } from './types.ts'

/** A radius–time series, measured or simulated. */
export interface Series {
  name: string
  /** Time, s, rising. */
  time: ArrayLike<number>
  /** Radius, m. */
  radius: ArrayLike<number>
  /** Moment at which the drop touched the bath, s. Default 0. */
  startTime?: number
  /** Largest radius, m, where it is known better than from the points; never taken below theirs. */
  maxRadius?: number
  /** The measured curve whose used points these are: its largest radius and collapse come from smooth local fits. */
  curve?: MeasuredCurve
}

export type CollapseRule =
  | { kind: 'falls-below'; fraction: number }
  | { kind: 'fastest-fall' }
  | { kind: 'last-point' }
  | { kind: 'maximum' }
  | { kind: 'given'; times: Readonly<Record<string, number>> }

/** The definitions a user can choose from, the usual one first. */
export const COLLAPSE_RULES: readonly CollapseRule[] = [
  { kind: 'falls-below', fraction: 0.3 },
  { kind: 'falls-below', fraction: 0.5 },
  { kind: 'fastest-fall' },
  { kind: 'last-point' },
  { kind: 'maximum' },
]

/** Short name of a definition, for choosing it. */
export function collapseRuleName(rule: CollapseRule): string {
  if (rule.kind === 'falls-below') return `below-${round(rule.fraction)}`
  return rule.kind === 'maximum' ? 'largest-radius' : rule.kind
}

/** The definition in few words, for a list to choose from. */
export function collapseRuleLabel(rule: CollapseRule): string {
  if (rule.kind === 'falls-below') return `R falls below ${round(rule.fraction)} R_max`
  const labels = {
    'fastest-fall': 'steepest fall of R',
    'last-point': 'last point',
    maximum: 'largest radius',
    given: 'stated for each series',
  }
  return labels[rule.kind]
}

/** The definition in words, to stand beside every figure that uses it. */
export function collapseRuleText(rule: CollapseRule): string {
  switch (rule.kind) {
    case 'falls-below':
      return `time from contact until the radius first falls below ${round(rule.fraction)} of its largest value, after the maximum`
    case 'fastest-fall':
      return 'time from contact to the middle of the steepest fall of the radius after the maximum'
    case 'last-point':
      return 'time from contact to the last point of the series'
    case 'maximum':
      return 'time from contact to the largest radius'
    case 'given':
      return 'collapse time stated for each series'
  }
}

const round = (x: number) => String(Number(x.toPrecision(3)))

/** Time from contact to collapse, s; NaN where the series does not show it. */
export function collapseTime(series: Series, rule: CollapseRule): number {
  const { time, radius, startTime = 0 } = series
  const top = largestAt(radius)
  const last = time.length - 1
  if (top < 0) return Number.NaN
  switch (rule.kind) {
    case 'falls-below': {
      if (series.curve) return fallOf(series.curve, rule.fraction)?.time ?? Number.NaN
      const level = rule.fraction * largestOf(series, top)
      for (let i = top + 1; i <= last; i++) {
        if (!(radius[i]! < level)) continue
        const part = (radius[i - 1]! - level) / (radius[i - 1]! - radius[i]!)
        return time[i - 1]! + part * (time[i]! - time[i - 1]!) - startTime
      }
      return Number.NaN
    }
    case 'fastest-fall': {
      let best = Number.NaN
      let steepest = 0
      for (let i = top + 1; i <= last; i++) {
        const speed = (radius[i]! - radius[i - 1]!) / (time[i]! - time[i - 1]!)
        if (speed < steepest) {
          steepest = speed
          best = (time[i]! + time[i - 1]!) / 2
        }
      }
      return best - startTime
    }
    case 'last-point':
      return time[last]! - startTime
    case 'maximum':
      return (series.curve && peakOf(series.curve)?.time) ?? time[top]! - startTime
    case 'given':
      return rule.times[series.name] ?? Number.NaN
  }
}

/**
 * Standard error of the collapse time of a measured curve, s; NaN where it is not known: lives tell their own numerical
 * error, and other rules rest on single points.
 */
function collapseError({ curve }: Series, rule: CollapseRule): number {
  if (!curve) return Number.NaN
  if (rule.kind === 'falls-below') return fallOf(curve, rule.fraction)?.timeError ?? Number.NaN
  return rule.kind === 'maximum' ? (peakOf(curve)?.timeError ?? Number.NaN) : Number.NaN
}

/** Index of the largest finite radius, −1 if there is none. */
function largestAt(radius: ArrayLike<number>): number {
  let at = -1
  for (let i = 0; i < radius.length; i++) {
    if (Number.isFinite(radius[i]!) && (at < 0 || radius[i]! > radius[at]!)) at = i
  }
  return at
}

const largestOf = ({ radius, maxRadius = 0, curve }: Series, top: number): number =>
  (curve && peakOf(curve)?.radius) ?? Math.max(radius[top]!, maxRadius)

/** Why a series has no collapse. */
function unseen(series: Series, rule: CollapseRule, top: number): string {
  if (rule.kind !== 'falls-below') return `it does not show its collapse (${collapseRuleText(rule)})`
  const { radius } = series
  const end = round(radius[radius.length - 1]! / largestOf(series, top))
  return `it does not show its collapse: it ends at ${end} of its largest radius, not below ${round(rule.fraction)}`
}

export interface ScaledSeries {
  name: string
  /** (t − start)/t_collapse. */
  x: Float64Array
  /** R/R_max. */
  y: Float64Array
  /** m. */
  maxRadius: number
  /** s after contact. */
  collapse: number
  /** Its standard error, s; NaN where not known. */
  collapseError: number
}

export type Scaled = { ok: true; series: ScaledSeries } | { ok: false; name: string; reason: string }

/** R/R_max against t/t_collapse. A series that does not show its collapse is refused with the reason. */
export function scaleSeries(series: Series, rule: CollapseRule): Scaled {
  const refuse = (reason: string): Scaled => ({ ok: false, name: series.name, reason })
  const top = largestAt(series.radius)
  if (top < 0 || !(series.radius[top]! > 0)) return refuse('it holds no radius above 0')
  const collapse = collapseTime(series, rule)
  if (Number.isNaN(collapse)) return refuse(unseen(series, rule, top))
  if (!(collapse > 0 && Number.isFinite(collapse))) return refuse('its collapse is not after its start')
  const maxRadius = largestOf(series, top)
  const { startTime = 0 } = series
  const x = Float64Array.from(series.time, (t) => (t - startTime) / collapse)
  const y = Float64Array.from(series.radius, (r) => r / maxRadius)
  const error = collapseError(series, rule)
  return { ok: true, series: { name: series.name, x, y, maxRadius, collapse, collapseError: error } }
}

export interface Spread {
  /** Scaled times at which the curves are compared. */
  x: Float64Array
  /** Mean of the curves there. */
  mean: Float64Array
  /** Standard deviation of the curves about the mean at each x (count − 1 in the denominator). */
  deviation: Float64Array
  /** Root mean square of `deviation` over x: the spread as one number, in parts of R_max. */
  spread: number
  count: number
}

/**
 * Spread of scaled series about their mean curve, over the scaled times that all of them cover (0 … 1 at most).
 * Null for fewer than two series or when they share no stretch of time.
 */
export function spreadAbout(scaled: readonly ScaledSeries[], points = 101): Spread | null {
  const curves = scaled.map(({ x, y }) => new MonotoneCurve(x, y))
  const from = Math.max(0, ...curves.map((curve) => curve.from))
  const to = Math.min(1, ...curves.map((curve) => curve.to))
  const count = curves.length
  if (count < 2 || !(to > from) || points < 2) return null
  const x = Float64Array.from({ length: points }, (_, k) =>
    Math.min(from + ((to - from) * k) / (points - 1), to),
  )
  const mean = x.map((at) => curves.reduce((sum, curve) => sum + curve.at(at), 0) / count)
  const deviation = x.map((at, k) => {
    const squares = curves.reduce((sum, curve) => sum + (curve.at(at) - mean[k]!) ** 2, 0)
    return Math.sqrt(squares / (count - 1))
  })
  const spread = Math.sqrt(deviation.reduce((sum, d) => sum + d * d, 0) / points)
  return { x, mean, deviation, spread, count }
}

export interface Scatter {
  count: number
  mean: number
  /** Standard deviation of the values (count − 1); NaN for one value. */
  deviation: number
  /** Standard error of the mean. */
  meanError: number
}

/** Mean and scatter of one number per series, such as R_max/R*. Values that are not finite are left out. */
export function scatterOf(values: ArrayLike<number>): Scatter {
  const good = Array.from(values).filter(Number.isFinite)
  const count = good.length
  const mean = count ? good.reduce((a, b) => a + b, 0) / count : Number.NaN
  const squares = good.reduce((sum, value) => sum + (value - mean) ** 2, 0)
  const deviation = count > 1 ? Math.sqrt(squares / (count - 1)) : Number.NaN
  return { count, mean, deviation, meanError: deviation / Math.sqrt(count) }
}
