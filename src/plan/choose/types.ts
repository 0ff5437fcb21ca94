/** Contracts of the choice of drops. Unknowns and what is varied are in the units of their keys. */
import type { Leaf } from '../../life/preset.ts'
import type { OutcomeName, Preset, Problem } from '../../life/types.ts'
import type { Prior } from '../../measured/fit/types.ts'
import type { CurveMeta } from '../../measured/types.ts'
import type { Criterion } from '../../numerics/design/exchange.ts'

export type { Criterion, Problem }

/** One input that may differ from drop to drop, with the values that it may have. */
export interface Varied {
  key: string
  values: readonly Leaf[]
}

/** How radii are measured: what the errors of the unknowns rest on. */
export interface Measuring {
  /** Points of a drop, evenly from shortly after its contact to 95 % of its life, … */
  points: number
  /** … or to this moment, s, where the life is longer. */
  longest: number
  /** Standard error of each radius, mm. */
  noise: number
  /** Standard error that all radii of one drop share, as a share of the radius (scale of the recording). */
  scale: number
  /** Standard error of the moment of contact, s; 0 = known exactly. */
  contact: number
  /** Standard error of each drop's volume, as a share; 0 = known exactly. Costs two lives more for each drop. */
  volume: number
}

export const USUAL_MEASURING: Measuring = {
  points: 40,
  longest: 60,
  noise: 0.1,
  scale: 0.01,
  contact: 0,
  volume: 0,
}

export interface ChooseWish {
  /** Everything that is neither unknown nor varied, and where the unknowns stand before. */
  preset: Preset
  /** Keys that a fit can find, 1 to 4. */
  unknowns: readonly string[]
  /** What is known of the unknowns beforehand; of those without, `priorOf` says what is taken. */
  priors?: Readonly<Record<string, Prior>>
  vary: readonly Varied[]
  /** Number of drops, 1 to 24. */
  drops: number
  optimal?: Criterion
  seed?: number
  measuring?: Partial<Measuring>
  /** Places of what is known beforehand at which the drops are judged, 1 to 16; the first is the middle. Default 5. */
  draws?: number
  /** Most kinds of drops that are looked at, 2 to 600; of more an evenly spread part is taken. Default 150. */
  most?: number
}

export const MOST_DROPS = 24
export const USUAL = { draws: 5, most: 150, optimal: 'D' as Criterion, seed: 1 }

/** A drop that could be put down. */
export interface Candidate {
  /** Index of its value in each list of `vary`. */
  levels: number[]
  values: Leaf[]
  /** What a curve of it would state. */
  meta: CurveMeta
}

export interface Unknown {
  path: string
  label: string
  unit: string
  /** Where it stands beforehand, ± 1 σ; `stated` by the user or taken. */
  value: number
  sigma: number
  stated: boolean
}

/** One kind of drop as far as it is known after its lives. */
export interface Seen extends Candidate {
  /** What becomes of it where the unknowns stand in the middle. */
  outcome: OutcomeName
  /** Why it tells nothing or less, '' if it tells what it can. */
  remark: string
}

export interface ChosenDrop {
  candidate: number
  times: number
}

/** What a number of drops brings, chosen and spread evenly: error (1 σ) of each unknown as a share of its value. */
export interface AtCount {
  drops: number
  chosen: number[]
  even: number[]
}

export interface Choice {
  unknowns: Unknown[]
  vary: readonly Varied[]
  measuring: Measuring
  optimal: Criterion
  seed: number
  draws: number
  /** Kinds of drops that were looked at, and how many there are in all. */
  seen: Seen[]
  combinations: number
  /** Combinations that the rules of presets forbid. */
  forbidden: number
  drops: ChosenDrop[]
  /** Expected error (1 σ) of each unknown as a share of its value: middle over the draws (geometric mean), smallest and largest. */
  errors: { middle: number; least: number; most: number }[]
  /** Correlations of the errors, row-major, mean over the draws. */
  correlation: Float64Array
  /** One even spread of as many drops (that of the seed), and the errors of even spreads (geometric mean over several). */
  even: { drops: ChosenDrop[]; errors: number[] }
  /** Rising numbers of drops. */
  curve: AtCount[]
  lives: number
  warnings: string[]
  notes: string[]
}

/** What a choice costs. */
export interface Cost {
  /** Kinds of drops that are looked at. */
  kinds: number
  combinations: number
  draws: number
  /** Quick lives. */
  lives: number
}

export type ChoiceResult =
  | { ok: true; choice: Choice }
  | { ok: false; reason: 'invalid' | 'failed' | 'stopped'; problems: Problem[] }
