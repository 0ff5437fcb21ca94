import { andrade, andradeSlope } from './andrade.ts'
import { T20 } from './constants.ts'
import type { Oil, SourceNote } from './types.ts'

/** Data of one bath liquid. */
export interface OilData {
  id: string
  name: string
  /** kg/m³ at 20 °C, and its slope per kelvin. */
  density: [at20: number, slope: number]
  /** Two viscosities, [K, mPa·s]. */
  viscosity: [[T: number, value: number], [T: number, value: number]]
  /** Tension against air: mN/m at 22 °C, and its slope per kelvin. */
  tension: [at22: number, slope: number]
  /** Tension against pure water, mN/m; its change with temperature is left out. */
  waterTension: number
  sources: SourceNote[]
}

const T22 = 295.15

/** Makes a bath liquid out of its data: density and tension linear in T, viscosity by Andrade's law. */
export function makeOil(data: OilData): Oil {
  const [cold, warm] = data.viscosity
  const b = andradeSlope(cold, warm)
  return {
    id: data.id,
    name: data.name,
    density: (T) => data.density[0] + data.density[1] * (T - T20),
    viscosity: (T) => andrade(1e-3 * cold[1], cold[0], b, T),
    surfaceTension: (T) => 1e-3 * (data.tension[0] + data.tension[1] * (T - T22)),
    waterTension: () => 1e-3 * data.waterTension,
    temperatureRange: [283.15, 308.15],
    sources: data.sources,
  }
}

/** Notes common to the plant oils; `viscosity` and `waterTension` say what differs. */
export function plantOilNotes(viscosity: string, waterTension: SourceNote): SourceNote[] {
  return [
    {
      quantity: 'density',
      source: 'handbook range of edible oils 0.91–0.93 g/cm³; the single value and its slope from memory',
      quality: 'from memory',
      range: '10–35 °C, within 1 %',
    },
    { quantity: 'viscosity', source: viscosity, quality: 'from memory', range: '10–40 °C, within 15 %' },
    {
      quantity: 'tension against air',
      source: 'about 33–34 mN/m for all kitchen oils, partly from memory',
      quality: 'from memory',
      range: '20–25 °C, within 1 mN/m; slope assumed',
      celsius: [20, 25],
    },
    waterTension,
  ]
}

/** Tension against water of a clean triglyceride. */
export const CLEAN_WATER_TENSION: SourceNote = {
  quantity: 'tension against pure water',
  source:
    'pendant drops, all triglycerides 23–26 mN/m: Fisher, Mitchell & Parker, J. Food Sci. 50, 1201 (1985), citation from memory; 24 taken',
  quality: 'measured',
  range: 'about 20–25 °C, clean oil',
  celsius: [20, 25],
}

/** Tension against water of a kitchen-grade oil. */
export const KITCHEN_WATER_TENSION: SourceNote = {
  quantity: 'tension against pure water',
  source: '14.5–22.9 mN/m measured for refined kitchen oils, falling with age; 15 taken',
  quality: 'measured',
  range: 'about 20–25 °C, varies from bottle to bottle',
  celsius: [20, 25],
}
