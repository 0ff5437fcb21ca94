/** Constants of log10(p/Pa) = A − B/(T + C), T in K. */
import { pow } from '../numerics/elementary.ts'

export interface Antoine {
  A: number
  B: number
  C: number
}

/** Saturation pressure, Pa. */
export const antoinePressure = ({ A, B, C }: Antoine, T: number): number => pow(10, A - B / (T + C))
