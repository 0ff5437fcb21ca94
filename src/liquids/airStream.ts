/**
 * Air that streams over the dish: the film coefficient of a vapour from the speed of the air. Laminar boundary layer on
 * a flat plate, Sh = 0.664 Re^½ Sc^⅓ averaged over the plate's length (Pohlhausen's solution; Incropera & DeWitt,
 * Fundamentals of Heat and Mass Transfer, "Flat plate in parallel flow"; the same numbers hold for heat with Nu and Pr).
 */
import { cbrt, pow, square } from '../numerics/elementary.ts'
import { ATMOSPHERE, GAS_CONSTANT } from './constants.ts'
import { AIR_MOLAR_MASS } from './fuller.ts'

/** Reynolds numbers between which the correlation is used without a warning: below, the layer is no longer thin beside the plate (common practice, no source); above, it turns turbulent (textbook). */
export const REYNOLDS_RANGE = [100, 5e5] as const

/** Viscosity of dry air, Pa·s, 200–1000 K within 2 %: Sutherland's law with the constants of White, Viscous Fluid Flow (273 K, 1.716e-5 Pa·s, 111 K). */
export const airViscosity = (T: number): number => (1.716e-5 * pow(T / 273, 1.5) * (273 + 111)) / (T + 111)

/** Density of dry air at 101 325 Pa as an ideal gas, kg/m³; T in K. */
export const airDensity = (T: number): number => (ATMOSPHERE * AIR_MOLAR_MASS) / (GAS_CONSTANT * T)

/** Average Sherwood (or Nusselt) number of a plate in laminar flow; `schmidt` (or Prandtl) 0.6 and above. */
export const plateSherwood = (reynolds: number, schmidt: number): number =>
  0.664 * Math.sqrt(reynolds) * cbrt(schmidt)

export interface AirStream {
  reynolds: number
  schmidt: number
  sherwood: number
  /** Film coefficient averaged over the plate, m/s. */
  coefficient: number
  /** Pull of the air on the surface at the plate's end, Pa (Blasius: 0.332 ρ u² Re^−½). */
  drag: number
}

/**
 * Air of `speed` (m/s, > 0) along a plate of `length` (m) at T (K), carrying off a vapour of `diffusivity` (m²/s). The
 * range of Re is not enforced: see REYNOLDS_RANGE.
 */
export function airStream(speed: number, length: number, T: number, diffusivity: number): AirStream {
  const density = airDensity(T)
  const kinematic = airViscosity(T) / density
  const reynolds = (speed * length) / kinematic
  const schmidt = kinematic / diffusivity
  const sherwood = plateSherwood(reynolds, schmidt)
  return {
    reynolds,
    schmidt,
    sherwood,
    coefficient: (sherwood * diffusivity) / length,
    drag: (0.332 * density * speed * speed) / Math.sqrt(reynolds),
  }
}

/** The speed (m/s) at which airStream has this film coefficient (m/s). */
export function speedOfCoefficient(
  coefficient: number,
  length: number,
  T: number,
  diffusivity: number,
): number {
  return square(coefficient / airStream(1, length, T, diffusivity).coefficient)
}
