/** Contracts of the least-squares fitter. */
import type { FitStatistics } from './fitStatistics.ts'

/** Weighted residuals at a point, (model − datum)/σ for each datum; null where the model has no answer. */
export type Residuals = Float64Array | null

export interface FitOptions {
  /** Start values, all finite and within the bounds. */
  start: ArrayLike<number>
  lower?: ArrayLike<number>
  upper?: ArrayLike<number>
  /** Smallest size of each parameter that matters. Default |start|/1000, or 1 for a start at 0. */
  typical?: ArrayLike<number>
  names?: readonly string[]
  /** Step of the finite differences relative to max(|p|, typical). Default 6e-6 (central) or 1.5e-8 (forward);
   *  larger for models with numerical noise: about the cube root (square root) of the relative noise. */
  differenceStep?: number
  differences?: 'central' | 'forward'
  /** Relative fall of the sum of squares that counts as none. Default 1e-14. */
  costTolerance?: number
  /** Relative change of the scaled parameters that counts as none. Default 1e-13. */
  stepTolerance?: number
  /** Cosine between residuals and derivative columns that counts as none. Default 1e-10. */
  gradientTolerance?: number
  /** Fall of the sum of squares that the linear model may still promise at the end, relative. Default 1e-6:
   *  the parameters are then within √(1e-6 · degrees of freedom) standard errors of the minimum. */
  offsetTolerance?: number
  /** Steps tried, refused ones included. Default 2000. */
  mostIterations?: number
  /** Default 50 000. */
  mostEvaluations?: number
  /** First damping, relative to the scaled problem. Default 1e-3. */
  damping?: number
  /** Second-order correction of steps, one more evaluation each. Default: on, unless `differenceStep` says
   *  that the model is noisy, for noise would be taken for curvature. */
  curvature?: boolean
  /** True when the weights are known standard errors: the covariance is then not scaled by χ² per degree of freedom. */
  absoluteWeights?: boolean
}

export type StopReason =
  /** The sum of squares no longer falls, and the linear model promises no fall either. */
  | 'cost-settled'
  /** The parameters no longer move. */
  | 'step-settled'
  /** The residuals are orthogonal to all derivatives. */
  | 'gradient-zero'
  /** The model meets every datum. */
  | 'exact'
  /** No smaller sum of squares was found even for tiny steps, although the gradient is not zero. */
  | 'no-progress'
  | 'most-iterations'
  | 'most-evaluations'
  /** The caller asked for it. */
  | 'stopped'
  /** The model has no answer at the start values. */
  | 'start-failed'
  /** The model has no answer on either side of a point where derivatives are needed. */
  | 'derivative-failed'
  /** Fewer data than parameters. */
  | 'too-few-data'
  /** Start values or bounds are not usable. */
  | 'bad-start'

export interface FitProgress {
  iteration: number
  evaluations: number
  parameters: Float64Array
  sumOfSquares: number
}

export interface FitResult extends FitStatistics {
  /** True for the four reasons that end at a minimum. */
  converged: boolean
  reason: StopReason
  parameters: Float64Array
  residuals: Float64Array
  /** ∂r/∂p at the end, row-major, data × parameters; empty when it is not known. */
  jacobian: Float64Array
  iterations: number
  evaluations: number
}

/** What the stepwise fit asks for. Answer 'residuals' with one entry per point, 'jacobian' with ∂r/∂p, data × parameters. */
export type FitRequest =
  | { kind: 'residuals'; points: Float64Array[] }
  | { kind: 'jacobian'; point: Float64Array }
  | { kind: 'progress'; progress: FitProgress }

/** Answer to a request; 'stop' ends the fit with the best point so far. */
export type FitAnswer = Residuals[] | Float64Array | null | undefined | 'stop'

export interface FitModel {
  residuals(p: Float64Array): Residuals | Promise<Residuals>
  /** ∂r/∂p, row-major, data × parameters. Finite differences if missing. */
  jacobian?(p: Float64Array): Float64Array | null | Promise<Float64Array | null>
}

export interface FitHooks {
  progress?(progress: FitProgress): void
  /** True ends the fit with the best point so far. */
  stopped?(): boolean
}
