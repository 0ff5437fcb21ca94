/**
 * Slope limiter for monotone reconstruction on an uneven mesh: the weighted harmonic mean of two neighbouring slopes, zero
 * where they disagree. With equal weights it is van Leer's, J. Comput. Phys. 14, 361 (1974).
 */
import type { Reals } from './memory.ts'

/**
 * 1/(((1 − θ)/a) + (θ/b)), at most a/(1 − θ) and b/θ in size; 0 unless a and b have the same sign.
 * @param theta weight of b, 0–1
 */
export function limited(a: f64, b: f64, theta: f64): f64 {
  return a * b > 0 ? (a * b) / ((1 - theta) * b + theta * a) : 0
}

/**
 * Adds reach·∂limited/∂v for the three values v0, v1, v2 (slopes over gap01 and gap12) to the slots k, k+1, k+2 of `to`.
 */
export function limitedTerms(
  to: Reals,
  k: i32,
  v0: f64,
  v1: f64,
  v2: f64,
  gap01: f64,
  gap12: f64,
  theta: f64,
  reach: f64,
): void {
  const a = (v1 - v0) / gap01
  const b = (v2 - v1) / gap12
  if (!(a * b > 0)) return
  const sum = (1 - theta) * b + theta * a
  const byA = (reach * (1 - theta) * b * b) / (sum * sum) / gap01
  const byB = (reach * theta * a * a) / (sum * sum) / gap12
  to[k] -= byA
  to[k + 1] += byA - byB
  to[k + 2] += byB
}
