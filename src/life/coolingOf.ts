/** How evaporation cools the drop of a preset's liquids: what the engine needs to know. */
import { heatOfEvaporation, oilHeat, pressureSlope } from '../liquids/oilHeat.ts'
import type { Mixture } from '../liquids/types.ts'
import { water } from '../liquids/water.ts'
import type { Cooling } from '../model/problem.ts'
import type { Preset } from './types.ts'

/**
 * @param w alcohol mass fraction whose tension is followed (the drop's at the start)
 * @param ambientWater the room's moisture in the unit of the loss closures
 */
export function coolingOf(
  { air, bath }: Preset,
  mixture: Mixture,
  oilDensity: number,
  w: number,
  ambientWater: number,
): Cooling {
  const T = air.temperature_C + 273.15
  const { capacity, diffusivity } = oilHeat(bath.density_kgPerM3 ?? oilDensity)
  // A given rate does not ask for the vapour pressure.
  const given = air.mode === 'constant'
  const alcoholPressure = (at: number) => mixture.vapourPressure(at)
  const waterPressure = (at: number) => water.vapourPressure(at)
  const perVolume = (heat: number, density: number, molarMass: number) =>
    (heat * density) / molarMass / capacity
  return {
    diffusivity,
    alcoholHeat: perVolume(heatOfEvaporation(alcoholPressure, T), mixture.density(1, T), mixture.molarMass),
    waterHeat: perVolume(heatOfEvaporation(waterPressure, T), mixture.density(0, T), water.molarMass),
    alcoholFall: given ? 0 : pressureSlope(alcoholPressure, T),
    waterFall: given ? 0 : pressureSlope(waterPressure, T),
    ambientWater: given ? 0 : ambientWater,
    tensionRise: (mixture.surfaceTension(w, T - 1) - mixture.surfaceTension(w, T + 1)) / 2,
  }
}
