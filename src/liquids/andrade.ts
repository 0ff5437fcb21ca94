/**
 * Viscosity against temperature, Andrade's law ln η = a + b/T, through one value and its slope.
 * Viscosity in Pa·s, temperatures in K, `b` in K.
 */
import { exp, log } from '../numerics/elementary.ts'

export const andrade = (viscosity: number, at: number, b: number, T: number): number =>
  viscosity * exp(b * (1 / T - 1 / at))

/** The slope b (K) of Andrade's law through two values. */
export const andradeSlope = (first: [T: number, viscosity: number], second: [T: number, viscosity: number]) =>
  log(first[1] / second[1]) / (1 / first[0] - 1 / second[0])
