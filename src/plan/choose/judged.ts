/** What a set of drops is expected to bring: errors and correlations of the unknowns. */
import type { DesignProblem } from '../../numerics/design/exchange.ts'
import { inverseOf } from '../../numerics/design/information.ts'
import type { ChosenDrop } from './types.ts'

/** Covariance of relative changes with a set of drops at one draw; null where an unknown cannot be found. */
function covarianceAt(problem: DesignProblem, chosen: readonly number[], draw: number): Float64Array | null {
  const { unknowns: k, candidates, information, prior } = problem
  const sum = prior.slice()
  for (const c of chosen) {
    const at = (draw * candidates + c) * k * k
    for (let e = 0; e < k * k; e++) sum[e]! += information[at + e]!
  }
  return inverseOf(sum, k)
}

/** Relative standard errors (1 σ) by unknown, one list a draw; ∞ where an unknown cannot be found. */
const errorsByDraw = (problem: DesignProblem, chosen: readonly number[]): number[][] =>
  Array.from({ length: problem.draws }, (_, d) => {
    const covariance = covarianceAt(problem, chosen, d)
    const k = problem.unknowns
    return Array.from({ length: k }, (__, j) =>
      covariance ? Math.sqrt(covariance[j * k + j]!) : Number.POSITIVE_INFINITY,
    )
  })

export const geometricMean = (values: readonly number[]): number =>
  Math.exp(values.reduce((sum, value) => sum + Math.log(value), 0) / values.length)

/** Relative errors of the unknowns: middle over the draws, smallest, largest. */
export function errorsOf(problem: DesignProblem, chosen: readonly number[]) {
  const all = errorsByDraw(problem, chosen)
  return Array.from({ length: problem.unknowns }, (_, j) => {
    const own = all.map((errors) => errors[j]!)
    return { middle: geometricMean(own), least: Math.min(...own), most: Math.max(...own) }
  })
}

export const middleErrors = (problem: DesignProblem, chosen: readonly number[]): number[] =>
  errorsOf(problem, chosen).map(({ middle }) => middle)

/** Correlations of the errors, mean over the draws, row-major. */
export function correlationOf(problem: DesignProblem, chosen: readonly number[]): Float64Array {
  const { unknowns: k, draws } = problem
  const mean = new Float64Array(k * k)
  for (let d = 0; d < draws; d++) {
    const covariance = covarianceAt(problem, chosen, d)
    for (let a = 0; a < k; a++)
      for (let b = 0; b < k; b++) {
        const size = covariance ? Math.sqrt(covariance[a * k + a]! * covariance[b * k + b]!) : Number.NaN
        mean[a * k + b]! +=
          a === b ? 1 / draws : covariance ? covariance[a * k + b]! / size / draws : Number.NaN
      }
  }
  return mean
}

/** Candidates with how often they stand in a list. */
export function counted(chosen: readonly number[]): ChosenDrop[] {
  const times = new Map<number, number>()
  for (const c of chosen) times.set(c, (times.get(c) ?? 0) + 1)
  return [...times].map(([candidate, count]) => ({ candidate, times: count }))
}
