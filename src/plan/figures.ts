/** Numbers as text, for notes, sheets and the command line. */

/** `value` with `digits` significant digits, never in powers of ten, true minus sign; a dash where there is none. */
export function figure(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return '–'
  if (value === 0) return '0'
  const rounded = Number(value.toPrecision(digits))
  const decimals = digits - 1 - Math.floor(Math.log10(Math.abs(rounded)))
  return rounded.toFixed(Math.min(12, Math.max(0, decimals))).replace('-', '−')
}

/**
 * `value ± error` in the given unit ('' for none); the error with one digit (two if it begins with 1), the value to the same
 * place. An error that is unknown (NaN) or invisible beside three digits is left out.
 */
export function withError(value: number, error: number, unit: string, digits = 3): string {
  const after = unit && ` ${unit}`
  if (!(error > 0) || error < Math.abs(value) * 5e-4) return `${figure(value, digits)}${after}`
  const exponent = Math.floor(Math.log10(error))
  const errorDigits = error / 10 ** exponent < 1.95 ? 2 : 1
  const decimals = Math.min(Math.max(0, errorDigits - 1 - exponent), 6)
  return `${value.toFixed(decimals).replace('-', '−')} ± ${error.toFixed(decimals)}${after}`
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
