import { exp, log } from '../numerics/elementary.ts'
import { moleFraction } from './composition.ts'
import { clampFraction, T25 } from './constants.ts'
import { type Point, smoothCurve } from './smoothCurve.ts'

/**
 * Mutual diffusivity in the liquid, m²/s. `rows`: [alcohol mole fraction, value at 25 °C in 1e-9 m²/s] over 0–1;
 * ln D is joined smoothly. Temperature: D ∝ T/η of the mixture (Stokes–Einstein; assumed).
 */
export function mutualDiffusivity(
  molarMass: number,
  rows: readonly Point[],
  viscosity: (w: number, T: number) => number,
): (w: number, T: number) => number {
  const curve = smoothCurve(rows.map(([x, D]) => [x, log(1e-9 * D)]))
  return (fraction, T) => {
    const w = clampFraction(fraction)
    const warm = (T / T25) * (viscosity(w, T25) / viscosity(w, T))
    return exp(curve(moleFraction(molarMass, w))) * warm
  }
}
