/**
 * Exact optimal designs: of many possible observations choose n, repeats allowed, from which the unknowns of a model come
 * out best. Fedorov's exchange (V. V. Fedorov, Theory of Optimal Experiments, Academic Press 1972, chapter 3; Atkinson,
 * Donev & Tobias, Optimum Experimental Designs, with SAS, Oxford 2007, chapter 12) as Cook and Nachtsheim do it (Technometrics
 * 22, 315, 1980): each chosen observation in turn is swapped for the one that helps most, until no swap of any helps. From
 * several starts, since each may end in a lesser maximum.
 */
import { randomStream } from '../sampling/random.ts'
import { logDeterminant, traceOfInverse } from './information.ts'

/** 'D': the largest mean of ln det M; 'A': the smallest mean of ln trace M⁻¹, over the draws. */
export type Criterion = 'D' | 'A'

/** A model's observations, seen from several places of what is not known (draws). */
export interface DesignProblem {
  /** Number of observations that could be made. */
  candidates: number
  /** Number of unknowns, k. */
  unknowns: number
  /** Number of draws. */
  draws: number
  /** Information of candidate c at draw d, k × k row-major, from (d · candidates + c) k² on. Symmetric, not negative. */
  information: Float64Array
  /** What is known beforehand, k × k, the same at all draws; zeros where nothing is. */
  prior: Float64Array
  criterion: Criterion
}

export interface Design {
  /** Chosen candidates in rising order; one that is chosen several times stands there as often. */
  chosen: number[]
  /** Value of the criterion, the larger the better; −∞ where the unknowns cannot be found. */
  score: number
}

/** Part of the largest information that stands on the diagonal, so that starts of too few kinds can be told apart (regularisation, common practice). */
const RIDGE = 1e-9

/** Least gain for which a swap is made. */
const GAIN = 1e-9

/** Keeps the sums of information of a design, and judges what a change would bring. */
class Sums {
  private readonly size: number
  private readonly sums: Float64Array
  private readonly tried: Float64Array
  private readonly work: Float64Array

  constructor(
    private readonly problem: DesignProblem,
    chosen: readonly number[],
    ridge: boolean,
  ) {
    const { unknowns: k, draws, information, prior } = problem
    this.size = k * k
    this.sums = new Float64Array(draws * this.size)
    this.tried = new Float64Array(this.size)
    this.work = new Float64Array(this.size)
    const least = ridge ? RIDGE * information.reduce((most, one) => Math.max(most, one), 0) : 0
    for (let d = 0; d < draws; d++)
      for (let e = 0; e < this.size; e++)
        this.sums[d * this.size + e] = prior[e]! + (e % (k + 1) === 0 ? least : 0)
    for (const c of chosen) this.change(c, 1)
  }

  /** Takes a candidate in (1) or out (−1). */
  change(candidate: number, sign: 1 | -1): void {
    const { draws, candidates, information } = this.problem
    const { size, sums } = this
    for (let d = 0; d < draws; d++) {
      const at = (d * candidates + candidate) * size
      for (let e = 0; e < size; e++) sums[d * size + e]! += sign * information[at + e]!
    }
  }

  /** Value of the criterion as it is, or with one candidate more. */
  score(more = -1): number {
    const { draws, candidates, information, unknowns, criterion } = this.problem
    const { size, sums, tried, work } = this
    let sum = 0
    for (let d = 0; d < draws; d++) {
      const at = (d * candidates + more) * size
      for (let e = 0; e < size; e++) tried[e] = sums[d * size + e]! + (more < 0 ? 0 : information[at + e]!)
      sum +=
        criterion === 'D'
          ? logDeterminant(tried, unknowns, work)
          : -Math.log(traceOfInverse(tried, unknowns, work))
    }
    return sum / draws
  }

  /** The candidate that helps most, and the value with it. */
  best(): { candidate: number; score: number } {
    let best = { candidate: 0, score: Number.NEGATIVE_INFINITY }
    for (let candidate = 0; candidate < this.problem.candidates; candidate++) {
      const score = this.score(candidate)
      if (score > best.score) best = { candidate, score }
    }
    return best
  }
}

/** Value of the criterion for a design. */
export const scoreOf = (problem: DesignProblem, chosen: readonly number[]): number =>
  new Sums(problem, chosen, false).score()

/** Swaps, one chosen observation after the other against the best of all, until none helps. */
export function exchanged(problem: DesignProblem, start: readonly number[]): Design {
  const chosen = [...start]
  const sums = new Sums(problem, chosen, true)
  let score = sums.score()
  for (let unchanged = 0, at = 0; unchanged < chosen.length; at = (at + 1) % chosen.length) {
    sums.change(chosen[at]!, -1)
    const best = sums.best()
    const helps = best.score > score + GAIN
    if (helps) {
      chosen[at] = best.candidate
      score = best.score
    }
    sums.change(chosen[at]!, 1)
    unchanged = helps ? 0 : unchanged + 1
  }
  chosen.sort((a, b) => a - b)
  return { chosen, score: scoreOf(problem, chosen) }
}

/** A design of n observations, the best one added each time. */
function grown(problem: DesignProblem, n: number): number[] {
  const sums = new Sums(problem, [], true)
  return Array.from({ length: n }, () => {
    const { candidate } = sums.best()
    sums.change(candidate, 1)
    return candidate
  })
}

/** The better of two designs; the first where they are alike. */
const better = (a: Design, b: Design): Design => (b.score > a.score + GAIN ? b : a)

/**
 * The best design of n observations that exchanges find: from one made by adding the best one by one, from those given, and
 * from random ones.
 * @param n number of observations, at least 1
 * @param starts random starts
 */
export function bestDesign(
  problem: DesignProblem,
  n: number,
  starts: number,
  seed: number,
  given: readonly (readonly number[])[] = [],
): Design {
  const random = randomStream(seed)
  let best = exchanged(problem, grown(problem, n))
  for (const start of given) best = better(best, exchanged(problem, start))
  for (let s = 0; s < starts; s++) {
    const start = Array.from({ length: n }, () => Math.floor(random() * problem.candidates))
    best = better(best, exchanged(problem, start))
  }
  return best
}
