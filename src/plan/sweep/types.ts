/** What a sweep is: many lives of one preset, with inputs that differ from row to row. */
import type { Level } from '../../life/accuracy.ts'
import type { Leaf } from '../../life/preset.ts'
import type { Preset } from '../../life/types.ts'

/** A value of an input in the unit of its key; null stands for the key's default. */
export type InputValue = Leaf | null

/** From one number to another, both included; `count` values of it on a grid. */
export interface Span {
  key: string
  from: number
  to: number
  logarithmic: boolean
  count?: number
}

export interface Listed {
  key: string
  values: readonly InputValue[]
}

export type SweepInput = Span | Listed

export const DESIGNS = ['grid', 'list', 'latin', 'sobol'] as const
export type Design = (typeof DESIGNS)[number]

/** A checked plan; everything that the rows depend on. */
export interface SweepPlan {
  preset: Preset
  inputs: readonly SweepInput[]
  design: Design
  /** Number of rows, 1 … MOST_ROWS. */
  count: number
  /** Whole number, 0 … 2³² − 1, for what is drawn by chance ("latin", "sobol"). */
  seed: number
  /** Undefined where model.accuracy is an input. */
  accuracy: Level | undefined
  /** Names of OUTPUTS, in the order of the columns. */
  outputs: readonly string[]
}

export const SWEEP_FORMAT = 'rimtide-sweep'
export const SWEEP_VERSION = 1
export const MOST_ROWS = 10_000_000

export const isSpan = (input: SweepInput): input is Span => 'from' in input
