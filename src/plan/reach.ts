/** Numbers with the range in which they lie, as far as their inputs are known. */
import type { UncertainId } from './uncertain.ts'

/** A number with the range in which it lies as far as its inputs are known: one standard deviation either way, 68 %. */
export interface Reach {
  central: number
  low: number
  high: number
  /** The input that moves it most; undefined if none does. */
  most: UncertainId | undefined
}

/** Quantiles that enclose 68 and 95 %: one and two standard deviations of a normal distribution either way. */
export const ONE_SIGMA: readonly [number, number] = [0.158655, 0.841345]
export const TWO_SIGMA: readonly [number, number] = [0.02275, 0.97725]

/** The same range about the number of a finer calculation; it holds that number. */
export function reachAbout(reach: Reach, central: number): Reach {
  const shift = central - reach.central
  const low = Math.min(central, reach.low + shift)
  return { ...reach, central, low, high: Math.max(central, reach.high + shift) }
}
