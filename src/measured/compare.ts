/** How far a measured curve lies from a life. */
import { MonotoneCurve } from '../numerics/monotone.ts'
import type { MeasuredCurve } from './types.ts'

export interface Comparison {
  /** Moment of the measured clock at which the life begins, s. */
  startTime: number
  /** Measured minus life, m, one per measured point; NaN outside the life's time span. */
  residual: Float64Array
  /** Points within the span. */
  used: number
  /** Points before the life begins and after it ends. */
  before: number
  after: number
  /** Root mean square of the residuals, m; NaN without points. */
  rms: number
  /** Mean residual, m; above 0 when the measured radii are larger. */
  bias: number
  /** Largest absolute residual, m. */
  worst: number
  /** Σ(residual/σ)² over the points that have an uncertainty; NaN if none has. */
  chiSquared: number
  /** Points that count in chiSquared. */
  weighted: number
}

/**
 * Compares a measured curve with a life given by its times (s, rising) and radii (m).
 * A measured time t belongs to the life's time t − startTime. Between the life's times the radius is interpolated
 * without overshoot.
 */
export function residuals(
  curve: Pick<MeasuredCurve, 'time' | 'radius' | 'uncertainty'>,
  lifeTimes: ArrayLike<number>,
  lifeRadii: ArrayLike<number>,
  startTime = 0,
): Comparison {
  const life = new MonotoneCurve(lifeTimes, lifeRadii)
  const residual = new Float64Array(curve.time.length).fill(Number.NaN)
  const sums = { square: 0, plain: 0, chi: 0 }
  const result = { startTime, residual, used: 0, before: 0, after: 0, worst: Number.NaN, weighted: 0 }
  curve.time.forEach((time, i) => {
    const t = time - startTime
    if (t < life.from) result.before++
    else if (!(t <= life.to)) result.after++
    else {
      const difference = curve.radius[i]! - life.at(t)
      const sigma = curve.uncertainty?.[i]
      residual[i] = difference
      result.used++
      result.worst = Math.max(result.worst || 0, Math.abs(difference))
      sums.square += difference ** 2
      sums.plain += difference
      if (sigma !== undefined && sigma > 0) {
        result.weighted++
        sums.chi += (difference / sigma) ** 2
      }
    }
  })
  const mean = (sum: number) => (result.used ? sum / result.used : Number.NaN)
  return {
    ...result,
    rms: Math.sqrt(mean(sums.square)),
    bias: mean(sums.plain),
    chiSquared: result.weighted ? sums.chi : Number.NaN,
  }
}
