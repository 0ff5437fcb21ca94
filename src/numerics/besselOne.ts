/** Bessel functions of order one that the air over a drop is made of. */
import { besselK1 } from './besselK.ts'
import { exp } from './elementary.ts'

/** From here on the asymptotic series (DLMF 10.40.1–2) are exact to rounding. */
const FAR = 20

/** J1(x), x ≥ 0; absolute error below 1e-14. Backward recurrence (Miller), made to fit J0 + 2 ΣJ2k = 1. Meant for x to some hundreds. */
export function besselJ1(x: number): number {
  if (x === 0) return 0
  if (x < 0.5) {
    const t = -0.25 * x * x
    let term = 0.5 * x
    let sum = term
    for (let k = 1; k < 9; k++) {
      term *= t / (k * (k + 1))
      sum += term
    }
    return sum
  }
  const first = 2 * Math.ceil(0.5 * (x + 14 + 6 * Math.sqrt(x)))
  let above = 0
  let here = 1e-280
  let norm = 0
  let one = 0
  for (let k = first; k > 0; k--) {
    const below = (2 * k * here) / x - above
    above = here
    here = below
    if (k === 2) one = below
    // Now `here` is of order k − 1.
    if (k % 2 === 1) norm += (k === 1 ? 1 : 2) * here
  }
  return one / norm
}

/** √(2πx) e^−x I1(x) with sign −1, √(2x/π) e^x K1(x) with sign 1; x ≥ FAR. */
function asymptotic(x: number, sign: 1 | -1): number {
  let term = 1
  let sum = 1
  for (let k = 1; k < 24; k++) {
    term *= (sign * (4 - (2 * k - 1) * (2 * k - 1))) / (8 * k * x)
    sum += term
  }
  return sum
}

/** e^−x I1(x), x ≥ 0; relative error below 1e-13. */
export function scaledI1(x: number): number {
  if (x >= FAR) return asymptotic(x, -1) / Math.sqrt(2 * Math.PI * x)
  const t = 0.25 * x * x
  let term = 0.5 * x
  let sum = term
  for (let k = 1; k < 60; k++) {
    term *= t / (k * (k + 1))
    sum += term
  }
  return sum * exp(-x)
}

/** e^x K1(x), x > 0; relative error below 1e-13. */
export const scaledK1 = (x: number): number =>
  x >= FAR ? asymptotic(x, 1) * Math.sqrt((0.5 * Math.PI) / x) : besselK1(x) * exp(x)
