/**
 * What a bath takes up of the drop's alcohol. At the oil's surface under the film the dissolved alcohol is
 * c = c* a(w) (volume of pure alcohol per volume of oil), a the activity of the alcohol in the mixture; from there it
 * diffuses downwards.
 */
import { moleFraction } from './composition.ts'
import { clampFraction } from './constants.ts'
import { gapOf } from './miscibility.ts'
import { DIFFUSIVITY, oilDiffusivity, siliconeDiffusivity } from './oilDiffusivity.ts'
import { familyOf, type Known, SOLUBILITY, solubilityOf } from './oilSolubility.ts'
import type { Mixture, Oil, Quality, SourceNote } from './types.ts'

export { type Known, oilDiffusivity, solubilityOf }

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

/** c* of a mixture's alcohol in an oil, both of the library or the user's. */
function solubilityIn(mixture: Mixture, oil: Oil, T: number): Known {
  const given = oil.alcoholSolubility
  if (given) return { value: given(T), ...said(oil, SOLUBILITY) }
  const known = solubilityOf(mixture.like ?? mixture.id, oil.like ?? oil.id, T)
  return mixture.like || oil.like ? lent(known, mixture, oil) : known
}

function diffusivityIn(mixture: Mixture, oil: Oil, T: number, viscosity: number): Known {
  const given = oil.alcoholDiffusivity
  if (given) return { value: given(T), ...said(oil, DIFFUSIVITY) }
  const alcohol = mixture.like ?? mixture.id
  const known =
    familyOf(oil.like ?? oil.id) === 'silicone'
      ? siliconeDiffusivity(alcohol, T)
      : oilDiffusivity(alcohol, viscosity, T)
  return mixture.like || oil.like ? lent(known, mixture, oil) : known
}

/**
 * Solubility and diffusivity of a mixture's alcohol in an oil at T (K). `viscosity` (Pa·s): that of the oil, if it is
 * not the one at hand.
 */
export function uptakeOf(mixture: Mixture, oil: Oil, T: number, viscosity = oil.viscosity(T)): Uptake {
  const solubility = solubilityIn(mixture, oil, T)
  const diffusivity = diffusivityIn(mixture, oil, T, viscosity)
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
