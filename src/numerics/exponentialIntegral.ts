/**
 * The exponential integral E3(x) = ∫1^∞ e^−xt/t³ dt, x ≥ 0; relative error below 1e-12. Series of E1 (DLMF 6.6.2) with
 * E_{n+1} = (e^−x − x E_n)/n up to 1, beyond the continued fraction (the even part of DLMF 8.19.17), evaluated from below.
 */
import { exp, log } from './elementary.ts'

/** Euler's constant. */
const EULER = 0.5772156649015329

export function exponentialE3(x: number): number {
  if (x === 0) return 0.5
  if (x > 700) return 0
  const decay = exp(-x)
  if (x <= 1) {
    let term = -1
    let one = -EULER - log(x)
    for (let k = 1; k < 20; k++) {
      term *= -x / k
      one += term / k
    }
    return 0.5 * (decay - x * (decay - x * one))
  }
  const terms = x > 10 ? 12 : 60
  let fraction = x + 3 + 2 * terms
  for (let k = terms; k > 0; k--) fraction = x + 1 + 2 * k - (k * (k + 2)) / fraction
  return decay / fraction
}
