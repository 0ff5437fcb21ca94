/**
 * Exact optimal designs: of many possible observations choose n, repeats allowed, from which the unknowns of a model come
 * out best. Fedorov's exchange (V. V. Fedorov, Theory of Optimal Experiments, Academic Press 1972, chapter 3; Atkinson,
 * Donev & Tobias, Optimum Experimental Designs, with SAS, Oxford 2007, chapter 12): the swap of one chosen for another
 * observation that helps most, until none helps. From several starts, since each may end in a lesser maximum.
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
    for (const c of chosen) this.change(-1, c)
  }

  /** Takes out candidate `out` and puts in candidate `put`; −1 = none. */
  change(out: number, put: number): void {
    for (let d = 0; d < this.problem.draws; d++)
      for (let e = 0; e < this.size; e++) this.sums[d * this.size + e]! += this.difference(d, e, out, put)
  }

  private difference(d: number, e: number, out: number, put: number): number {
    const { information, candidates } = this.problem
    const at = (c: number) => (c < 0 ? 0 : information[(d * candidates + c) * this.size + e]!)
    return at(put) - at(out)
  }

  /** Value of the criterion after such a change. */
  scoreWith(out = -1, put = -1): number {
    const { draws, unknowns, criterion } = this.problem
    let sum = 0
    for (let d = 0; d < draws; d++) {
      for (let e = 0; e < this.size; e++)
        this.tried[e] = this.sums[d * this.size + e]! + this.difference(d, e, out, put)
      sum +=
        criterion === 'D'
          ? logDeterminant(this.tried, unknowns, this.work)
          : -Math.log(traceOfInverse(this.tried, unknowns, this.work))
    }
    return sum / draws
  }
}

/** Value of the criterion for a design. */
export const scoreOf = (problem: DesignProblem, chosen: readonly number[]): number =>
  new Sums(problem, chosen, false).scoreWith()

/** The candidate that helps a design most. */
function bestAddition(problem: DesignProblem, chosen: readonly number[]): number {
  const sums = new Sums(problem, chosen, true)
  let best = 0
  let most = Number.NEGATIVE_INFINITY
  for (let c = 0; c < problem.candidates; c++) {
    const score = sums.scoreWith(-1, c)
    if (score > most) [best, most] = [c, score]
  }
  return best
}

/** Swaps until none helps. */
export function exchanged(problem: DesignProblem, start: readonly number[]): Design {
  const chosen = [...start]
  const sums = new Sums(problem, chosen, true)
  let score = sums.scoreWith()
  for (;;) {
    let best: { at: number; put: number } | null = null
    let most = score + GAIN
    for (const at of new Map(chosen.map((c, i) => [c, i])).values()) {
      for (let put = 0; put < problem.candidates; put++) {
        if (put === chosen[at]) continue
        const tried = sums.scoreWith(chosen[at]!, put)
        if (tried > most) [best, most] = [{ at, put }, tried]
      }
    }
    if (!best) break
    sums.change(chosen[best.at]!, best.put)
    chosen[best.at] = best.put
    score = most
  }
  chosen.sort((a, b) => a - b)
  return { chosen, score: scoreOf(problem, chosen) }
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
  const greedy: number[] = []
  while (greedy.length < n) greedy.push(bestAddition(problem, greedy))
  let best = exchanged(problem, greedy)
  for (const start of given) best = better(best, exchanged(problem, start))
  for (let s = 0; s < starts; s++) {
    const start = Array.from({ length: n }, () => Math.floor(random() * problem.candidates))
    best = better(best, exchanged(problem, start))
  }
  return best
}
