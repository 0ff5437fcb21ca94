/**
 * What a bath takes up of the drop's alcohol. At the oil's surface under the film the dissolved alcohol is
 * c = c* a(w) (volume of pure alcohol per volume of oil), a the activity of the alcohol in the mixture; from there it
 * diffuses downwards.
 */
import { pow } from '../numerics/elementary.ts'
import { moleFraction } from './composition.ts'
import { clampFraction, T25 } from './constants.ts'
import { gapOf } from './miscibility.ts'
import type { Mixture, Oil, Quality, SourceNote } from './types.ts'

/** A number that is known within a factor: from value/factor to value·factor. */
export interface Known {
  value: number
  /** 1 or more. */
  factor: number
  source: SourceNote
}

/** What the bath takes up of the alcohol. */
export interface Uptake {
  /** c*: volume of pure alcohol per volume of oil in equilibrium with pure alcohol, as used in c = c* a; 0 or more. */
  solubility: number
  /** Known within this factor (1 or more). */
  solubilityFactor: number
  /** Diffusivity of the alcohol in the oil, m²/s. */
  diffusivity: number
  diffusivityFactor: number
  sources: SourceNote[]
}

/**
 * Activity of the alcohol in the mixture relative to the pure liquid, x γ, at mass fraction w (clamped to 0–1) and
 * T (K): 0 in water, 1 in the pure alcohol, never falling with w. Constants that would part the mixture into two
 * liquids (a user's may) give the activity of the two in equilibrium.
 */
export function activity(mixture: Mixture, w: number, T: number): number {
  const x = moleFraction(mixture.molarMass, clampFraction(w))
  const gap = gapOf(mixture, T)
  if (gap && x > gap.from && x < gap.until) return gap.level
  return x * mixture.activity(x, T)[0]
}

/** Alcohol dissolved at the oil's surface under a mixture, volume of pure alcohol per volume of oil: c* a. */
export const dissolvedAt = (mixture: Mixture, oil: Oil, w: number, T: number): number =>
  solubilityIn(mixture, oil, T).value * activity(mixture, w, T)

/** Kinds of oil that take up alcohol alike. */
type Family = 'plant' | 'castor' | 'silicone' | 'paraffin'

const FAMILY: Record<string, Family> = {
  'castor-oil': 'castor',
  'silicone-oil-50': 'silicone',
  'silicone-oil-350': 'silicone',
  'paraffin-oil-light': 'paraffin',
}

/** Bath liquids without a name of their own here are plant oils. */
const familyOf = (oil: string): Family => (Object.hasOwn(FAMILY, oil) ? FAMILY[oil]! : 'plant')

/** c* in plant oils, within a factor 3. */
const IN_PLANT_OIL: Record<string, number> = {
  methanol: 0.025,
  ethanol: 0.04,
  '2-propanol': 0.05,
  '1-propanol': 0.057,
}

/** c* over that in plant oils, and the factor within which c* is known. */
const BESIDE_PLANT: Record<Family, { times: number; factor: number; quality: Quality; why: string }> = {
  plant: { times: 1, factor: 3, quality: 'from memory', why: 'alcohol in plant oils' },
  castor: {
    times: 4,
    factor: 4,
    quality: 'assumed',
    why: 'castor oil mixes with absolute alcohol in any proportion; four times the value of the other plant oils stands for weaker mixtures, where the oil stays apart',
  },
  silicone: {
    times: 0.5,
    factor: 4,
    quality: 'assumed',
    why: 'half of that in plant oils: polydimethylsiloxane has no groups that bind an alcohol as the esters do',
  },
  paraffin: {
    times: 0.25,
    factor: 4,
    quality: 'assumed',
    why: 'a quarter of that in plant oils: hydrocarbons have no groups that bind an alcohol',
  },
}

const SOLUBILITY = 'solubility of the alcohol in the oil'
const DIFFUSIVITY = 'diffusivity of the alcohol in the oil'

/**
 * c* of a library alcohol in a library oil at T (K): volume of pure alcohol per volume of oil, used as c = c* a.
 * "reference", the bath without liquids of its own, takes up none.
 * @throws RangeError for an alcohol that is not known.
 */
