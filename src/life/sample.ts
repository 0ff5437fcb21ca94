/** Values of a life between its kept moments. Plain arrays only, so that the page can use it. */
import type { Life, LifeSeries } from './types.ts'

/** Every number of the series at one moment, SI units. */
export type Moment = { [Name in keyof LifeSeries]: number }

/**
 * Index k of the interval t[k] ≤ time < t[k+1] by bisection; clamped to 0 … n−1 (n−1 at and after the end,
 * 0 before the start, for NaN and for an empty list). `t` ascends.
 */
export function indexAt(t: ArrayLike<number>, time: number): number {
  let low = 0
  let high = t.length - 1
  while (low < high) {
    const middle = (low + high + 1) >> 1
    if (t[middle]! <= time) low = middle
    else high = middle - 1
  }
  return Math.max(low, 0)
}

/** Straight line between a and b; where one of them is missing (NaN) the nearer one in time. */
function linear(a: number, b: number, x: number): number {
  if (x <= 0) return a
  if (x >= 1) return b
  if (Number.isNaN(a) || Number.isNaN(b)) return x < 0.5 ? a : b
  return a + x * (b - a)
}

/** Cubic through the radii a, b with the edge speeds ua, ub at the ends of an interval of length dt; never negative. */
export function cubicRadius(a: number, b: number, ua: number, ub: number, dt: number, x: number): number {
  const y = 1 - x
  const value = a * y * y * (1 + 2 * x) + b * x * x * (3 - 2 * x) + dt * x * y * (y * ua - x * ub)
  return Number.isFinite(value) ? Math.max(value, 0) : linear(a, b, x)
}

/** Radius against time with the edge speed: what fixes R(t) between the kept moments. */
export type RadiusCurve = Pick<LifeSeries, 't' | 'R' | 'U'>

/** Radius, m, at `time` (s) as in seriesAt; NaN for an empty curve. */
export function radiusAt({ t, R, U }: RadiusCurve, time: number): number {
  const k = indexAt(t, time)
  const next = Math.min(k + 1, t.length - 1)
  const dt = t[next]! - t[k]!
  const x = dt > 0 ? (time - t[k]!) / dt : 0
  if (x > 0 && x < 1) return cubicRadius(R[k]!, R[next]!, U[k]!, U[next]!, dt, x)
  return t.length > 0 ? (x > 0 ? R[next]! : R[k]!) : Number.NaN
}

/**
 * The series at `time` (s): R by the cubic that meets radius and edge speed at both kept moments, U as its
 * companion and all else linearly. Before the start and after the end the first and the last moment hold.
 */
export function seriesAt(series: LifeSeries, time: number): Moment {
  const { t } = series
  const k = indexAt(t, time)
  const next = Math.min(k + 1, t.length - 1)
  const dt = t[next]! - t[k]!
  const x = dt > 0 ? Math.min(Math.max((time - t[k]!) / dt, 0), 1) : 0
  const at = (field: Float64Array): number =>
    t.length === 0 ? Number.NaN : linear(field[k]!, field[next]!, x)
  const names = Object.keys(series) as (keyof LifeSeries)[]
  const moment = Object.fromEntries(names.map((name) => [name, at(series[name])])) as Moment
  moment.R = radiusAt(series, time)
  return moment
}

/** 0, every, 2·every, … up to the end, and the end itself. Multiples are formed by product, so that they do not drift. */
export function sampleTimes(end: number, every: number): Float64Array {
  if (!(every > 0)) throw new RangeError('the interval must be above 0 s')
  const slack = every * 1e-6
  const times = Array.from({ length: Math.floor((end + slack) / every) + 1 }, (_, k) =>
    Math.min(k * every, end),
  )
  if (end - times.at(-1)! > slack) times.push(end)
  return Float64Array.from(times)
}

/** The series of a life at even intervals (s) and at its last moment. An empty life gives empty series. */
export function sampleSeries(life: Pick<Life, 'series'>, every: number): LifeSeries {
  const { series } = life
  const end = series.t.at(-1)
  const times = end === undefined ? new Float64Array() : sampleTimes(end, every)
  const moments = Array.from(times, (time) => seriesAt(series, time))
  const names = Object.keys(series) as (keyof LifeSeries)[]
  const sampled = names.map((name) => [name, Float64Array.from(moments, (moment) => moment[name])])
  return { ...(Object.fromEntries(sampled) as unknown as LifeSeries), t: times }
}
