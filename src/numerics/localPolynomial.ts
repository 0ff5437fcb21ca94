/** A polynomial of low degree through some points by weighted least squares, with its covariance. */
import { norm, qr, solveUpper } from './denseSolve.ts'

export interface LocalPolynomial {
  /** u = (x − centre)/span; coefficients of u⁰, u¹, … */
  centre: number
  span: number
  coefficients: Float64Array
  /** Covariance of the coefficients for the given σ, row-major. */
  covariance: Float64Array
  /** Σ((y − polynomial)/σ)². */
  chiSquared: number
  /** Points minus coefficients. */
  degreesOfFreedom: number
}

/**
 * Fits. `sigma` above 0. Null for fewer points than coefficients, or for points that do not determine them.
 * Bevington & Robinson, Data Reduction and Error Analysis, 3rd ed., chapter 7.
 */
export function localPolynomial(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  sigma: ArrayLike<number>,
  degree: number,
  centre: number,
  span: number,
): LocalPolynomial | null {
  const [m, k] = [x.length, degree + 1]
  if (m < k || !(span > 0)) return null
  const a = new Float64Array(m * k)
  const b = new Float64Array(m)
  for (let i = 0; i < m; i++) {
    const u = (x[i]! - centre) / span
    for (let j = 0; j < k; j++) a[i * k + j] = u ** j / sigma[i]!
    b[i] = y[i]! / sigma[i]!
  }
  const { r, qtb } = qr(a, m, k, b)
  for (let j = 0; j < k; j++) if (Math.abs(r[j * k + j]!) < 1e-10 * norm(r)) return null
  const coefficients = solveUpper(r, k, qtb)
  if (!coefficients) return null
  let chiSquared = 0
  for (let i = 0; i < m; i++) {
    let value = -b[i]!
    for (let j = 0; j < k; j++) value += a[i * k + j]! * coefficients[j]!
    chiSquared += value ** 2
  }
  return {
    centre,
    span,
    coefficients,
    covariance: covarianceOf(r, k),
    chiSquared,
    degreesOfFreedom: m - k,
  }
}

/** (RᵀR)⁻¹. */
function covarianceOf(r: Float64Array, k: number): Float64Array {
  const inverse = Array.from({ length: k }, (_, j) => {
    const unit = new Float64Array(k)
    unit[j] = 1
    return solveUpper(r, k, unit)!
  })
  const covariance = new Float64Array(k * k)
  for (let i = 0; i < k; i++)
    for (let j = 0; j < k; j++) {
      let sum = 0
      for (let c = 0; c < k; c++) sum += inverse[c]![i]! * inverse[c]![j]!
      covariance[i * k + j] = sum
    }
  return covariance
}

/** Factors of the coefficients in the polynomial's `order`-th derivative by x at x. */
export function basisAt({ centre, span, coefficients }: LocalPolynomial, x: number, order = 0): Float64Array {
  const u = (x - centre) / span
  return coefficients.map((_, j) => {
    let factor = 1
    for (let d = 0; d < order; d++) factor *= (j - d) / span
    return j < order ? 0 : factor * u ** (j - order)
  })
}

/** Σ basis · coefficients. */
export const combined = (basis: ArrayLike<number>, coefficients: ArrayLike<number>): number => {
  let sum = 0
  for (let j = 0; j < basis.length; j++) sum += basis[j]! * coefficients[j]!
  return sum
}

/** Standard error of Σ basis · coefficients. */
export function errorOf(basis: Float64Array, covariance: Float64Array): number {
  const k = basis.length
  let sum = 0
  for (let i = 0; i < k; i++)
    for (let j = 0; j < k; j++) sum += basis[i]! * basis[j]! * covariance[i * k + j]!
  return Math.sqrt(sum)
}
