import { moleFraction } from './composition.ts'
import { clampFraction, GAS_CONSTANT } from './constants.ts'
import type { Mixture } from './types.ts'
import { water } from './water.ts'

/** A value for each of the two volatile liquids. */
export interface Pair {
  alcohol: number
  water: number
}

/** Molar concentrations of the vapours over the mixture, mol/m³: x γ p_sat/(R T). */
export function saturatedVapour(mixture: Mixture, w: number, T: number): Pair {
  const x = moleFraction(mixture.molarMass, clampFraction(w))
  const [ga, gw] = mixture.activity(x, T)
  const RT = GAS_CONSTANT * T
  return {
    alcohol: (x * ga * mixture.vapourPressure(T)) / RT,
    water: ((1 - x) * gw * water.vapourPressure(T)) / RT,
  }
}

/**
 * The same as volume of liquid per volume of air, dimensionless: y_k = (M_k/ρ_k) c_k. A film coefficient (m/s) or
 * D/R times y − y_ambient is a loss of thickness in m/s. ρ_k is the density of the pure liquid.
 */
export function saturatedLiquidVolume(mixture: Mixture, w: number, T: number): Pair {
  const c = saturatedVapour(mixture, w, T)
  return {
    alcohol: (c.alcohol * mixture.molarMass) / mixture.density(1, T),
    water: (c.water * water.molarMass) / mixture.density(0, T),
  }
}

/** Molar concentrations in the room's air, mol/m³: no alcohol, water from the relative humidity (0–1). */
export function ambientVapour(humidity: number, T: number): Pair {
  return { alcohol: 0, water: (clampFraction(humidity) * water.vapourPressure(T)) / (GAS_CONSTANT * T) }
}

/** The room's vapour as volume of liquid per volume of air, dimensionless (compare saturatedLiquidVolume). */
export function ambientLiquidVolume(mixture: Mixture, humidity: number, T: number): Pair {
  return {
    alcohol: 0,
    water: (ambientVapour(humidity, T).water * water.molarMass) / mixture.density(0, T),
  }
}
