/** Numbers as people write them: the one rule of every box, option, name and remark. Cells of tables: measured/numbers.ts. */

const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i

/**
 * The number that a text is: digits with a decimal point at most and a power of ten at most ("12", "-0.5", "2e-9"). NaN for
 * anything else: nothing, "0x32", "12 mm", "1,234", "Infinity", and what is too large to be a number here.
 */
export function typedNumber(text: string): number {
  const tidy = text.trim().replace(/^[\u2212\u2013]/, '-')
  const value = NUMBER.test(tidy) ? Number(tidy) : Number.NaN
  return Number.isFinite(value) ? value : Number.NaN
}

/** As typedNumber, with a decimal comma taken as a point: for a box, which holds one number and shows what it was taken for. */
export const typedInBox = (text: string): number =>
  typedNumber(text.includes('.') ? text : text.replace(',', '.'))

/** Whether a text is a number but for its decimal comma; where commas part the members of a list that is asked back. */
export const hasDecimalComma = (text: string): boolean =>
  !text.includes('.') && text.includes(',') && !Number.isNaN(typedInBox(text))

/** Where a number without a sign stands in a running text (a remark, a title, a name): all of it, and no part of 0x32 or 2e3. */
export const NUMBER_IN_TEXT = '(?<![\\d.,]|0x|\\de)\\d+(?:[.,]\\d+)?(?![.,]?\\d)'

/** A number found in a running text; NaN for "1,250", which may be a little more than one or a thousand. */
export const numberInText = (text: string): number =>
  /^[1-9]\d{0,2},\d{3}$/.test(text) ? Number.NaN : typedInBox(text)
