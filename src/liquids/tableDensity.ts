import { clampFraction, T20 } from './constants.ts'
import { smoothCurve } from './smoothCurve.ts'
import { water } from './water.ts'

/** What is needed to make the density of a mixture out of a table at 20 °C. */
export interface DensityTable {
  /** [alcohol mass fraction strictly between 0 and 1, density at 20 °C in kg/m³]. */
  rows: readonly (readonly [w: number, density: number])[]
  /** Density of the pure alcohol at 20 °C, kg/m³. */
  alcohol: number
  /** Its slope against temperature, kg/(m³·K), negative. */
  alcoholSlope: number
}

/**
 * Density, kg/m³, of mass fraction and temperature (K). The table gives the excess volume per mass at 20 °C;
 * it is divided by w(1−w) and joined by a smooth curve. Assumed: the excess volume does not change
 * with temperature (for ethanol that errs by 0.07 % over 5 K).
 */
export function tableDensity(table: DensityTable): (w: number, T: number) => number {
  const ideal = (w: number, alcohol: number, T: number) => w / alcohol + (1 - w) / water.density(T)
  const scaled = smoothCurve(
    table.rows.map(([w, density]) => [w, (1 / density - ideal(w, table.alcohol, T20)) / (w * (1 - w))]),
  )
  return (fraction, T) => {
    const w = clampFraction(fraction)
    const alcohol = table.alcohol + table.alcoholSlope * (T - T20)
    return 1 / (ideal(w, alcohol, T) + w * (1 - w) * scaled(w))
  }
}
