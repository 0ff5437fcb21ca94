/** Where the errors of the unknowns come from: noise of the points, priors, shared errors, conditions. */
import type { FitResult } from '../../numerics/fitTypes.ts'
import { errorParts } from '../independent.ts'
import { type FitProblem, joined } from './problem.ts'
import type { Shift } from './shifts.ts'
import type { FittedCause } from './types.ts'
import { movedBy } from './verdicts.ts'

/** Per parameter of the fitter, in its own measure. */
export interface Budget {
  statistical: Float64Array
  systematic: Float64Array
  /** Move of each parameter by 1 σ of each cause, by cause. */
  moves: Float64Array[]
}

/** Row-major part of a covariance that is defined; 0 where a parameter is held or not determined. */
const entry = (covariance: Float64Array, n: number, i: number, j: number): number => {
  const value = covariance[i * n + j]!
  return Number.isFinite(value) ? value : 0
}

/**
 * The error of a linear estimate taken apart. δp = −C Jᵀ δr over the whitened rows: δr of the points' own noise, of one
 * cause, of one prior. The squares of all parts add up to C. Errors that are not defined stay NaN or ∞.
 */
export function budgetOf(problem: FitProblem, result: FitResult, shifts: readonly Shift[]): Budget {
  const n = result.parameters.length
  const none = () => new Float64Array(n).fill(Number.NaN)
  const { jacobian, covariance, standardErrors } = result
  if (jacobian.length === 0) return { statistical: none(), systematic: none(), moves: shifts.map(none) }
  if (!problem.absolute) return { statistical: standardErrors, systematic: new Float64Array(n), moves: [] }
  const { total } = problem
  const gain = standardErrors.map((_, j) => j)
  const statistical = Float64Array.from(gain, (j) => {
    if (!Number.isFinite(standardErrors[j]!)) return standardErrors[j]!
    const row = new Float64Array(total)
    for (let i = 0; i < total; i++)
      for (let k = 0; k < n; k++) row[i]! += entry(covariance, n, j, k) * jacobian[i * n + k]!
    return Math.sqrt(problem.sum(problem.whitening.shrink(row)))
  })
  const systematic = standardErrors.map((error, j) =>
    Math.sqrt(Math.max(0, error ** 2 - statistical[j]! ** 2)),
  )
  // Rounding leaves a trace where nothing but noise is there.
  const any = shifts.length > 0 || problem.parameters.some(({ prior }) => prior)
  return {
    statistical,
    systematic: any ? systematic : new Float64Array(n),
    moves: shifts.map((_, k) => movedByRow(result, problem, problem.whitening.effect(k))),
  }
}

/** Move of the parameters when the measured radii are larger by a whitened row. */
function movedByRow(result: FitResult, { total }: FitProblem, row: Float64Array): Float64Array {
  const change = new Float64Array(result.residuals.length)
  for (let i = 0; i < total; i++) change[i] = -row[i]!
  return movedBy(result, change)
}

/** Move of the parameters if all radii of curves without an error of the scale were 1 % too large; null if none are. */
export function scaleMoves(problem: FitProblem, result: FitResult): Float64Array | null {
  const rows = problem.curves.map((curve, i) => {
    const free = !errorParts(curve).shared.some(({ cause }) => cause === 'scale')
    return problem.points[i]!.radius.map((R) => (free ? 0.01 * R : 0))
  })
  if (result.jacobian.length === 0 || !rows.some((row) => row.some((one) => one > 0))) return null
  return movedByRow(result, problem, problem.whitening.apply(joined(rows)))
}

/** The most likely number of standard deviations of each cause: Uᵀ(1 + U Uᵀ)⁻¹ z for z = (measured − life)/σ. */
export const pullsOf = (problem: FitProblem, r: Float64Array, shifts: readonly Shift[]): number[] =>
  shifts.map((_, k) => -problem.whitening.effect(k).reduce((sum, one, i) => sum + one * r[i]!, 0))

/** What the points make of each cause, with its error. */
export function causesAfter(
  problem: FitProblem,
  result: FitResult,
  shifts: readonly Shift[],
  moves: readonly Float64Array[],
  slopes: readonly number[],
): FittedCause[] {
  const n = result.parameters.length
  const { total } = problem
  const pulls = pullsOf(problem, result.residuals, shifts)
  return shifts.map(({ cause }, k) => {
    const effect = problem.whitening.effect(k)
    const pull = pulls[k]!
    let known = 0
    const along = new Float64Array(n)
    for (let i = 0; i < total; i++) {
      known += effect[i]! ** 2
      for (let j = 0; j < n && result.jacobian.length > 0; j++)
        along[j]! += effect[i]! * result.jacobian[i * n + j]!
    }
    let open = 0
    for (let a = 0; a < n; a++)
      for (let b = 0; b < n; b++) open += along[a]! * along[b]! * entry(result.covariance, n, a, b)
    const error = Math.sqrt(Math.max(0, 1 - known + open))
    const { kind, path, label, unit, value, sigma } = cause
    return {
      kind,
      path,
      label,
      curves: cause.curves.map((i) => problem.curves[i]!.id),
      unit,
      prior: { value, sigma },
      value: value + sigma * pull,
      error: sigma * error,
      pull,
      shifts: Array.from(moves[k] ?? new Float64Array(n).fill(Number.NaN), (move, j) => move * slopes[j]!),
    }
  })
}
