/** What a bath conducts and holds of heat, and the heat that evaporation draws. */
import { GAS_CONSTANT } from './constants.ts'
import type { SourceNote } from './types.ts'

/** Conductivity, W/(m K), and heat capacity, J/(kg K), of oils at about 25 °C. */
const CONDUCTIVITY = 0.165
const CAPACITY = 1970

export const HEAT_SOURCES: readonly SourceNote[] = [
  {
    quantity: 'heat conduction in the oil',
    source:
      '0.165 W/(m K) and 1970 J/(kg K), plant oils, from memory; taken for all baths (silicone and paraffin oils 0.13–0.16 and 1500–2100). Heat from the air, a few per cent, is left out',
    quality: 'from memory',
    range: '20–30 °C, within 10 %',
  },
  {
    quantity: 'heat of evaporation',
    source: 'slope of the saturation pressure (Clausius–Clapeyron), ideal vapour, no heat of mixing',
    quality: 'derived',
    range: '10–35 °C',
  },
]

/** Heat capacity per volume, J/(m³ K), and thermal diffusivity, m²/s, of an oil of the given density, kg/m³. */
export function oilHeat(density: number): { capacity: number; diffusivity: number } {
  const capacity = density * CAPACITY
  return { capacity, diffusivity: CONDUCTIVITY / capacity }
}

/** d ln p/dT (1/K) of a saturation pressure (Pa) at T (K). */
export const pressureSlope = (pressure: (T: number) => number, T: number): number =>
  (pressure(T + 0.5) - pressure(T - 0.5)) / pressure(T)

/** Molar heat of evaporation, J/mol: 𝓡T² d ln p/dT (Clausius–Clapeyron). */
export const heatOfEvaporation = (pressure: (T: number) => number, T: number): number =>
  GAS_CONSTANT * T * T * pressureSlope(pressure, T)
