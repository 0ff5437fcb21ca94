/** From a bottle to a mixture: how much stock, how much water, by volume and by weight. Pure. */
import type { Problem } from '../life/types.ts'
import { type Pouring, pour } from '../liquids/composition.ts'
import { ZERO_CELSIUS } from '../liquids/constants.ts'
import { mixtureNamed } from '../liquids/own/resolve.ts'
import { OWN, type OwnLiquids } from '../liquids/own/types.ts'
import { mixtures } from '../liquids/registry.ts'
import type { Mixture } from '../liquids/types.ts'
import { figure, shownValue } from './figures.ts'
import { GRADUATED_PIPETTE, type Pipette, type PipetteErrors, pipetteErrors } from './pipette.ts'
import { type Strength, type Strengths, strengthsOf, strengthsOfMass } from './strength.ts'

export interface RecipeWish {
  /** Id of the alcohol in the liquids library, or "own" for that of `liquids`. */
  alcohol: string
  liquids?: OwnLiquids | undefined
  stock: Strength
  want: Strength
  /** Volume of the finished mixture at the temperature below, mL. */
  volume_mL: number
  /** Temperature at which the volumes are measured, °C. (A strength by volume always refers to 20 °C.) */
  temperature_C: number
  pipette?: Pipette
}

export interface Recipe {
  alcohol: string
  /** Name of the alcohol in sentences. */
  name: string
  temperature_C: number
  stock: Strengths
  want: Strengths
  /** The finished mixture. */
  volume_mL: number
  mass_g: number
  /** What to measure out, at the temperature above. */
  stock_mL: number
  stock_g: number
  water_mL: number
  water_g: number
  /** Volume that is lost on mixing, mL (positive: the sum shrinks). */
  contraction_mL: number
  pipette: Pipette
  errors: PipetteErrors
  /** What comes of pouring equal volumes of this stock and water together (100 mL in all). */
  equalVolumes: Pouring
  notes: string[]
}

export type RecipeResult = { ok: true; recipe: Recipe } | { ok: false; problems: Problem[] }

const refuse = (where: string, message: string): { ok: false; problems: Problem[] } => ({
  ok: false,
  problems: [{ where, message }],
})

/** Range of volumes that are mixed at a bench, mL. */
const VOLUME = { min: 0.001, max: 10_000 }

function volumeProblem(where: string, volume_mL: number): Problem | undefined {
  if (volume_mL >= VOLUME.min && volume_mL <= VOLUME.max) return undefined
  const message = `The volume of the mixture is ${shownValue(volume_mL)} mL. Permitted: ${VOLUME.min} to ${VOLUME.max} mL.`
  return { where, message }
}

function temperatureProblem(mixture: Mixture, temperature_C: number): Problem | undefined {
  const [low, high] = mixture.temperatureRange.map((T) => Math.round((T - ZERO_CELSIUS) * 10) / 10)
  if (temperature_C >= low! && temperature_C <= high!) return undefined
  const message = `The temperature is ${shownValue(temperature_C)} °C. Permitted: ${low} to ${high} °C (densities of ${mixture.name}).`
  return { where: 'temperature', message }
}

function pipetteProblem({ smallest_mL, absolute_mL, relative }: Pipette): Problem | undefined {
  if (smallest_mL >= 0 && absolute_mL >= 0 && relative >= 0 && relative < 1) return undefined
  const message =
    'The pipette: its smallest volume and its errors must be zero or more, the relative error below 100 %.'
  return { where: 'pipette', message }
}

/** Liquids and strengths of a wish that can be read at all. */
type Checked =
  | { ok: true; mixture: Mixture; stock: Strengths; want: Strengths }
  | { ok: false; problems: Problem[] }

function check(wish: RecipeWish): Checked {
  const mixture = mixtureNamed(wish.alcohol, wish.liquids)
  if (!mixture) {
    const own = wish.alcohol === OWN ? ' ("own" needs a liquid file)' : ''
    const message = `There is no recipe for alcohol ${shownValue(wish.alcohol)}${own}. Known: ${Object.keys(mixtures).join(', ')}.`
    return refuse('alcohol', message)
  }
  const stock = strengthsOf(mixture, wish.stock, 'stock')
  const want = strengthsOf(mixture, wish.want, 'want')
  const problems = [
    ...(stock.ok ? [] : stock.problems),
    ...(want.ok ? [] : want.problems),
    ...[
      volumeProblem('volume', wish.volume_mL),
      temperatureProblem(mixture, wish.temperature_C),
      pipetteProblem(wish.pipette ?? GRADUATED_PIPETTE),
    ].filter((problem) => problem !== undefined),
  ]
  if (!stock.ok || !want.ok || problems.length > 0) return { ok: false, problems }
  return { ok: true, mixture, stock: stock.strength, want: want.strength }
}

const both = (s: Strengths): string => `${figure(100 * s.mass)} % by mass (${figure(s.percent)} % by volume)`

/** Mass fractions closer than this are the same strength. */
const SAME = 1e-9

