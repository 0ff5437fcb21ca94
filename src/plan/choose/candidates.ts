/** What could be put down: all combinations of what may vary, or an evenly spread part of them. */
import { keyOf } from '../../life/keys.ts'
import type { Leaf } from '../../life/preset.ts'
import { checkLeaf } from '../../life/presetLeaf.ts'
import type { Preset, Problem } from '../../life/types.ts'
import { statedPreset } from '../../measured/fit/curvePreset.ts'
import type { CurveMeta } from '../../measured/types.ts'
import { latinHypercube } from '../../numerics/sampling/latinHypercube.ts'
import { randomStream, shuffled } from '../../numerics/sampling/random.ts'
import { Sobol } from '../../numerics/sampling/sobol.ts'
import type { Candidate, Varied } from './types.ts'

/** What an experimenter can vary, and what a curve states of it. */
const STATES: Readonly<Record<string, (value: Leaf) => CurveMeta>> = {
  'drop.alcoholMassFraction': (value) => ({ alcoholFraction: Number(value), fractionBasis: 'mass' }),
  'drop.volume_uL': (value) => ({ volume_uL: Number(value) }),
  'bath.depth_mm': (value) => ({ depth_mm: Number(value) }),
  'bath.liquid': (value) => ({ oil: String(value) }),
  'air.temperature_C': (value) => ({ temperature_C: Number(value) }),
}

export const VARIABLE = Object.keys(STATES)

/** Most values of one input. */
const MOST_VALUES = 40

/** Inputs that mean nothing to the closed-form liquids. */
const OF_REAL_LIQUIDS = ['bath.liquid', 'air.temperature_C']

/** What is wrong with one list of values. */
export function variedProblems({ key, values }: Varied, preset: Preset): Problem[] {
  const wrong = (message: string): Problem[] => [{ where: key, message }]
  if (!VARIABLE.includes(key))
    return wrong(`${JSON.stringify(key.slice(0, 60))} cannot vary. Permitted: ${VARIABLE.join(', ')}.`)
  if (preset.drop.alcohol === 'reference' && OF_REAL_LIQUIDS.includes(key))
    return wrong(`${key} cannot vary with the closed-form liquids "reference".`)
  if (values.length === 0 || values.length > MOST_VALUES)
    return wrong(`${key} has ${values.length} values. Permitted: 1 to ${MOST_VALUES}.`)
  const double = values.find((value, i) => values.indexOf(value) !== i)
  if (double !== undefined) return wrong(`${key} has ${double} twice.`)
  return values.flatMap((value): Problem[] => {
    const made = checkLeaf(keyOf(key)!, value)
    return made.ok ? [] : wrong(made.message)
  })
}

const countsOf = (vary: readonly Varied[]): readonly number[] => vary.map(({ values }) => values.length)

export const combinationsOf = (vary: readonly Varied[]): number => countsOf(vary).reduce((a, b) => a * b, 1)

/** Levels of combination `index`. */
function levelsOf(index: number, counts: readonly number[]): number[] {
  let rest = index
  return counts.map((count) => {
    const level = rest % count
    rest = Math.floor(rest / count)
    return level
  })
}

/** Corners of the smallest and largest values, which matter most, then points of a Sobol sequence, each combination once. */
function spreadLevels(counts: readonly number[], most: number): number[][] {
  const found = new Map<string, number[]>()
  const keep = (levels: number[]) => void found.set(levels.join(), levels)
  const corners = 2 ** counts.length
  for (let c = 0; c < corners && found.size < most; c++)
    keep(counts.map((count, j) => ((c >> j) & 1 ? count - 1 : 0)))
  const sobol = new Sobol(counts.length)
  for (let i = 1; found.size < most && i < 200 * most; i++) {
    const point = sobol.point(i)
    keep(counts.map((count, j) => Math.min(count - 1, Math.floor(point[j]! * count))))
  }
  return [...found.values()]
}

export interface Candidates {
  candidates: Candidate[]
  /** Combinations in all. */
  combinations: number
  /** Combinations of those looked at that the rules of presets forbid, and why the first of them is. */
  forbidden: number
  why: string
}

/** The drops that are looked at: all combinations, or `most` of them. */
export function candidatesOf(vary: readonly Varied[], preset: Preset, most: number): Candidates {
  const counts = countsOf(vary)
  const combinations = combinationsOf(vary)
  const levels =
    combinations <= most
      ? Array.from({ length: combinations }, (_, i) => levelsOf(i, counts))
      : spreadLevels(counts, most)
  const candidates: Candidate[] = []
  let forbidden = 0
  let why = ''
  for (const one of levels) {
    const values = vary.map(({ values: all }, j) => all[one[j]!]!)
    const meta: CurveMeta = Object.assign({}, ...vary.map(({ key }, j) => STATES[key]!(values[j]!)))
    const made = statedPreset(preset, meta)
    if (made.ok) {
      candidates.push({ levels: one, values, meta })
      continue
    }
    forbidden++
    why ||= made.problems[0]?.message ?? ''
  }
  return { candidates, combinations, forbidden, why }
}

/** Distance of two combinations, each input counted from 0 to 1. */
function apart(a: readonly number[], b: readonly number[], counts: readonly number[]): number {
  return counts.reduce((sum, count, j) => sum + (count > 1 ? ((a[j]! - b[j]!) / (count - 1)) ** 2 : 0), 0)
}

/**
 * An even spread of n drops, as one would put them down without any calculation: each input goes through its values from
 * the first to the last in equal steps, in an order of its own (a Latin hypercube with its ends; McKay, Beckman & Conover
 * 1979). Of combinations that are not looked at the nearest one stands for them.
 */
export function evenSpread(
  vary: readonly Varied[],
  candidates: readonly Candidate[],
  n: number,
  seed: number,
): number[] {
  const counts = countsOf(vary)
  const random = randomStream(seed)
  const orders = counts.map(() => shuffled(n, random))
  const cube = latinHypercube(n, counts.length, seed)
  return Array.from({ length: n }, (_, i) => {
    const wanted = counts.map((count, j) => {
      // One drop alone goes anywhere.
      const share = n > 1 ? orders[j]![i]! / (n - 1) : cube[j]!
      return Math.round(share * (count - 1))
    })
    let best = 0
    candidates.forEach(({ levels }, c) => {
      if (apart(levels, wanted, counts) < apart(candidates[best]!.levels, wanted, counts)) best = c
    })
    return best
  }).toSorted((a, b) => a - b)
}
