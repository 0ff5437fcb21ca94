/**
 * Slope limiter for monotone reconstruction on an uneven mesh: the weighted harmonic mean of two neighbouring slopes, zero
 * where they disagree. With equal weights it is van Leer's, J. Comput. Phys. 14, 361 (1974).
 */

/**
 * 1/(((1 − θ)/a) + (θ/b)), at most a/(1 − θ) and b/θ in size; 0 unless a and b have the same sign.
 * @param theta weight of b, 0–1
 */
export function limited(a: number, b: number, theta: number): number {
  return a * b > 0 ? (a * b) / ((1 - theta) * b + theta * a) : 0
}

/**
 * Adds reach·∂limited/∂v for the three values v0, v1, v2 (slopes over gap01 and gap12) to the slots k, k+1, k+2 of `to`;
 * a third slot beyond its end is left out.
 */
export function limitedTerms(
  to: Float64Array,
  k: number,
  v0: number,
  v1: number,
  v2: number,
  gap01: number,
  gap12: number,
  theta: number,
  reach: number,
): void {
  const a = (v1 - v0) / gap01
  const b = (v2 - v1) / gap12
  if (!(a * b > 0)) return
  const sum = (1 - theta) * b + theta * a
  const byA = (reach * (1 - theta) * b * b) / (sum * sum) / gap01
  const byB = (reach * theta * a * a) / (sum * sum) / gap12
  to[k] -= byA
  to[k + 1] += byA - byB
  if (k + 2 < to.length) to[k + 2] += byB
}
