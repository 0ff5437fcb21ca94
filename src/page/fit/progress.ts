/** What a fit that is under way tells of itself. */
import type { FitStep, FitWish } from '../../measured/fit/types.ts'
import { numberText } from '../../measured/fit/words.ts'

const STAGES: Record<FitStep['stage'], string> = {
  scan: 'Looking for a start',
  approach: 'Approaching with quick lives',
  conditions: 'Working out what the conditions do',
  finish: 'Finishing with lives of the drop’s accuracy',
  check: 'Checking with finer lives',
  profile: 'Walking along the unknown',
}

/** The stage, the lives so far, and how far the points are off. */
export function progressText({ stage, lives, sumOfSquares }: FitStep, { curves }: FitWish): string {
  const given = curves.every(({ uncertainty }) => uncertainty?.every((sigma) => sigma > 0))
  const sum = given
    ? `χ² ${numberText(sumOfSquares, 4)}`
    : `sum of squares ${numberText(1e6 * sumOfSquares, 4)} mm²`
  return `${STAGES[stage]}: ${lives} lives, ${sum}.`
}
