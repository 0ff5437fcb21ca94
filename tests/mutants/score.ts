/** What a run of mutants comes to. */

export interface Counts {
  killed: number
  /** Endless, or many times as long: noticed too. */
  timeout: number
  survived: number
  /** No test passes there. */
  noCoverage: number
  /** Of module level, which would take a run of all tests each; and what could not be run. */
  leftOut: number
}

export interface Score extends Counts {
  /** Part that is noticed, and its standard error by the sample, both in per cent. */
  score: number
  error: number
}

const STATUS: Record<string, keyof Counts> = {
  Killed: 'killed',
  Timeout: 'timeout',
  Survived: 'survived',
  NoCoverage: 'noCoverage',
}

function countsOf(results: readonly { status: string }[]): Counts {
  const counts: Counts = { killed: 0, timeout: 0, survived: 0, noCoverage: 0, leftOut: 0 }
  for (const { status } of results) counts[STATUS[status] ?? 'leftOut']++
  return counts
}

const tenth = (value: number): number => Number(value.toFixed(1))

/**
 * Score of a sample out of `all` mutants. Error: √(p (1 − p)/n · (1 − n/all)), W. G. Cochran, Sampling Techniques, 3rd ed. 1977,
 * section 3.2, with two of each kind added, A. Agresti & B. A. Coull, The American Statistician 52, 119 (1998); from memory.
 */
export function scoreOf(results: readonly { status: string }[], all: number): Score {
  const counts = countsOf(results)
  const noticed = counts.killed + counts.timeout
  const n = results.length - counts.leftOut
  const p = (noticed + 2) / (n + 4)
  const error = Math.sqrt(((p * (1 - p)) / (n + 4)) * (1 - Math.min(1, results.length / all)))
  return { ...counts, score: tenth((100 * noticed) / n), error: tenth(100 * error) }
}
