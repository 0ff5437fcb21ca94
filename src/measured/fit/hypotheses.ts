/** Several fits of the same points beside one another: which the data support. */
import { compareModels, type Ranked } from '../../numerics/statistics.ts'
import type { LifeFit } from './types.ts'

export interface NamedFit {
  name: string
  fit: Pick<LifeFit, 'unknowns' | 'sumOfSquares' | 'points' | 'weights' | 'data'>
}

export type HypothesisComparison =
  | { ok: true; ranked: Ranked[] /** What the difference means, in words. */; words: string }
  | { ok: false; reason: string }

/** Differences of AICc below which a fit has substantial support, and above which it has next to none. */
const CLOSE = 2
const HOPELESS = 10

/**
 * Ranks fits by AICc, best first (Burnham & Anderson, Model Selection and Multimodel Inference, 2nd ed. 2002, sections
 * 2.4 and 2.6). Only fits of the same points with the same weights can be compared.
 */
export function compareFits(fits: readonly NamedFit[]): HypothesisComparison {
  const first = fits[0]?.fit
  if (!first || fits.length < 2) return { ok: false, reason: 'At least two fits are needed.' }
  const other = fits.find(({ fit }) => fit.data !== first.data || fit.weights !== first.weights)
  if (other) {
    return {
      ok: false,
      reason: `“${other.name}” and “${fits[0]!.name}” are fits of different points or weights: they cannot be compared.`,
    }
  }
  const candidates = fits.map(({ name, fit }) => ({
    name,
    parameters: fit.unknowns.length,
    sumOfSquares: fit.sumOfSquares,
    count: fit.points,
  }))
  const ranked = compareModels(candidates, first.weights === 'given')
  if (!ranked) return { ok: false, reason: 'The sums of squares are not usable.' }
  return { ok: true, ranked, words: inWords(ranked) }
}

function inWords(ranked: readonly Ranked[]): string {
  const [best, second] = ranked as [Ranked, Ranked]
  if (!Number.isFinite(best.aicc)) return 'There are too few points for this comparison.'
  const gap = second.difference
  if (gap < CLOSE)
    return `“${best.name}” and “${second.name}” do about equally well: the points do not decide between them.`
  const rest = 'It says nothing about whether any of them is right.'
  if (gap < HOPELESS) return `“${best.name}” does better; “${second.name}” is not ruled out. ${rest}`
  return `“${best.name}” does much better: the others have next to no support. ${rest}`
}
