import { log } from '../numerics/elementary.ts'
import { type Activities, activities, diluteCoefficient } from './activities.ts'
import { type Antoine, antoinePressure } from './antoine.ts'
import { T25 } from './constants.ts'
import { airDiffusivity, alkanolDiffusionVolume } from './fuller.ts'
import { mutualDiffusivity } from './liquidDiffusion.ts'
import { mixtureViscosity, type ViscosityTable } from './mixtureViscosity.ts'
import { mixedIndex } from './refraction.ts'
import type { Point } from './smoothCurve.ts'
import { mixtureTension, type TensionTable } from './tension.ts'
import type { Mixture, SourceNote } from './types.ts'
import type { VanLaar } from './vanLaar.ts'

/** Data of one alcohol and its mixtures with water. */
export interface AlkanolData {
  id: string
  name: string
  carbons: number
  /** kg/mol. */
  molarMass: number
  /** Density, kg/m³, of mass fraction and temperature (K). */
  density(w: number, T: number): number
  viscosity: ViscosityTable
  tension: TensionTable
  activity: {
    boiling: Activities['boiling']
    /** van Laar's constants at 25 °C. */
    room: VanLaar
    /** Henry constant in water at 25 °C, mol/(m³ Pa). */
    henry: number
    slope: Activities['slope']
    /** Where the constants of boiling, room and the Henry constant come from. */
    source: string
  }
  antoine: Antoine
  /** [alcohol mole fraction, mutual diffusivity at 25 °C in 1e-9 m²/s]. */
  diffusion: readonly Point[]
  /** Refractive index of the pure alcohol, 20 °C, sodium D. */
  index: number
  /** Notes on density, viscosity and tension; the rest is common to the alcohols. */
  sources: SourceNote[]
}

/** Makes the mixture alcohol–water out of its data. */
export function alkanol(data: AlkanolData): Mixture {
  const { boiling, room, henry, slope } = data.activity
  const dilute = log(diluteCoefficient(henry, antoinePressure(data.antoine, T25)))
  const viscosity = mixtureViscosity(data.viscosity)
  const volume = alkanolDiffusionVolume(data.carbons)
  return {
    id: data.id,
    name: data.name,
    molarMass: data.molarMass,
    density: data.density,
    viscosity,
    surfaceTension: mixtureTension(data.tension),
    activity: activities({ boiling, room: { ...room, dilute }, slope }),
    vapourPressure: (T) => antoinePressure(data.antoine, T),
    vapourDiffusivity: (T) => airDiffusivity(data.molarMass, volume, T),
    liquidDiffusivity: mutualDiffusivity(data.molarMass, data.diffusion, viscosity),
    refractiveIndex: mixedIndex(data.index, data.density),
    temperatureRange: [283.15, 308.15],
    sources: [...data.sources, ...common(data.activity.source)],
  }
}

const common = (activity: string): SourceNote[] => [
  {
    quantity: 'viscosity away from 20 °C',
    source:
      'Andrade law of the pure liquids (CRC Handbook values at 0, 25 and 50 °C, from memory); the excess of ln η falls by 1.7 % per kelvin, taken from ethanol',
    quality: 'assumed',
    range: '10–35 °C',
  },
  {
    quantity: 'activity coefficients',
    source: `van Laar equation; ${activity}`,
    quality: 'derived',
    range: '0–100 %, 10–35 °C, within 5 % from 10 % by mass',
  },
  {
    quantity: 'vapour pressure of the alcohol',
    source: 'Antoine constants, Poling, Prausnitz & O’Connell, Properties of Gases and Liquids (2001)',
    quality: 'correlated',
    range: '10–100 °C',
  },
  {
    quantity: 'diffusivity of the vapour in air',
    source: 'Fuller, Ensley & Giddings, J. Phys. Chem. 73, 3679 (1969)',
    quality: 'correlated',
    range: '1 atm, about 5 %',
  },
  {
    quantity: 'diffusivity in the liquid',
    source: 'values at 25 °C from memory of published measurements, T/η for other temperatures',
    quality: 'from memory',
    range: '0–100 %, about 20 %',
    celsius: [25, 25],
  },
  {
    quantity: 'refractive index',
    source:
      'Lorentz–Lorenz mixing by mass with the density of the mixture; indices of the pure liquids from memory',
    quality: 'derived',
    range: '0–100 %, within 0.0015 (2-propanol 0.003) of handbook tables',
  },
]
