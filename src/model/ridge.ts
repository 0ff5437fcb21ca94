/**
 * How fast a flat ridge of liquid that floats on a viscous bath beads: a closed formula for the waves along it.
 *
 * Capillary pressure drives liquid from necks to bulges (Rayleigh–Plateau). Two resistances of the bath stand in series:
 * the contact lines must slide sideways over it, and the liquid must be carried along. A parabola of base b and slope θ
 * has the section θ b²/6 and dp/dA = −6 γ/b³; with the drive D = 1 − X tanh X, X = k b/2 (neutral where X tanh X = 1),
 * the first alone would give γ θ² c D/(ηo b), the second γ θ² c X²/(a ηo b), and both together the formula below. The
 * drop's own viscosity does not enter: what flows inside it along the ridge is little beside what the bath carries.
 */
import { exp } from '../numerics/elementary.ts'

/** A ridge of parabolic section; SI units. */
export interface Ridge {
  /** Base b, m. */
  base: number
  /** Slope θ at the feet. */
  slope: number
  /** γ_eff, N/m. */
  tension: number
  /** ηo, Pa·s. */
  oilViscosity: number
}

/**
 * c and a. Derived up to two logarithms of the distances over which the lines feel each other through the bath (c = Λ/π
 * with Λ ≈ 4); fitted to the growth and the number of the leading waves of the full calculation (src/rim) along 26 lives,
 * and tried on 18 others: ln of the growth 0.96 times that of the full calculation, spread a factor 1.33; number of waves
 * 1.06, factor 1.34 (strengths from the threshold on, volumes, depths, four alcohols, oils of 10 to 700 mPa·s). The same
 * fit gave 0.94 for the coefficient of the dilution by inflow (breakUp.ts), which is 1 by its reason.
 */
const SLIDE = 1.34
const CARRY = 1.43

/** For x ≥ 0. */
const tanh = (x: number): number => 2 / (1 + exp(-2 * x)) - 1

/** Growth rate, 1/s, of a wave of wavenumber k (1/m): positive for long waves, negative for X tanh X > 1. */
export function ridgeGrowth(k: number, { base, slope, tension, oilViscosity }: Ridge): number {
  const X = 0.5 * k * base
  const drive = 1 - X * tanh(X)
  const scale = (SLIDE * tension * slope * slope) / (oilViscosity * base)
  return drive > 0 ? (scale * X * X * drive) / (X * X + CARRY * drive) : scale * drive
}
