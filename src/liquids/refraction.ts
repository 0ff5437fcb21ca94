import { clampFraction, T20 } from './constants.ts'
import { water } from './water.ts'

const WATER_INDEX = 1.33299

/** Lorentz–Lorenz ratio (n²−1)/(n²+2). */
const ratio = (n: number) => (n * n - 1) / (n * n + 2)

/**
 * Refractive index (sodium D) from the specific refractions of the pure liquids at 20 °C, added by mass, and the
 * density of the mixture. It lies above the tables of the CRC Handbook (methanol, ethanol; from memory) and of Chu & Thompson,
 * J. Chem. Eng. Data 7, 358 (1962) (the propanols) by at most 0.0015, of 2-propanol by 0.003, and has their maxima.
 */
export function mixedIndex(
  alcoholIndex: number,
  density: (w: number, T: number) => number,
): (w: number, T: number) => number {
  const alcohol = ratio(alcoholIndex) / density(1, T20)
  const pureWater = ratio(WATER_INDEX) / water.density(T20)
  return (fraction, T) => {
    const w = clampFraction(fraction)
    const q = (w * alcohol + (1 - w) * pureWater) * density(w, T)
    return Math.sqrt((1 + 2 * q) / (1 - q))
  }
}
