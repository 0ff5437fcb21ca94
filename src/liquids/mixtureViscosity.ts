import { exp, log } from '../numerics/elementary.ts'
import { andrade } from './andrade.ts'
import { clampFraction, T20 } from './constants.ts'
import { smoothCurve } from './smoothCurve.ts'
import { water } from './water.ts'

/** What is needed to make the viscosity of a mixture out of a table at 20 °C. */
export interface ViscosityTable {
  /** [alcohol mass fraction strictly between 0 and 1, viscosity at 20 °C in mPa·s]. */
  rows: readonly (readonly [w: number, viscosity: number])[]
  /** Viscosity of the pure alcohol at 20 °C, mPa·s. */
  alcohol: number
  /** Slope b of Andrade's law for the pure alcohol, K. */
  alcoholSlope: number
}

/**
 * Relative loss of the excess of ln η per kelvin. Assumed the same for all four alcohols; it is what the
 * ethanol–water viscosities at 10, 20 and 30 °C (Bingham's table, from memory) show within a tenth at any strength.
 */
const EXCESS_LOSS = 0.017

/**
 * Viscosity, Pa·s, of mass fraction and temperature (K): ln η = (1−w) ln η_water(T) + w ln η_alcohol(T) + E(w) e^(−0.017 (T−293.15)),
 * E from the table at 20 °C, divided by w(1−w) and joined by a smooth curve.
 */
export function mixtureViscosity(table: ViscosityTable): (w: number, T: number) => number {
  const mixed = (w: number, T: number) =>
    (1 - w) * log(water.viscosity(T)) + w * log(andrade(1e-3 * table.alcohol, T20, table.alcoholSlope, T))
  const excess = smoothCurve(
    table.rows.map(([w, viscosity]) => [w, (log(1e-3 * viscosity) - mixed(w, T20)) / (w * (1 - w))]),
  )
  return (fraction, T) => {
    const w = clampFraction(fraction)
    return exp(mixed(w, T) + w * (1 - w) * excess(w) * exp(-EXCESS_LOSS * (T - T20)))
  }
}