export function solubilityOf(alcohol: string, oil: string, _T: number): Known {
  if (alcohol === 'reference' || oil === 'reference') return NONE
  const plant = Object.hasOwn(IN_PLANT_OIL, alcohol) ? IN_PLANT_OIL[alcohol] : undefined
  if (plant === undefined)
    throw new RangeError(
      `no solubility of "${alcohol}" in oil is known; known are ${Object.keys(IN_PLANT_OIL).join(', ')}`,
    )
  const { times, factor, quality, why } = BESIDE_PLANT[familyOf(oil)]
  return {
    value: plant * times,
    factor,
    source: {
      quantity: SOLUBILITY,
      source: `${why}; volume of alcohol per volume of oil at the activity of the pure alcohol`,
      quality,
      range: `about 25 °C, within a factor ${factor}`,
    },
  }
}

const NONE: Known = {
  value: 0,
  factor: 1,
  source: {
    quantity: SOLUBILITY,
    source: 'the reference case takes up no alcohol by definition',
    quality: 'assumed',
    range: 'reference case',
  },
}

/** Diffusivity of an alcohol at 25 °C in an oil of 60 mPa·s, m²/s. */
const AT_60 = 2e-10

/**
 * Diffusivity of the alcohol in an oil of the given viscosity (Pa·s, at T) at T (K), m²/s: falls as η^(−2/3) and
 * rises as T, as small molecules do in viscous liquids (Hiss & Cussler, AIChE J. 19, 698 (1973)).
 * @throws RangeError if viscosity or temperature is not above 0.
 */
export function oilDiffusivity(_alcohol: string, viscosity: number, T: number): Known {
  if (!(viscosity > 0 && Number.isFinite(viscosity)))
    throw new RangeError(`viscosity of the oil ${viscosity} Pa·s: must be above 0`)
  if (!(T > 0 && Number.isFinite(T))) throw new RangeError(`temperature ${T} K: must be above 0`)
  return {
    value: AT_60 * (T / T25) * pow(viscosity / 0.06, -2 / 3),
    factor: 2,
    source: {
      quantity: DIFFUSIVITY,
      source:
        'about 2e-10 m²/s at 25 °C in an oil of 60 mPa·s, from memory; with the viscosity as η^(−2/3), measured for small molecules in liquids of 0.5–5000 mPa·s: Hiss & Cussler, AIChE J. 19, 698 (1973); with T assumed',
      quality: 'from memory',
      range: '0.5–5000 mPa·s, within a factor 2',
    },
  }
}

/** c* of a mixture's alcohol in an oil, both of the library or the user's. */
function solubilityIn(mixture: Mixture, oil: Oil, T: number): Known {
  const given = oil.alcoholSolubility
  if (given) return { value: given(T), ...said(oil, SOLUBILITY) }
  const known = solubilityOf(mixture.like ?? mixture.id, oil.like ?? oil.id, T)
  return mixture.like || oil.like ? lent(known, mixture, oil) : known
}

/** Solubility and diffusivity of a mixture's alcohol in an oil at T (K). */
export function uptakeOf(mixture: Mixture, oil: Oil, T: number): Uptake {
  const solubility = solubilityIn(mixture, oil, T)
  const given = oil.alcoholDiffusivity
  const diffusivity: Known = given
    ? { value: given(T), ...said(oil, DIFFUSIVITY) }
    : oilDiffusivity(mixture.like ?? mixture.id, oil.viscosity(T), T)
  return {
    solubility: solubility.value,
    solubilityFactor: solubility.factor,
    diffusivity: diffusivity.value,
    diffusivityFactor: diffusivity.factor,
    sources: [solubility.source, diffusivity.source],
  }
}

/** Within which factor a user's number holds, by its quality: common practice, no source. */
const FACTOR: Record<Quality, number> = {
  measured: 1.2,
  correlated: 1.5,
  derived: 1.5,
  assumed: 3,
  'from memory': 3,
}

/** The note of a quantity that the user gave with the oil. */
function said(oil: Oil, quantity: string): Omit<Known, 'value'> {
  const source = oil.sources.find((note) => note.quantity === quantity)!
  return { factor: FACTOR[source.quality], source }
}

/** The note of a library pair that stands in for a user's liquid. */
function lent(known: Known, mixture: Mixture, oil: Oil): Known {
  const pair = `${mixture.like ?? mixture.id} in ${oil.like ?? oil.id}`
  const source = { ...known.source, quality: 'assumed' as const }
  return { ...known, source: { ...source, source: `taken from ${pair}: ${known.source.source}` } }
}
