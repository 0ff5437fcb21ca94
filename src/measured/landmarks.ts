/**
 * Largest radius and moment of collapse of a measured curve, each with its error, from smooth local fits instead of
 * single noisy points. Pure.
 */
import { chiSquaredTail } from '../numerics/chance.ts'
import { basisAt, combined, errorOf } from '../numerics/localPolynomial.ts'
import { errorParts } from './independent.ts'
import { type Fitted, fitWindow, nearestTo, noiseOf, runningMedian, widths } from './localFit.ts'
import type { MeasuredCurve } from './types.ts'
import { usedPoints } from './usable.ts'

export interface Peak {
  /** Largest radius, m, and its standard error with the parts that all points share; NaN where no error is known. */
  radius: number
  radiusError: number
  /** Moment of it, s after contact, and its standard error (with that of the contact where it is stated). */
  time: number
  timeError: number
  /**
   * 'local': top of a polynomial through the points about it. 'edge': the curve has no top between its points, the
   * largest radius is that at its first or last points. 'point': too few points, the highest one counts.
   */
  from: 'local' | 'edge' | 'point'
  /** Points in the local fit, and points left out of it as outliers (more than 4 σ off). */
  points: number
  left: number
}

export interface Fall {
  /** Moment at which the radius falls below the level, s after contact, and its standard error; NaN where not known. */
  time: number
  timeError: number
  /** m. */
  level: number
  /** 'local': polynomial through the points about it. 'gap': between two points only, so that where is a matter of chance. */
  from: 'local' | 'gap'
  points: number
}

type Source = Pick<MeasuredCurve, 'time' | 'radius' | 'uncertainty' | 'shared' | 'excluded' | 'meta'>

/** Fewest points for a local fit. */
const FEWEST = 5
/** Chance of a larger χ² below which a window is too wide for its polynomial. */
const POOR = 0.05
/** From this many points on a third-order polynomial is used. */
const CUBIC = 8
/** Standard errors by which the tops of narrower windows may lie off. */
const AGREES = 1
/**
 * Share of the widest window's points that is taken: what a polynomial misses grows with a high power of the width, so
 * that a narrower window errs by chance only, which its error tells.
 */
const UNDER = 0.7
/** Standard errors that the bend of a polynomial must be away from none, else it shows no top but noise. */
const BENT = 4

const peaks = new WeakMap<Source, Peak | null>()

/** Largest radius of the used points; null where no radius is above 0. The same curve is fitted once. */
export function peakOf(curve: Source): Peak | null {
  const known = peaks.get(curve)
  if (known !== undefined) return known
  const made = findPeak(curve)
  peaks.set(curve, made)
  return made
}

interface Top {
  radius: number
  time: number
  radiusError: number
  timeError: number
  fit: Fitted
}

function findPeak(curve: Source): Peak | null {
  const { time, radius } = usedPoints(curve)
  const rough = highest(runningMedian(radius))
  if (rough < 0 || !(radius[highest(radius)]! > 0)) return null
  const sigma = noiseOf(time, radius, errorParts(curve).own)
  if (time.length < FEWEST || !sigma) return byPoint(curve)
  const best = widest(time, radius, sigma, rough)
  const found = best ?? edge(time, radius, sigma, rough)
  if (!found) return byPoint(curve)
  const { fit, ...top } = found
  return {
    ...withShared(curve, top),
    from: best ? 'local' : 'edge',
    points: fit.used,
    left: fit.left,
  }
}

/**
 * The top from a window about it somewhat narrower than the widest whose polynomial meets the points and agrees with those
 * of all narrower ones within their errors (Lepski, Theory of Probability and its Applications 35, 454, 1991).
 */
function widest(time: Float64Array, radius: Float64Array, sigma: Float64Array, rough: number): Top | null {
  let centre = time[rough]!
  let best: Top | null = null
  const accepted: Top[] = []
  for (const count of widths(time.length, FEWEST)) {
    const index = nearestTo(time, centre, count)
    const fit = fitWindow(time, radius, sigma, index, count < CUBIC ? 2 : 3)
    const top = fit && topOf(fit, time[index[0]!]!, time[index.at(-1)!]!)
    if (!top) continue
    const agrees = accepted.every((one) => Math.abs(top.radius - one.radius) <= AGREES * one.radiusError)
    const good = chiSquaredTail(fit.chiSquared, fit.degreesOfFreedom) > POOR
    if (best && !(agrees && good)) break
    accepted.push(top)
    best = top
    centre = top.time
  }
  const enough = UNDER * (best?.fit.used ?? 0)
  return steadied(accepted, accepted.findLast(({ fit }) => fit.used <= enough) ?? accepted[0])
}

