/** Numbers with units as they stand in sentences and beside controls. */
import { figure, toPlace } from '../plan/figures.ts'

export { withError } from '../plan/figures.ts'

/** A text for display, cut after `most` characters (never inside one) with "…" in place of the rest. */
export function cut(text: string, most: number): string {
  if (text.length <= most) return text
  return `${text.slice(0, most - 1).replace(/[\uD800-\uDBFF]$/, '')}…`
}

/** `value` with `digits` significant digits, never in powers of ten; true minus sign. The one rule of page and command line. */
export const plain = figure

const lengthUnits: readonly [number, string][] = [
  [1e-3, 'mm'],
  [1e-7, 'µm'],
  [0, 'nm'],
]
const unitSize: Record<string, number> = { mm: 1e-3, µm: 1e-6, nm: 1e-9 }

/** A length in m as "24.6 mm", "0.41 µm", "35 nm". */
export function length(metres: number, digits = 3): string {
  const unit = lengthUnits.find(([from]) => Math.abs(metres) >= from)?.[1] ?? 'nm'
  return `${plain(metres / unitSize[unit]!, digits)} ${unit}`
}

/**
 * Speeds below this, m/s, cannot be told from rest: the edge of a lens that has come to rest is computed to move at up to 1 µm/s,
 * one way or the other, at every accuracy.
 */
export const AT_REST = 1e-6

/** A speed (m/s) as a number of mm/s, never finer than it is computed: "12.3", "0.045", "0". */
export function speedNumber(speed: number): string {
  if (!Number.isFinite(speed)) return '–'
  if (Math.abs(speed) < AT_REST) return '0'
  const value = 1e3 * speed
  const place = Math.min(3, 2 - Math.floor(Math.log10(Math.abs(Number(value.toPrecision(3))))))
  return toPlace(value, place)
}

/** A speed (m/s) in words: "12.3 mm/s", "at rest". */
export const speedWords = (speed: number): string =>
  Math.abs(speed) < AT_REST ? 'at rest' : `${speedNumber(speed)} mm/s`

/** A time in s as "0.35 s", "6.2 s", "48 s", "2 min 5 s". */
export function duration(seconds: number): string {
  if (!Number.isFinite(seconds)) return '–'
  if (seconds < 1) return `${plain(seconds, 2)} s`
  if (seconds < 9.95) return `${seconds.toFixed(1)} s`
  const whole = Math.round(seconds)
  if (whole < 60) return `${whole} s`
  const rest = whole % 60
  return `${Math.floor(whole / 60)} min${rest ? ` ${rest} s` : ''}`
}

/** A count in words fit for an estimate: "12", "about 350", "about 5 200", "about 0.7 million". */
export function count(n: number): string {
  if (n < 20) return String(Math.round(n))
  const rounded = Number(n.toPrecision(2))
  if (rounded < 1e5) return `about ${rounded.toString().replace(/\B(?=(\d{3})+$)/g, ' ')}`
  if (rounded < 1e9) return `about ${plain(rounded / 1e6, rounded < 1e6 ? 1 : 2)} million`
  return `about ${plain(rounded / 1e9, 2)} thousand million`
}

/** A fraction as "48 %". */
export const percent = (fraction: number, digits = 2): string => `${plain(fraction * 100, digits)} %`

/** The day of the machine's own clock, as YYYY-MM-DD (ISO 8601). */
export const today = (): string => {
  const now = new Date()
  const two = (n: number) => String(n).padStart(2, '0')
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`
}
