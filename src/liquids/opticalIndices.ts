/**
 * Refractive indices over the visible spectrum, of the drop's liquid and of the oils. Wavelengths in m, temperatures in K.
 * The index at the sodium D line comes from the mixture (`refraction.ts`, or a user's own liquid); what is added here is
 * how it changes with the wavelength.
 */
import { square } from '../numerics/elementary.ts'
import { additiveVolumeFraction } from './composition.ts'
import { clampFraction } from './constants.ts'
import type { Mixture, Oil, SourceNote } from './types.ts'

/** Sodium D line, m. */
export const SODIUM = 589.3e-9

/** n(λ) = Σ c λ^(−2k), λ in µm, k = 0, 1, … */
type Cauchy = readonly number[]

const cauchy = (terms: Cauchy, wavelength: number): number => {
  const x = 1 / square(1e6 * wavelength)
  return terms.reduceRight((sum, c) => sum * x + c, 0)
}

/** Water at 20 °C, Sellmeier terms [strength, µm²]. */
const WATER = [
  [5.684027565e-1, 5.101829712e-3],
  [1.726177391e-1, 1.821153936e-2],
  [2.086189578e-2, 2.620722293e-2],
  [1.130748688e-1, 1.069792721e1],
] as const

/** Index of water at 20 °C against vacuum. */
export function waterIndex(wavelength: number): number {
  const lambda2 = square(1e6 * wavelength)
  return Math.sqrt(WATER.reduce((sum, [a, b]) => sum + (a * lambda2) / (lambda2 - b), 1))
}

/** Alcohols at 22 °C: only the change with the wavelength is taken from here. */
const ALCOHOLS: Readonly<Record<string, Cauchy>> = {
  ethanol: [1.34959, 4.0147128e-3, -5.9411155e-5, 3.04975e-6],
  methanol: [1.3195, 3.05364419e-3, -3.41636393e-5, 2.62128e-6],
  '2-propanol': [1.36485, 4.29404081e-3, -6.482338e-5, 3.41833e-6],
}

/** Of 1-propanol no curve to 400 nm was found: that of 2-propanol stands for it, as for a user's own alcohol that names none. */
const alcoholTerms = (mixture: Mixture): Cauchy =>
  ALCOHOLS[mixture.id] ?? ALCOHOLS[mixture.like ?? ''] ?? ALCOHOLS['2-propanol']!

/** Index of the mixture at alcohol mass fraction w, temperature T (K) and wavelength (m, 380–780 nm). */
export function mixtureIndex(mixture: Mixture, w: number, T: number, wavelength: number): number {
  const share = additiveVolumeFraction(mixture, clampFraction(w), T)
  const terms = alcoholTerms(mixture)
  const alcohol = cauchy(terms, wavelength) - cauchy(terms, SODIUM)
  const water = waterIndex(wavelength) - waterIndex(SODIUM)
  return mixture.refractiveIndex(w, T) + share * alcohol + (1 - share) * water
}

interface OilIndex {
  /** At 20 °C, sodium D, and its slope per kelvin. */
  at20: number
  slope: number
  /** Change with the wavelength. */
  terms: Cauchy
  note: SourceNote
}

/** Oleic acid, 495–670 nm: what triglycerides of such acids are taken to share is the change with the wavelength. */
const OLEIC: Cauchy = [1.4554, 4.565e-3, 1e-4]
/** Schneider et al.'s polydimethylsiloxane, one Sellmeier term 1.0057, 0.013217 µm², as powers of 1/λ² (within 1e-6). */
const SILOXANE: Cauchy = [1.416226, 4.69503e-3, 5.33686e-5, 7.853e-7]

const oleic =
  'change with the wavelength as that of oleic acid: Jones, King & Ward, Chem. Commun. 51, 4914 (2015)'
const note = (source: string, quality: SourceNote['quality'], range: string): SourceNote => ({
  quantity: 'refractive index of the oil',
  source,
  quality,
  range,
})

const plant = (at20: number, range: string, source: string): OilIndex => ({
  at20,
  slope: -3.8e-4,
  terms: OLEIC,
  note: note(`${source}; −0.00038 per kelvin, usual value; ${oleic}`, 'from memory', range),
})
const kitchen = (at20: number, at40: string): OilIndex =>
  plant(
    at20,
    'sodium D, within 0.002',
    `middle of the range ${at40} at 40 °C of CODEX STAN 210 (from memory)`,
  )
const siloxane = (at20: number): OilIndex => ({
  at20,
  slope: -3.7e-4,
  terms: SILOXANE,
  note: note(
    'usual value of data sheets (1.403 at 25 °C for 350 cSt, 1.402 for 50 cSt); change with the wavelength: Schneider et al., Sens. Actuators A 151, 95 (2009), of a cured silicone',
    'from memory',
    'sodium D, within 0.002',
  ),
})

const rapeseed = kitchen(1.4735, '1.465–1.467')
const sunflower = kitchen(1.474, '1.461–1.468, upper part')

const OILS: Readonly<Record<string, OilIndex>> = {
  'rapeseed-oil': rapeseed,
  'rapeseed-oil-kitchen': rapeseed,
  'sunflower-oil': sunflower,
  'sunflower-oil-kitchen': sunflower,
  'soybean-oil': kitchen(1.475, '1.466–1.470'),
  'olive-oil': plant(1.469, 'sodium D, within 0.002', '1.4677–1.4705 at 20 °C, CODEX STAN 33 (from memory)'),
  'castor-oil': plant(1.478, 'sodium D, within 0.002', 'usual value 1.477–1.480 at 20 °C'),
  'paraffin-oil-light': plant(1.469, 'sodium D, within 0.01', 'usual range 1.46–1.48 of light paraffin oils'),
  'silicone-oil-50': siloxane(1.404),
  'silicone-oil-350': siloxane(1.405),
}

/** Where nothing is known of the oil: the reference case, a user's own that names no library oil. */
const UNKNOWN: OilIndex = {
  ...plant(1.47, '', ''),
  note: note(
    `1.47 assumed, as of most plant and paraffin oils; ${oleic}`,
    'assumed',
    'sodium D, within 0.02',
  ),
}

const entryOf = (oil: Pick<Oil, 'id' | 'like'> | null): OilIndex =>
  OILS[oil?.id ?? ''] ?? OILS[oil?.like ?? ''] ?? UNKNOWN

/** Index of an oil (null: the reference case) at T (K) and wavelength (m). */
export function oilIndex(oil: Pick<Oil, 'id' | 'like'> | null, T: number, wavelength: number): number {
  const { at20, slope, terms } = entryOf(oil)
  return at20 + slope * (T - 293.15) + cauchy(terms, wavelength) - cauchy(terms, SODIUM)
}

/** Where an oil's index comes from. */
export const oilIndexNote = (oil: Pick<Oil, 'id' | 'like'> | null): SourceNote => entryOf(oil).note

/** Where the film's index comes from. */
export const filmIndexNotes: readonly SourceNote[] = [
  {
    quantity: 'change of the index with the wavelength',
    source:
      'water: Daimon & Masumura, Appl. Opt. 46, 3811 (2007); methanol, ethanol, 2-propanol: Kozma, Krok & Riedle, J. Opt. Soc. Am. B 22, 1479 (2005), beyond 641 nm continued; 1-propanol as 2-propanol; added by volume',
    quality: 'derived',
    range: '380–780 nm, within 0.001',
  },
]
