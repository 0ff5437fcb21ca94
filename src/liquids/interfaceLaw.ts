import { exp } from '../numerics/elementary.ts'
import { clampFraction } from './constants.ts'
import type { InterfaceLaw, Oil } from './types.ts'

/** End value of the assumed law, N/m. */
const INTERFACE_END = 0.4e-3

/** Decay of the assumed law per unit of mass fraction. */
const INTERFACE_DECAY = 3.6

/**
 * The default law over an oil at temperature T (K): from the oil's tension against water down to 0.4 mN/m.
 * Assumed; no table of alcohol–water/oil tensions over composition was found.
 */
export function defaultInterfaceLaw(oil: Pick<Oil, 'waterTension'>, T: number): InterfaceLaw {
  return { water: oil.waterTension(T), end: INTERFACE_END, decay: INTERFACE_DECAY }
}

/** Tension between drop and oil, N/m, at alcohol mass fraction w (clamped to 0–1). */
export function dropOilTension(law: InterfaceLaw, w: number): number {
  return law.end + (law.water - law.end) * exp(-law.decay * clampFraction(w))
}
