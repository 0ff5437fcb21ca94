/** Straight lines, and the choice between models by Akaike's criterion. */

export interface StraightLine {
  intercept: number
  slope: number
  /** Standard errors; NaN where the data leave no degree of freedom and no errors are known. */
  interceptError: number
  slopeError: number
  /** Covariance of intercept and slope. */
  covariance: number
  /** Σ((y − line)/σ)², with σ = 1 where none is given. */
  chiSquared: number
  count: number
  degreesOfFreedom: number
  /** Whether the errors come from the given σ ('given') or from the scatter about the line ('scatter'). */
  errorsFrom: 'given' | 'scatter'
}

/**
 * Weighted least-squares line y = intercept + slope·x. Points with a coordinate that is not finite are left out.
 * With `sigma` (all above 0) the errors follow from it; without, from the scatter. Null for fewer than two points,
 * for points that all share one x, or for a σ that is not above 0.
 * Bevington & Robinson, Data Reduction and Error Analysis, 3rd ed., chapter 6.
 */
export function straightLine(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  sigma?: ArrayLike<number>,
): StraightLine | null {
  const use = Array.from({ length: Math.min(x.length, y.length) }, (_, i) => i).filter(
    (i) => Number.isFinite(x[i]!) && Number.isFinite(y[i]!),
  )
  if (sigma && !use.every((i) => Number.isFinite(sigma[i]!) && sigma[i]! > 0)) return null
  if (use.length < 2 || use.every((i) => x[i] === x[use[0]!])) return null
  // Weights relative to the smallest σ, so that neither tiny nor huge σ underflow or overflow.
  const unit = sigma ? use.reduce((least, i) => Math.min(least, sigma[i]!), Infinity) : 1
  const w = use.map((i) => (sigma ? (unit / sigma[i]!) ** 2 : 1))
  const total = w.reduce((a, b) => a + b, 0)
  const mean = (values: ArrayLike<number>) => use.reduce((sum, i, k) => sum + w[k]! * values[i]!, 0) / total
  const [xm, ym] = [mean(x), mean(y)]
  let sxx = 0
  let sxy = 0
  use.forEach((i, k) => {
    sxx += w[k]! * (x[i]! - xm) ** 2
    sxy += w[k]! * (x[i]! - xm) * (y[i]! - ym)
  })
  const slope = sxy / sxx
  const rest = use.reduce((sum, i, k) => sum + w[k]! * (y[i]! - ym - slope * (x[i]! - xm)) ** 2, 0)
  const degreesOfFreedom = use.length - 2
  const variance = sigma ? unit ** 2 : degreesOfFreedom ? rest / degreesOfFreedom : Number.NaN
  return {
    intercept: ym - slope * xm,
    slope,
    interceptError: Math.sqrt(variance * (1 / total + xm ** 2 / sxx)),
    slopeError: Math.sqrt(variance / sxx),
    covariance: (-variance * xm) / sxx,
    chiSquared: rest / unit ** 2,
    count: use.length,
    degreesOfFreedom,
    errorsFrom: sigma ? 'given' : 'scatter',
  }
}

export interface Candidate {
  name: string
  /** Fitted parameters; the unknown scatter is counted by `compareModels` where it applies. */
  parameters: number
  /** Σ of squared residuals, or χ² when `knownErrors`. */
  sumOfSquares: number
  count: number
}

export interface Ranked {
  name: string
  /** Akaike's criterion with the correction for few data; Infinity when there are too few data for it. */
  aicc: number
  aic: number
  /** aicc above the best one's. */
  difference: number
  /** Akaike weight: share of support among the candidates, 0–1. */
  weight: number
}

/**
 * Ranks models of the same data, best first. Null when the counts differ or a sum of squares is negative or NaN.
 * Unknown errors: n ln(RSS/n) + 2k with k including the variance; known errors: χ² + 2k.
 * Burnham & Anderson, Model Selection and Multimodel Inference, 2nd ed. (2002), sections 2.2, 2.4 and 2.9.
 */
export function compareModels(candidates: readonly Candidate[], knownErrors: boolean): Ranked[] | null {
  const n = candidates[0]?.count ?? 0
  const usable = (c: Candidate) => c.count === n && c.sumOfSquares >= 0 && Number.isFinite(c.sumOfSquares)
  if (!candidates.length || n < 1 || !candidates.every(usable)) return null
  const scored = candidates.map(({ name, parameters, sumOfSquares }) => {
    const k = parameters + (knownErrors ? 0 : 1)
    const aic = (knownErrors ? sumOfSquares : n * Math.log(sumOfSquares / n)) + 2 * k
    return { name, aic, aicc: n - k - 1 > 0 ? aic + (2 * k * (k + 1)) / (n - k - 1) : Infinity }
  })
  const best = Math.min(...scored.map(({ aicc }) => aicc))
  const gap = (aicc: number) => (aicc === best ? 0 : aicc - best)
  const sum = scored.reduce((total, { aicc }) => total + Math.exp(-gap(aicc) / 2), 0)
  return scored
    .map((s) => ({ ...s, difference: gap(s.aicc), weight: Math.exp(-gap(s.aicc) / 2) / sum }))
    .sort((a, b) => a.difference - b.difference)
}
