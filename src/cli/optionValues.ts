/** Values of options: numbers and strengths, or what would be right. */
import { hasDecimalComma, typedNumber } from '../numerics/typedNumber.ts'
import { readStrength, STRENGTH_FORMS, type Strength } from '../plan/strength.ts'
import { Wrong } from './command.ts'

/** What else to say of a text that is no number: a decimal comma is not guessed, since commas part the members of a list. */
const commaHint = (text: string): string => (hasDecimalComma(text) ? ' Write it with a decimal point.' : '')

/** Number of an option. @throws Wrong */
export function numberOption(name: string, text: string): number {
  const value = typedNumber(text)
  if (Number.isFinite(value)) return value
  throw new Wrong(`--${name} is ${JSON.stringify(text)}, which is not a number.${commaHint(text)}`)
}

/** Number of an option within a range. @throws Wrong */
export function between(name: string, text: string, min: number, max: number): number {
  const value = typedNumber(text)
  if (value >= min && value <= max) return value
  throw new Wrong(`--${name} is ${JSON.stringify(text)}. Permitted: ${min} to ${max}.${commaHint(text)}`)
}

/** Whole number of an option within a range. @throws Wrong */
export function wholeBetween(name: string, text: string, min: number, max: number): number {
  const value = between(name, text, min, max)
  if (Number.isInteger(value)) return value
  throw new Wrong(`--${name} is ${JSON.stringify(text)}. Permitted: whole numbers from ${min} to ${max}.`)
}

/** Strength of an option; asks for it if it is missing. @throws Wrong */
export function strengthOption(name: string, text: string | undefined): Strength {
  if (text === undefined) throw new Wrong(`Which --${name}? Write it as ${STRENGTH_FORMS}.`)
  const read = readStrength(text, name)
  if (!read.ok) throw new Wrong(read.problems.map((p) => p.message).join(' '))
  return read.strength
}
