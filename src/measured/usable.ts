/** The points of a measured curve that count, on the clock that begins with the contact. */
import type { MeasuredCurve, SharedError } from './types.ts'

/** Points of a curve; arrays of one length, to be read only. */
export interface Points {
  /** Time after contact, s, rising; below 0 for points before it. */
  time: Float64Array
  /** Radius, m. */
  radius: Float64Array
  /** Standard uncertainty of the radius, m, above 0; NaN where it is not known; missing = nowhere known. */
  uncertainty?: Float64Array
  /** The part of it that all points share, by cause. */
  shared?: readonly SharedError[]
}

type Source = Pick<MeasuredCurve, 'time' | 'radius' | 'uncertainty' | 'shared' | 'excluded' | 'meta'>

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
  const index = placesOf(curve, excluded)
  // Long curves with nothing set aside are not copied.
  const of = (values: Float64Array) => (index ? taken(values, index) : values)
  const time = of(curve.time)
  const { uncertainty, shared } = curve
  return {
    time: start === 0 ? time : time.map((t) => t - start),
    radius: of(curve.radius),
    ...(uncertainty ? { uncertainty: of(uncertainty) } : {}),
    ...(shared ? { shared: shared.map(({ cause, shift }) => ({ cause, shift: of(shift) })) } : {}),
  }
}

/** Indices of the points wanted; null = all of them. */
function placesOf({ time, excluded: marks }: Source, excluded: boolean): Uint32Array | null {
  if (!marks) return excluded ? new Uint32Array() : null
  const wanted = excluded ? 1 : 0
  const places = new Uint32Array(time.length)
  let count = 0
  for (let i = 0; i < time.length; i++) if ((marks[i] === 1 ? 1 : 0) === wanted) places[count++] = i
  return places.subarray(0, count)
}

function taken(values: Float64Array, index: Uint32Array): Float64Array {
  const list = new Float64Array(index.length)
  for (let k = 0; k < index.length; k++) list[k] = values[index[k]!]!
  return list
}
