/** Numbers and options in the words of the steps. Pure. */
import { plain } from '../format.ts'
import type { ChoiceQuestion, Option } from './types.ts'

/** A speed in mm/s with two digits; below a thousandth of the speeds beside it the liquid is at rest. */
export function speedWords(speed: number, scale: number): string {
  return Math.abs(speed) < 1e-3 * Math.abs(scale) ? 'at rest' : `${plain(1e3 * speed, 2)} mm/s`
}

export const milli = (value: number, digits = 3): string => plain(1e3 * value, digits)

/** "69 % of the radius" for r/R. */
export const wayWords = (s: number): string => `${Math.round(100 * s)} % of the radius`

/** A question with the options as [name, text, hint]; `right` is the name of the right one. */
export function choice(
  text: string,
  right: string,
  ...options: readonly (readonly [name: string, text: string, hint: string])[]
): ChoiceQuestion {
  const made: Option[] = options.map(([name, words, hint]) => ({
    text: words,
    hint: name === right ? '' : hint,
  }))
  const at = options.findIndex(([name]) => name === right)
  if (at < 0) throw new RangeError(`no option is "${right}"`)
  return { kind: 'choice', text, options: made, right: at }
}
