/** The points of a measured curve that count, on the clock that begins with the contact. */
import type { MeasuredCurve } from './types.ts'

/** Points of a curve; arrays of one length, to be read only. */
export interface Points {
  /** Time after contact, s, rising; below 0 for points before it. */
  time: Float64Array
  /** Radius, m. */
  radius: Float64Array
  /** Standard uncertainty of the radius, m, above 0; NaN where it is not known; missing = nowhere known. */
  uncertainty?: Float64Array
}

type Source = Pick<MeasuredCurve, 'time' | 'radius' | 'uncertainty' | 'excluded' | 'meta'>

const used = new WeakMap<Source, Points>()
const setAside = new WeakMap<Source, Points>()

/** Moment of contact on the curve's own clock, s. */
export const startOf = (curve: Pick<MeasuredCurve, 'meta'>): number => curve.meta.startTime_s ?? 0

/** All points but those set aside by hand. The same curve gives the same object, so that results can be kept by it. */
export const usedPoints = (curve: Source): Points => remembered(used, curve, false)

/** The points that were set aside by hand, on the same clock. */
export const excludedPoints = (curve: Source): Points => remembered(setAside, curve, true)

/** Number of points that are used. */
export const usedCount = (curve: Source): number => usedPoints(curve).time.length

function remembered(known: WeakMap<Source, Points>, curve: Source, excluded: boolean): Points {
  const before = known.get(curve)
  if (before) return before
  const points = pick(curve, excluded)
  known.set(curve, points)
  return points
}

function pick(curve: Source, excluded: boolean): Points {
  const start = startOf(curve)
  const fits = (_: number, i: number) => (curve.excluded?.[i] === 1) === excluded
  const time = curve.time.filter(fits).map((t) => t - start)
  const radius = curve.radius.filter(fits)
  const points = { time, radius }
  return curve.uncertainty ? { ...points, uncertainty: curve.uncertainty.filter(fits) } : points
}
