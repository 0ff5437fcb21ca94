/** What is wrong with one text or number of a user's liquid. */

import { pathWords, rangeWords, shown } from './messageWords.ts'
import type { OwnProblem } from './types.ts'

export const complaint = (where: string, rest: string): OwnProblem => ({
  where,
  message: `${pathWords(where)} ${rest}`,
})

/** Checks a text of limited length. */
export function textProblem(where: string, value: unknown, limit: number, needed: boolean): OwnProblem[] {
  if (value === undefined && !needed) return []
  if (typeof value !== 'string') return [complaint(where, `is ${shown(value)}; it must be a text in quotes.`)]
  if (needed && value.trim() === '') return [complaint(where, 'is empty; say it in words.')]
  if (value.length <= limit) return []
  return [complaint(where, `has ${value.length} characters. Permitted: at most ${limit}.`)]
}

export function numberProblem(
  where: string,
  value: unknown,
  range: { min: number; max: number; unit: string },
): OwnProblem[] {
  if (typeof value === 'number' && value >= range.min && value <= range.max) return []
  const why =
    typeof value === 'string'
      ? ', which is text; write a number without quotes'
      : typeof value === 'number'
        ? ''
        : ', which is not a number'
  return [complaint(where, `is ${shown(value)}${why}. Permitted: ${rangeWords(range)}.`)]
}
