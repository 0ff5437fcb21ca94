import type { UncertainId } from './uncertain.ts'

/** A number with the range in which it lies as far as its inputs are known: one standard deviation either way, 68 %. */
export interface Reach {
  central: number
  low: number
  high: number
  /** The input that moves it most; undefined if none does. */
  most: UncertainId | undefined
}
