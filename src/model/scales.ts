/** Scales of a spreading drop, from two balances: alcohol budget, and tension against drag. SI units. */
import { cbrt, pow } from '../numerics/elementary.ts'

/** Standard acceleration of gravity, m/s² (CGPM 1901). */
export const GRAVITY = 9.80665

export interface ScaleInputs {
  /** Alcohol volume fraction φ0 at the start. */
  phi0: number
  /** Volume Ω0, m³. */
  volume: number
  /** Spreading parameter at the start, N/m. */
  spreading: number
  /** Depth of the bath, m. */
  depth: number
  /** ηo, Pa·s. */
  oilViscosity: number
  /** Alcohol flux at the start, j_v φ0, m/s. */
  startFlux: number
  /** Drop viscosity η, Pa·s, and largest thickness h0, m: the film grouping only. */
  viscosity: number
  thickness: number
}

export interface Scales {
  /** R* = [φ0 Ω0 S H/(4 ηo j_v)]^¼, m, and t* = [4 φ0 Ω0 ηo/(S H j_v)]^½, s. */
  radius: number
  time: number
  /** The grouping with shear inside the film (a reconstruction), m and s. */
  filmRadius: number
  filmTime: number
}

/** Both groupings; NaN where S ≤ 0 or nothing evaporates. */
export function scales(q: ScaleInputs): Scales {
  const rate = q.startFlux / q.phi0
  const spreads = q.spreading > 0 && rate > 0 && q.phi0 > 0
  if (!spreads) return { radius: Number.NaN, time: Number.NaN, filmRadius: Number.NaN, filmTime: Number.NaN }
  const alcohol = (q.phi0 * q.volume) / rate
  const drag = (q.spreading * q.depth) / (4 * q.oilViscosity)
  const filmDrag = (q.thickness * q.spreading) / q.viscosity
  return {
    radius: pow(alcohol * drag, 0.25),
    time: Math.sqrt(alcohol / drag),
    filmRadius: pow(alcohol * filmDrag, 0.25),
    filmTime: Math.sqrt(alcohol / filmDrag),
  }
}

/**
 * Radius of a resting lens in the thin limit: parabolic cap of edge slope √(−2S/γ_eff), m; Infinity if S ≥ 0.
 * @param volume m³ @param spreading N/m @param levelling γ_eff, N/m
 */
export function restingRadius(volume: number, spreading: number, levelling: number): number {
  if (!(spreading < 0)) return Number.POSITIVE_INFINITY
  const slope = Math.sqrt((-2 * spreading) / levelling)
  return cbrt((4 * volume) / (Math.PI * slope))
}

/**
 * Thickness of a wide puddle of light liquid afloat on a heavier one, m: e = √(−2 S ρo/(ρ (ρo − ρ) g)) (Langmuir).
 * @param spreading S, N/m, negative
 * @param rho density of the puddle, kg/m³, below that of the bath
 * @param rhoOil density of the bath, kg/m³
 * @throws RangeError where no such puddle exists (S ≥ 0, or not lighter than the bath)
 */
export function puddleThickness(spreading: number, rho: number, rhoOil: number): number {
  if (!(spreading < 0))
    throw new RangeError(`spreading parameter ${spreading} N/m: a puddle rests only below 0`)
  if (!(rho > 0 && rho < rhoOil)) {
    throw new RangeError(
      `density ${rho} kg/m³: a floating puddle must be lighter than its bath (${rhoOil} kg/m³)`,
    )
  }
  return Math.sqrt((-2 * spreading * rhoOil) / (rho * (rhoOil - rho) * GRAVITY))
}