/** A moment out of one window among several: its error holds how far the moments of the wider ones lie off. */
function steadied<T extends { time: number; timeError: number }>(
  accepted: readonly T[],
  taken?: T,
): T | null {
  if (!taken) return null
  const wider = accepted.slice(accepted.indexOf(taken))
  const off = Math.max(...wider.map(({ time }) => Math.abs(time - taken.time)))
  return { ...taken, timeError: Math.hypot(taken.timeError, off) }
}

/** The maximum of a polynomial of second or third degree between two times; null if there is none. */
function topOf(fit: Fitted, from: number, to: number): Top | null {
  const { centre, span, coefficients } = fit
  const [, b, c, d = 0] = coefficients as unknown as [number, number, number, number?]
  const root = Math.sqrt(c * c - 3 * d * b)
  // The root of the slope b + 2cu + 3du² at which it falls.
  const u = c <= 0 ? b / (root - c) : (-c - root) / (3 * d)
  const time = centre + span * u
  if (!(time > from && time < to)) return null
  const basis = basisAt(fit, time)
  const bend = combined(basisAt(fit, time, 2), coefficients)
  if (!(bend < -BENT * errorOf(basisAt(fit, time, 2), fit.covariance))) return null
  return {
    radius: combined(basis, coefficients),
    time,
    radiusError: errorOf(basis, fit.covariance),
    timeError: errorOf(basisAt(fit, time, 1), fit.covariance) / -bend,
    fit,
  }
}

/** The line through the points about the highest one, there. */
function edge(time: Float64Array, radius: Float64Array, sigma: Float64Array, rough: number): Top | null {
  const at = time[rough]!
  const fit = fitWindow(time, radius, sigma, nearestTo(time, at, FEWEST), 1)
  if (!fit) return null
  const basis = basisAt(fit, at)
  return {
    radius: combined(basis, fit.coefficients),
    time: at,
    radiusError: errorOf(basis, fit.covariance),
    timeError: Number.NaN,
    fit,
  }
}

function byPoint(curve: Source): Peak {
  const { time, radius, uncertainty } = usedPoints(curve)
  const top = highest(radius)
  const radiusError = uncertainty?.[top] ?? Number.NaN
  return {
    radius: radius[top]!,
    radiusError,
    time: time[top]!,
    timeError: Number.NaN,
    from: 'point',
    points: 1,
    left: 0,
  }
}

/** The errors that all points share, and that of the contact, added in quadrature. */
function withShared<T extends Omit<Top, 'fit'>>(curve: Source, top: T): T {
  const { time } = usedPoints(curve)
  const shifts = errorParts(curve).shared.map(({ shift }) => between(time, shift, top.time))
  const contact = curve.meta.sigma?.startTime_s ?? 0
  return {
    ...top,
    radiusError: Math.hypot(top.radiusError, ...shifts),
    timeError: Math.hypot(top.timeError, contact),
  }
}

/** Index of the largest finite value, −1 if there is none. */
function highest(values: ArrayLike<number>): number {
  let at = -1
  for (let i = 0; i < values.length; i++) {
    if (Number.isFinite(values[i]!) && (at < 0 || values[i]! > values[at]!)) at = i
  }
  return at
}

function between(time: Float64Array, values: Float64Array, at: number): number {
  const next = time.findIndex((t) => t >= at)
  if (next <= 0) return values[next < 0 ? values.length - 1 : 0]!
  const part = (at - time[next - 1]!) / (time[next]! - time[next - 1]!)
  return values[next - 1]! + part * (values[next]! - values[next - 1]!)
}

/**
 * When the radius falls below `fraction` (0–1) of the largest one, on the falling side; null where the curve does not
 * show it. The error holds that of the largest radius; a scale that is wrong for all points drops out.
 */
export function fallOf(curve: Source, fraction: number): Fall | null {
  const peak = peakOf(curve)
  if (!peak) return null
  const { time, radius } = usedPoints(curve)
  const level = fraction * peak.radius
  const sigma = noiseOf(time, radius, errorParts(curve).own)
  const after = firstBelow(time, radius, sigma, peak.time, level)
  if (after < 1) return null
  const gap = acrossGap(time, radius, sigma, after, level)
  const found = throughFall(time, radius, sigma, level, peak, gap.time) ?? gap
  const levelError = levelErrorOf(curve, peak, fraction, found.time)
  const contact = curve.meta.sigma?.startTime_s ?? 0
  return {
    time: found.time,
    timeError: Math.hypot(found.timeError, levelError / Math.abs(found.slope), contact),
    level,
    from: found === gap ? 'gap' : 'local',
    points: found.points,
  }
}

