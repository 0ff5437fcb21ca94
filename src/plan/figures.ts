/** Numbers as text, for notes, sheets and the command line. */

/** `value` with `digits` significant digits, never in powers of ten, true minus sign; a dash where there is none. */
export function figure(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return '–'
  if (value === 0) return '0'
  const rounded = Number(value.toPrecision(digits))
  const decimals = digits - 1 - Math.floor(Math.log10(Math.abs(rounded)))
  return rounded.toFixed(Math.min(12, Math.max(0, decimals))).replace('-', '−')
}

/** A fraction as "48.7 %". */
export const percentText = (fraction: number, digits = 3): string => `${figure(100 * fraction, digits)} %`

/** `value` as it stands in a message about an input; shortened, text in quotes. */
export function shownValue(value: unknown): string {
  if (typeof value === 'string') return JSON.stringify(value.length > 40 ? `${value.slice(0, 40)}…` : value)
  return typeof value === 'number' ? String(value).replace('-', '−') : typeof value
}

/** A number as the user gave it, true minus sign. */
export const given = (value: number): string => String(value).replace('-', '−')
