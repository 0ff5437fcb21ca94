/** Constants of log10(p/Pa) = A − B/(T + C), T in K. */
export interface Antoine {
  A: number
  B: number
  C: number
}

/** Saturation pressure, Pa. */
export const antoinePressure = ({ A, B, C }: Antoine, T: number): number => 10 ** (A - B / (T + C))
