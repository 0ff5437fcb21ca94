/** Numbers as text, for notes, sheets and the command line. */

/** `value` with `digits` significant digits, never in powers of ten, true minus sign; a dash where there is none. */
export function figure(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return '–'
  if (value === 0) return '0'
  const rounded = Number(value.toPrecision(digits))
  const decimals = digits - 1 - Math.floor(Math.log10(Math.abs(rounded)))
  return rounded.toFixed(Math.min(12, Math.max(0, decimals))).replace('-', '−')
}

/** `value` rounded to a decimal place (2: hundredths, −1: tens); true minus sign, and none on a zero. */
export function toPlace(value: number, place: number): string {
  const tens = 10 ** Math.max(0, -place)
  const text = (Math.round(value / tens) * tens).toFixed(0)
  const shown = place > 0 ? value.toFixed(Math.min(place, 12)) : text
  return Number(shown) === 0 ? shown.replace('-', '') : shown.replace('-', '−')
}

/**
 * `value ± error` in the given unit ('' for none); the error with one digit (two if it begins with 1), the value to the same
 * place, before the decimal point too: 1230 ± 140. An error that is unknown (NaN) or invisible beside three digits is left out.
 */
export function withError(value: number, error: number, unit: string, digits = 3): string {
  const after = unit && ` ${unit}`
  if (!(error > 0 && Number.isFinite(error)) || error < Math.abs(value) * 5e-4)
    return `${figure(value, digits)}${after}`
  // Rounded to two digits first: 0.0996 is 0.10.
  const two = Number(error.toPrecision(2))
  const exponent = Math.floor(Math.log10(two))
  const place = (two / 10 ** exponent < 1.95 ? 1 : 0) - exponent
  return `${toPlace(value, place)} ± ${toPlace(error, place)}${after}`
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
