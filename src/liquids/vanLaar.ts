import { exp, square } from '../numerics/elementary.ts'
import { clampFraction } from './constants.ts'

/** Constants of the van Laar equation, alcohol (1) and water (2). */
export interface VanLaar {
  A: number
  B: number
}

/** Activity coefficients [alcohol, water] at alcohol mole fraction x (clamped to 0–1); independent of temperature. */
export function vanLaar({ A, B }: VanLaar, x: number): [number, number] {
  const x1 = clampFraction(x)
  const x2 = 1 - x1
  const s = A * x1 + B * x2
  return [exp(A * square((B * x2) / s)), exp(B * square((A * x1) / s))]
}
