/** From a key of the preset to a slider's positions and the numbers shown. Pure. */
import type { NumberKey } from '../../life/keys.ts'
import { niceStep } from '../spans.ts'

export interface KeyScale {
  /** Positions 0 … count of the slider. */
  count: number
  /** Value (in the key's unit) at a position: a round number within the key's range. */
  valueAt(position: number): number
  /** Nearest position of a value. */
  positionOf(value: number): number
  /** Shown number = value × factor: fractions are shown in per cent. */
  factor: number
  unit: string
}

const isFraction = (key: NumberKey): boolean => key.unit === '' && key.min === 0 && key.max === 1

const tidy = (value: number): number => Number(value.toPrecision(12))
const within = (key: NumberKey, value: number): number => Math.min(Math.max(value, key.min), key.max)

/** Even steps on round numbers. */
function evenScale(key: NumberKey, step: number): Pick<KeyScale, 'count' | 'valueAt' | 'positionOf'> {
  const first = Math.floor(key.min / step + 1e-9)
  const count = Math.ceil(key.max / step - 1e-9) - first
  return {
    count,
    valueAt: (position) => within(key, tidy((first + position) * step)),
    positionOf: (value) => Math.min(Math.max(Math.round(value / step) - first, 0), count),
  }
}

/** Even ratios, rounded to two significant digits. */
function ratioScale(key: NumberKey, count: number): Pick<KeyScale, 'count' | 'valueAt' | 'positionOf'> {
  const span = Math.log(key.max / key.min)
  return {
    count,
    valueAt: (position) =>
      within(key, Number((key.min * Math.exp((span * position) / count)).toPrecision(2))),
    positionOf: (value) => Math.round((Math.log(within(key, value) / key.min) / span) * count),
  }
}

/** The scale of a key; `logarithmic` may be asked for where the key does not say so itself. */
export function scaleOf(key: NumberKey, logarithmic = key.logarithmic ?? false): KeyScale {
  const step = key.integer ? 1 : niceStep((key.max - key.min) / 310)
  const shape = logarithmic && key.min > 0 ? ratioScale(key, 150) : evenScale(key, step)
  const fraction = isFraction(key)
  return { ...shape, factor: fraction ? 100 : 1, unit: fraction ? '%' : key.unit }
}

/** A shown number: up to five significant digits, powers of ten only where they are needed. */
export function shownNumber(value: number, factor = 1): string {
  const shown = Number((value * factor).toPrecision(5))
  return String(shown)
}

/** "10 µL", "50 %". */
export const withUnit = (value: number, scale: KeyScale): string =>
  `${shownNumber(value, scale.factor)}${scale.unit ? ` ${scale.unit}` : ''}`
