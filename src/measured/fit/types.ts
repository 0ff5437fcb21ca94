/** Contracts of the fit of lives to measured curves. Unknowns are in the units of their preset keys. */
import type { LifeRunner } from '../../life/lives.ts'
import type { OutcomeName, Preset, Problem } from '../../life/types.ts'
import type { MeasuredCurve } from '../types.ts'

export type { LifeRunner, Problem }

/** The one unknown that is no preset key: the moment of contact of each curve on its own clock. */
export const START_TIME = 'startTime'

/** Most unknowns of one fit; the start times of all curves together count as one. */
export const MOST_UNKNOWNS = 4

/** A value that is known beforehand, with its standard uncertainty (1 σ, above 0), in the unit of its key. */
export interface Prior {
  value: number
  sigma: number
}

export interface FitWish {
  /** The drop to start from; also gives everything that is not fitted and that a curve does not state itself. */
  preset: Preset
  curves: readonly MeasuredCurve[]
  /** Preset keys (unknowns.ts), `startTime` among them if wanted; 1 to 4, each once. */
  unknowns: readonly string[]
  /** Own limits of unknowns by path, within the key's range. */
  limits?: Readonly<Record<string, readonly [number, number]>>
  /**
   * What is known beside the points, by key. Of an unknown: it starts there and is drawn towards it. Of any other numeric
   * input: a condition, whose error goes into those of the unknowns. What the curves state of their own (`meta.sigma`,
   * `shared`) counts in any case.
   */
  priors?: Readonly<Record<string, Prior>>
  /**
   * How far lives may lie off by themselves, as shares of radius and time (1 σ); counts where errors are taken apart.
   * Default: half of the least errors that quick lives state, which nearly all keep to.
   */
  lifeErrors?: { radius: number; time: number }
  /** Whether a coarse scan looks for a better start: 'auto' = when the first life is far off. Default 'auto'. */
  scan?: 'auto' | 'always' | 'never'
  /** Whether finer lives at the end show what the calculation itself adds. Default true. */
  check?: boolean
}

/** A life as far as a fit needs it. */
export interface Course {
  /** Time, s, rising from 0; radius, m; edge speed, m/s. */
  t: Float64Array
  R: Float64Array
  U: Float64Array
  outcome: OutcomeName
  /** Why the life failed, '' if it did not. */
  failed: string
}

export interface FitStep {
  stage: 'scan' | 'approach' | 'conditions' | 'finish' | 'check' | 'profile'
  /** Lives computed so far. */
  lives: number
  /** χ² with given uncertainties, else the sum of squares in m². */
  sumOfSquares: number
  /** Values of the unknowns, as in `LifeFit.unknowns`. */
  values: number[]
  /** The curves' lives on the curves' clocks (s after the stated contact), m. */
  courses: { id: string; t: Float64Array; R: Float64Array }[]
}

export interface FitHooks {
  /** Called after every step that made the fit better. */
  progress?(step: FitStep): void
  /** True ends the fit; the result is the best so far. */
  cancelled?(): boolean
}

export type Verdict = 'determined' | 'at-limit' | 'not-determined'

export interface FittedUnknown {
  path: string
  /** For a start time: id of its curve. */
  curve?: string
  label: string
  unit: string
  start: number
  value: number
  /** Standard error (1 σ) in the unit of the value; NaN where there is none. The two parts below in quadrature. */
  error: number
  /** From the independent noise of the points, and what lives err by (`lifeErrors`) where errors are taken apart. */
  statistical: number
  /** From priors, errors that points share, and conditions. 0 where there are none. */
  systematic: number
  /** What was known beforehand, and by how many of its σ the value lies off it. */
  prior?: Prior & { pull: number }
  /** By how much the value comes out too large where all radii without a stated error of the scale are 1 % too large; NaN if all state one. */
  perScalePercent: number
  lower: number
  upper: number
  verdict: Verdict
  /** Why it is not determined or what the limit means; '' if it is determined. */
  why: string
  /** Estimated share of the computing in the value, signed: by how much a finer calculation would move it. NaN = not known. */
  numerical: number
}

export interface FittedCurve {
  id: string
  name: string
  /** Time after the stated contact, s; residual = measured − life, m; standard uncertainty, m (NaN = none). One per used point. */
  time: Float64Array
  radius: Float64Array
  residual: Float64Array
  sigma: Float64Array
  /** Σ of the whitened residuals squared, the curve's share of χ²; NaN with weights 'scatter'. */
  chiSquared: number
  /** Root mean square and mean of the residuals, m. */
  rms: number
  bias: number
  /** Points before the life begins and after it ends: there the life's first and last radius hold. */
  before: number
  after: number
  /** Fitted moment of contact on the curve's own clock, s. */
  startTime: number
  /** The drop of this curve with the fitted values, and with conditions about where the fit puts them. */
  preset: Preset
  outcome: OutcomeName
  /** The life on the curve's clock (s after the stated contact), m. */
  lifeTime: Float64Array
  lifeRadius: Float64Array
}

/** A cause beside the points' own noise: a shared error, a contact, a condition, and what the fit makes of it. */
export interface FittedCause {
  kind: 'shared' | 'contact' | 'condition'
  /** Preset key of a condition, `startTime` of a contact, name of a shared cause. */
  path: string
  label: string
  /** Ids of the curves that it touches. */
  curves: string[]
  unit: string
  /** Stated value ± standard uncertainty. */
  prior: Prior
  /** What the points make of it, with its error then. */
  value: number
  error: number
  /** (value − prior)/σ. */
  pull: number
  /** By how much each unknown comes out too large where the cause is really 1 σ above what is stated; in their units. */
  shifts: number[]
}

/** Are the residuals like chance? */
export interface Chance {
  /** Number of runs of one sign, and mean and deviation of that number for residuals in random order. */
  runs: number
  expected: number
  deviation: number
  /** (runs − expected)/deviation; far below 0 = neighbours go together. */
  z: number
  /** Correlation of neighbouring residuals. */
  neighbours: number
}

export interface LifeFit {
  /** The drop of the wish with the fitted values; what curves state for themselves is not in it. */
  preset: Preset
  unknowns: FittedUnknown[]
  /** Row-major over `unknowns`; NaN where it is not defined. */
  correlation: Float64Array
  curves: FittedCurve[]
  /** Empty where neither curves nor wish state any. */
  causes: FittedCause[]
  /** Where the weights come from; 'scatter': all points alike, σ from the scatter, so that χ² is no test. */
  weights: 'given' | 'scatter'
  /** χ² ('given', with those of the priors) or sum of squares in m² ('scatter'). */
  sumOfSquares: number
  points: number
  degreesOfFreedom: number
  /** χ²/degrees of freedom; NaN with weights 'scatter'. */
  reduced: number
  /** Chance of a larger χ² if model and uncertainties are right; NaN with weights 'scatter'. */
  chance: number
  /** Scatter of the points about the fit, m: √(sum of squares/degrees of freedom); NaN with weights 'given'. */
  scatter: number
  randomness: Chance
  /** Condition number of the derivatives scaled to unit length. */
  condition: number
  converged: boolean
  stopped: boolean
  /** How the fit ended, in words. */
  ending: string
  accuracy: Preset['model']['accuracy']
  lives: number
  warnings: string[]
  /** What is good to know and nothing to worry about: what a wrong scale would do. */
  notes: string[]
  /** The same text for the same points and weights: only such fits may be compared. */
  data: string
}

export type FitOutcome =
  | { ok: true; fit: LifeFit }
  | { ok: false; reason: 'invalid' | 'failed' | 'stopped'; problems: Problem[] }
