import { log1p } from '../numerics/elementary.ts'
import { clampFraction } from './constants.ts'
import { type Point, smoothCurve } from './smoothCurve.ts'
import { water } from './water.ts'

/** What is needed to make the tension of a mixture out of a table. */
export interface TensionTable {
  /** Temperature of the table, K. */
  at: number
  /** [alcohol mass fraction, tension in mN/m, weight] from water to pure alcohol. */
  rows: readonly Point[]
  /** Stretch of the abscissa ln(1 + w/stretch); small where traces of alcohol act strongly. */
  stretch: number
  /** Roughness weight of the smoothing. */
  roughness: number
  /** Slope of the pure alcohol's tension, mN/(m·K), negative. */
  alcoholSlope: number
}

/**
 * Tension against air, N/m, as a function of mass fraction and temperature (K).
 *
 * One shape θ(w), falling smoothly from 1 (water) to 0 (alcohol), carries the composition; the pure liquids carry
 * the temperature: γ = γ_alcohol(T) + (γ_water(T) − γ_alcohol(T)) θ(w). The end at w = 0 is the IAPWS value.
 * In the tables for 20 and 25 °C of methanol and ethanol the slope −dγ/dT follows θ within 0.02 mN/(m·K).
 */
export function mixtureTension(table: TensionTable): (w: number, T: number) => number {
  const rows = table.rows
  const top = 1e3 * water.surfaceTension(table.at)
  const end = rows[rows.length - 1]![1]
  const stretched = (w: number) => log1p(w / table.stretch)
  const points: Point[] = rows.map(([w, y, weight], i) => {
    const isEnd = i === 0 || i === rows.length - 1
    const theta = i === 0 ? 1 : (y - end) / (top - end)
    return [stretched(w), theta, isEnd ? END_WEIGHT : (weight ?? 1)]
  })
  const shape = smoothCurve(points, table.roughness)
  return (w, T) => {
    const alcohol = end + table.alcoholSlope * (T - table.at)
    return 1e-3 * (alcohol + (1e3 * water.surfaceTension(T) - alcohol) * shape(stretched(clampFraction(w))))
  }
}

/** Pins the ends of the curve on the pure liquids. */
const END_WEIGHT = 1e6
