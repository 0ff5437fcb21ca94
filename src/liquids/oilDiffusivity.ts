/**
 * How fast an alcohol diffuses in an oil. For small molecules in liquids of 0.5–5000 mPa·s D goes as η^(−2/3) at 25 °C
 * (Hiss & Cussler, AIChE J. 19, 698 (1973), hexane and naphthalene in hydrocarbons; in Stokes and Einstein's law it would
 * be η^(−1)). The constant is that of hexane in itself, 4.2e-9 m²/s at 0.294 mPa·s (from memory), carried to the
 * alcohol's size by its molar volume to the power −0.6 (Wilke & Chang 1955): ethanol 1.9e-10 m²/s at 60 mPa·s.
 */
import { pow } from '../numerics/elementary.ts'
import { T25 } from './constants.ts'
import type { Known } from './oilSolubility.ts'

const HEXANE = { diffusivity: 4.2e-9, viscosity: 0.294e-3, volume: 131.6 }

/** Molar volumes of the pure alcohols at 25 °C, cm³/mol. */
const VOLUME: Readonly<Record<string, number>> = {
  methanol: 40.7,
  ethanol: 58.7,
  '1-propanol': 75.1,
  '2-propanol': 76.9,
}

/** Name of the quantity, in source notes and for a user's oil. */
export const DIFFUSIVITY = 'diffusivity of the alcohol in the oil'

const above0 = (what: string, value: number, unit: string): void => {
  if (!(value > 0 && Number.isFinite(value)))
    throw new RangeError(`${what} ${value} ${unit}: must be above 0`)
}

/** D over that of hexane, by size. @throws RangeError for an alcohol that is not known. */
function bySize(alcohol: string): number {
  if (!Object.hasOwn(VOLUME, alcohol))
    throw new RangeError(
      `no diffusivity of "${alcohol}" in oil is known; known are ${Object.keys(VOLUME).join(', ')}`,
    )
  return pow(VOLUME[alcohol]! / HEXANE.volume, -0.6)
}

/**
 * Diffusivity of a library alcohol at T (K) in an oil of the given viscosity (Pa·s, at T), m²/s. It goes as T besides.
 * @throws RangeError if viscosity or temperature is not above 0, or the alcohol is not known.
 */
export function oilDiffusivity(alcohol: string, viscosity: number, T: number): Known {
  above0('viscosity of the oil', viscosity, 'Pa·s')
  above0('temperature', T, 'K')
  const thin = pow(viscosity / HEXANE.viscosity, -2 / 3)
  return {
    value: HEXANE.diffusivity * bySize(alcohol) * (T / T25) * thin,
    factor: 2,
    source: {
      quantity: DIFFUSIVITY,
      source:
        'goes as η^(−2/3), measured for small molecules at 25 °C: Hiss & Cussler, AIChE J. 19, 698 (1973); starting from hexane in itself (from memory), size by the molar volume to the power −0.6 (Wilke & Chang 1955), proportional to T (assumed)',
      quality: 'derived',
      range: '0.5–5000 mPa·s, within a factor 2',
    },
  }
}

/** Ethanol in silicone at 25 °C, m²/s. */
const SILICONE = 7e-10

/**
 * Diffusivity of a library alcohol at T (K) in a silicone oil, m²/s: the chains move easily, and small molecules among
 * them, however long the chains and thick the oil.
 */
export function siliconeDiffusivity(alcohol: string, T: number): Known {
  above0('temperature', T, 'K')
  return {
    value: SILICONE * (bySize(alcohol) / bySize('ethanol')) * pow(T / T25, 5),
    factor: 3,
    source: {
      quantity: DIFFUSIVITY,
      source:
        'ethanol in silicone rubber about 7e-10 m²/s at 25 °C, from memory, the same in oils of any viscosity (assumed); about 1.7 % per kelvin (assumed)',
      quality: 'from memory',
      range: '10–35 °C, within a factor 3',
    },
  }
}