/** Why this stock cannot give this strength; undefined if it can. */
function impossible(stock: Strengths, want: Strengths): Problem | undefined {
  if (stock.mass === 0) {
    return {
      where: 'stock',
      message: 'The stock holds no alcohol: it is water, and nothing can be mixed from it.',
    }
  }
  if (want.mass === 0) {
    return {
      where: 'want',
      message: 'A strength of 0 is plain water: there is nothing to mix. Give a strength above 0.',
    }
  }
  if (want.mass <= stock.mass + SAME) return undefined
  const message = `Water only makes it weaker: the wanted strength, ${both(want)}, is above that of the stock, ${both(stock)}. Take a stronger stock or a weaker mixture.`
  return { where: 'want', message }
}

/**
 * How to make `volume_mL` of the wanted strength out of the stock and water. Masses are exact by definition of the
 * mass fraction; volumes come from the densities of the liquids library at the temperature of the bench.
 */
export function recipeOf(wish: RecipeWish): RecipeResult {
  const checked = check(wish)
  if (!checked.ok) return checked
  const { mixture, stock, want } = checked
  const wrong = impossible(stock, want)
  if (wrong) return { ok: false, problems: [wrong] }
  const T = wish.temperature_C + ZERO_CELSIUS
  // 1 kg/m³ = 0.001 g/mL
  const density = (w: number) => 1e-3 * mixture.density(w, T)
  const mass_g = wish.volume_mL * density(want.mass)
  const stock_g = mass_g * Math.min(1, want.mass / stock.mass)
  const water_g = mass_g - stock_g
  const amounts = {
    stock_g,
    stock_mL: stock_g / density(stock.mass),
    water_g,
    water_mL: water_g / density(0),
  }
  const pipette = wish.pipette ?? GRADUATED_PIPETTE
  const errors = pipetteErrors({ ...amounts, stockMass: stock.mass }, pipette)
  const recipe = {
    alcohol: mixture.id,
    name: mixture.name,
    temperature_C: wish.temperature_C,
    stock,
    want,
    volume_mL: wish.volume_mL,
    mass_g,
    ...amounts,
    contraction_mL: amounts.stock_mL + amounts.water_mL - wish.volume_mL,
    pipette,
    errors,
    equalVolumes: pour(mixture, 50, 50, stock.mass, 0, T),
  }
  return { ok: true, recipe: { ...recipe, notes: notesOf(recipe) } }
}

function notesOf(recipe: Omit<Recipe, 'notes'>): string[] {
  const { stock, want, water_mL, stock_mL, errors, pipette, volume_mL, equalVolumes } = recipe
  const notes: string[] = []
  if (stock.mass - want.mass <= SAME) notes.push('This is the stock itself: no water is needed.')
  for (const which of errors.tooSmall) {
    const amount = which === 'stock' ? stock_mL : water_mL
    const least = figure(volume_mL * errors.smallestMultiple)
    notes.push(
      `${figure(amount)} mL of ${which} is less than this pipette measures (${figure(pipette.smallest_mL)} mL): make at least ${least} mL of mixture, or weigh.`,
    )
  }
  notes.push(
    `Equal volumes of this stock and water, "half and half", are ${figure(100 * equalVolumes.w)} % by mass = ${figure(equalVolumes.percent)} % by volume; 50 + 50 mL give ${figure(equalVolumes.volume)} mL.`,
  )
  return notes
}

export interface Amendment {
  /** What to add: stock to make it stronger, water to make it weaker. */
  add: 'stock' | 'water' | 'nothing'
  add_mL: number
  add_g: number
  /** The mixture afterwards. */
  volume_mL: number
  strength: Strengths
}

export type AmendmentResult = { ok: true; amendment: Amendment } | { ok: false; problems: Problem[] }

/** A mixture that is there already, and the strength that it should have. */
export interface AmendmentWish extends RecipeWish {
  /** Strength of what is there; `volume_mL` is how much of it there is. */
  have: Strength
}

/** How much stock (or water) brings a mixture that is there already to the wanted strength. */
export function amendmentOf(wish: AmendmentWish): AmendmentResult {
  const checked = check(wish)
  if (!checked.ok) return checked
  const { mixture, stock, want } = checked
  const read = strengthsOf(mixture, wish.have, 'have')
  if (!read.ok) return read
  const have = read.strength
  const change = want.mass - have.mass
  const wrong = change > SAME || want.mass === 0 ? impossible(stock, want) : undefined
  if (wrong) return { ok: false, problems: [wrong] }
  if (change > SAME && stock.mass - want.mass <= SAME) {
    return refuse(
      'want',
      `Adding stock brings the mixture close to the strength of the stock, ${both(stock)}, but never quite there.`,
    )
  }
  const T = wish.temperature_C + ZERO_CELSIUS
  const density = (w: number) => 1e-3 * mixture.density(w, T)
  const mass = wish.volume_mL * density(have.mass)
  const add = Math.abs(change) <= SAME ? 'nothing' : change > 0 ? 'stock' : 'water'
  const added = add === 'stock' ? stock.mass : 0
  const add_g = add === 'nothing' ? 0 : (mass * change) / (added - want.mass)
  const amendment = {
    add,
    add_g,
    add_mL: add_g / density(added),
    volume_mL: (mass + add_g) / density(want.mass),
    strength: strengthsOfMass(mixture, want.mass),
  } as const
  return { ok: true, amendment }
}
