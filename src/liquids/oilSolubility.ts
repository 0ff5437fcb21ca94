/**
 * c*: how much alcohol an oil takes up, as volume of pure alcohol per volume of oil over the alcohol's activity.
 *
 * Plant, castor and paraffin oils: two group-contribution methods, UNIFAC (1991) and modified UNIFAC (Dortmund,
 * parameters of 2016), computed with the Python library thermo for triolein and trilinolein, triricinolein, and
 * tetracosane. c*(a) is x/(1−x) · V_alcohol/(V_oil a) where x γ = a; taken at a = 0.5, in the middle of the activities of
 * mixtures (0.27 to 0.65 at 20 to 70 % by mass). In plant oils it is a third lower in traces and a third to a half
 * higher at a = 0.8. Values are the geometric means of both
 * methods, slopes in T their average. At 37 °C and in traces the means for plant oils (0.023, 0.037, 0.050, 0.055) lie
 * within 15 % of the gas–olive oil equation of Abraham & Weathersby (1994) as remembered (0.025, 0.041, 0.059, 0.058).
 */
import { exp } from '../numerics/elementary.ts'
import { T25 } from './constants.ts'
import type { Quality, SourceNote } from './types.ts'

/** A number that is known within a factor: from value/factor to value·factor. */
export interface Known {
  value: number
  /** 1 or more. */
  factor: number
  source: SourceNote
}

/** Kinds of oil that take up alcohol alike. */
export type Family = 'plant' | 'castor' | 'silicone' | 'paraffin'

const FAMILY: Record<string, Family> = {
  'castor-oil': 'castor',
  'silicone-oil-50': 'silicone',
  'silicone-oil-350': 'silicone',
  'paraffin-oil-light': 'paraffin',
}

/** The family of a library oil; those that are not named here are plant oils. */
export const familyOf = (oil: string): Family => (Object.hasOwn(FAMILY, oil) ? FAMILY[oil]! : 'plant')

interface FamilyData {
  /** c* at 25 °C by alcohol. */
  at25: Readonly<Record<string, number>>
  /** Relative rise with the temperature, 1/K. */
  slope: number
  factor: number
  quality: Quality
  source: string
}

const GROUPS = 'mean of UNIFAC and modified UNIFAC (Dortmund)'

const DATA: Record<Family, FamilyData> = {
  plant: {
    at25: { methanol: 0.029, ethanol: 0.047, '1-propanol': 0.067, '2-propanol': 0.073 },
    slope: 0.008,
    factor: 2,
    quality: 'correlated',
    source: `${GROUPS} for triolein and trilinolein at an alcohol activity of 0.5; the two differ by up to a factor 1.7`,
  },
  castor: {
    at25: { methanol: 0.136, ethanol: 0.191, '1-propanol': 0.257, '2-propanol': 0.269 },
    slope: 0.002,
    factor: 2.5,
    quality: 'assumed',
    source: `${GROUPS} for triricinolein at an alcohol activity of 0.5; castor oil mixes with absolute alcohol in any proportion, and nothing measured was found for mixtures with water, so that one value for all strengths is assumed`,
  },
  paraffin: {
    at25: { methanol: 0.0078, ethanol: 0.011, '1-propanol': 0.017, '2-propanol': 0.02 },
    slope: 0.02,
    factor: 2.5,
    quality: 'correlated',
    source: `${GROUPS} for a hydrocarbon of 24 carbons at an alcohol activity of 0.5; hydrocarbons have no groups that bind an alcohol`,
  },
  silicone: {
    at25: { methanol: 0.03, ethanol: 0.05, '1-propanol': 0.09, '2-propanol': 0.09 },
    slope: 0.01,
    factor: 3,
    quality: 'from memory',
    source:
      'middle between the swelling of silicone rubber in pure alcohols (2, 4, 9 and 9 % in length: Lee, Park & Whitesides, Anal. Chem. 75, 6544 (2003), from memory), carried to an activity of 0.5 by the Flory–Huggins law, and remembered partition coefficients between gas and silicone, which give a quarter of it',
  },
}

/** Name of the quantity, in source notes and for a user's oil. */
export const SOLUBILITY = 'solubility of the alcohol in the oil'

/**
 * c* of a library alcohol in a library oil at T (K): volume of pure alcohol per volume of oil, used as c = c* a.
 * "reference", the case with closed forms for liquids, takes up none.
 * @throws RangeError for an alcohol that is not known, or a temperature that is not above 0.
 */
export function solubilityOf(alcohol: string, oil: string, T: number): Known {
  if (!(T > 0 && Number.isFinite(T))) throw new RangeError(`temperature ${T} K: must be above 0`)
  if (alcohol === 'reference' || oil === 'reference') return NONE
  const { at25, slope, factor, quality, source } = DATA[familyOf(oil)]
  if (!Object.hasOwn(at25, alcohol))
    throw new RangeError(
      `no solubility of "${alcohol}" in oil is known; known are ${Object.keys(at25).join(', ')}`,
    )
  return {
    value: at25[alcohol]! * exp(slope * (T - T25)),
    factor,
    source: {
      quantity: SOLUBILITY,
      source: `${source}; volume of pure alcohol per volume of oil, over the activity`,
      quality,
      range: `mixtures of 20–70 % by mass, 10–35 °C, within a factor ${factor}`,
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
