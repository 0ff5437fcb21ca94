/**
 * Complete elliptic integrals K(m) and E(m), 0 ≤ m < 1 (E to 1), of the parameter m = k², by the arithmetic–geometric mean
 * (DLMF 19.8.5–6); relative error a few units of the last place.
 */
import { square } from './elementary.ts'

/** K and E together; K is Infinity and E 1 at m = 1. */
export function ellipticKE(m: number): [K: number, E: number] {
  if (!(m < 1)) return [Number.POSITIVE_INFINITY, 1]
  let a = 1
  let g = Math.sqrt(1 - m)
  let sum = 0.5 * m
  let power = 0.5
  for (let n = 0; n < 12 && a - g > 1e-16 * a; n++) {
    const c = 0.5 * (a - g)
    const next = 0.5 * (a + g)
    g = Math.sqrt(a * g)
    a = next
    power *= 2
    sum += power * square(c)
  }
  const K = (0.5 * Math.PI) / a
  return [K, K * (1 - sum)]
}
