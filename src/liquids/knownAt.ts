import type { Mixture } from './types.ts'

/** The same mixture; what of it does not depend on the strength is computed once for the temperature T (K). */
export function knownAt(mixture: Mixture, T: number): Mixture {
  const [water, alcohol, pressure] = [mixture.density(0, T), mixture.density(1, T), mixture.vapourPressure(T)]
  return {
    ...mixture,
    density(w, at) {
      if (at !== T || (w !== 0 && w !== 1)) return mixture.density(w, at)
      return w === 0 ? water : alcohol
    },
    vapourPressure: (at) => (at === T ? pressure : mixture.vapourPressure(at)),
  }
}