/** First point below the level after the maximum that the points about it confirm; a lone one counts at the end only. */
function firstBelow(
  time: Float64Array,
  radius: Float64Array,
  sigma: Float64Array | null,
  from: number,
  level: number,
): number {
  const smooth = sigma ? runningMedian(radius) : radius
  for (let i = 1; i < time.length; i++) {
    if (time[i]! > from && smooth[i]! < level && (radius[i]! < level || i === time.length - 1)) return i
  }
  return -1
}

interface Crossing {
  time: number
  timeError: number
  /** Slope of the radius there, m/s, below 0. */
  slope: number
  points: number
}

/** Straight between the two points about the level; anywhere between them is as likely: width/√12. */
function acrossGap(
  time: Float64Array,
  radius: Float64Array,
  sigma: Float64Array | null,
  after: number,
  level: number,
): Crossing {
  let before = after - 1
  while (before > 0 && radius[before]! < level) before--
  const width = time[after]! - time[before]!
  const fall = radius[before]! - radius[after]!
  const slope = -fall / width
  const at = time[before]! + ((radius[before]! - level) / fall) * width
  const noise = sigma ? Math.max(sigma[before]!, sigma[after]!) / Math.abs(slope) : 0
  const timeError = Math.hypot(Math.min(noise, width), width / Math.sqrt(12))
  return { time: Math.min(Math.max(at, time[before]!), time[after]!), timeError, slope, points: 2 }
}

/** Where a polynomial through the points about the crossing meets the level, by the same choice of a window as the top. */
function throughFall(
  time: Float64Array,
  radius: Float64Array,
  sigma: Float64Array | null,
  level: number,
  peak: Peak,
  start: number,
): Crossing | null {
  if (!sigma) return null
  const accepted: Crossing[] = []
  let centre = start
  for (const count of widths(time.length, 4)) {
    const index = nearestTo(time, centre, count)
    if (time[index[0]!]! <= peak.time || !reachesBelow(radius, index, level)) break
    const fit = fitWindow(time, radius, sigma, index, count < 5 ? 1 : 2)
    const found = fit && meeting(fit, level, centre)
    if (!found) continue
    const agrees = accepted.every((one) => Math.abs(found.time - one.time) <= AGREES * one.timeError)
    const good = chiSquaredTail(fit.chiSquared, fit.degreesOfFreedom) > POOR
    if (!(agrees && good)) break
    accepted.push(found)
    centre = found.time
  }
  const enough = UNDER * (accepted.at(-1)?.points ?? 0)
  return steadied(accepted, accepted.findLast(({ points }) => points <= enough) ?? accepted[0])
}

/** Points on either side of the level: else the polynomial is carried beyond them. */
const reachesBelow = (radius: Float64Array, index: readonly number[], level: number): boolean =>
  index.some((i) => radius[i]! < level) && index.some((i) => radius[i]! >= level)

/** Newton's steps from `start` to the polynomial's crossing of the level; null where it does not fall. */
function meeting(fit: Fitted, level: number, start: number): Crossing | null {
  let time = start
  for (let n = 0; n < 20; n++) {
    const slope = combined(basisAt(fit, time, 1), fit.coefficients)
    if (!(slope < 0)) return null
    time -= (combined(basisAt(fit, time), fit.coefficients) - level) / slope
  }
  const slope = combined(basisAt(fit, time, 1), fit.coefficients)
  if (!Number.isFinite(time)) return null
  if (!(slope < -BENT * errorOf(basisAt(fit, time, 1), fit.covariance))) return null
  const timeError = errorOf(basisAt(fit, time), fit.covariance) / -slope
  return { time, timeError, slope, points: fit.used }
}

/** Error of radius minus level there: of the largest radius, and of what is shared by both, m. */
function levelErrorOf(curve: Source, peak: Peak, fraction: number, at: number): number {
  const { time } = usedPoints(curve)
  const { shared } = errorParts(curve)
  const both = shared.map(({ shift }) => [between(time, shift, at), between(time, shift, peak.time)] as const)
  const ofPeak = Math.hypot(...both.map(([, top]) => top))
  const own =
    peak.from === 'point' ? peak.radiusError : Math.sqrt(Math.max(0, peak.radiusError ** 2 - ofPeak ** 2))
  return Math.hypot(fraction * (own || 0), ...both.map(([low, top]) => low - fraction * top))
}

/** "12.34 ± 0.05 mm" needs to say how it was found: for a caption. */
export function peakWords({ from, points, left }: Peak): string {
  if (from === 'point') return 'the highest point; there are too few for a local fit'
  const of = `${points} points${left > 0 ? `, ${left} left out as ${left === 1 ? 'an outlier' : 'outliers'}` : ''}`
  return from === 'edge'
    ? `the curve has no top between its points; line through the outermost ${of}`
    : `local polynomial through ${of}`
}
