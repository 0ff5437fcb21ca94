/** Units of time and length as people write them in table headers. */
import type { AreaUnit, ColumnRole, ColumnUnit, LengthUnit, PixelUnit, TimeUnit } from './types.ts'

const TIME_WORDS: Record<string, TimeUnit> = {
  s: 's',
  S: 's',
  ms: 'ms',
  MS: 'ms',
  min: 'min',
  MIN: 'min',
}

const TIME_LONG: Record<string, TimeUnit> = {
  sec: 's',
  secs: 's',
  second: 's',
  seconds: 's',
  sek: 's',
  sekunde: 's',
  sekunden: 's',
  secondes: 's',
  msec: 'ms',
  millisecond: 'ms',
  milliseconds: 'ms',
  millisekunden: 'ms',
  mins: 'min',
  minute: 'min',
  minutes: 'min',
  minuten: 'min',
  frame: 'frame',
  frames: 'frame',
}

const LENGTH_WORDS: Record<string, LengthUnit> = {
  m: 'm',
  cm: 'cm',
  CM: 'cm',
  mm: 'mm',
  MM: 'mm',
  um: 'µm',
  µm: 'µm',
  μm: 'µm',
}

const LENGTH_LONG: Record<string, LengthUnit> = {
  meter: 'm',
  meters: 'm',
  metre: 'm',
  metres: 'm',
  centimeter: 'cm',
  centimeters: 'cm',
  centimetre: 'cm',
  centimetres: 'cm',
  zentimeter: 'cm',
  millimeter: 'mm',
  millimeters: 'mm',
  millimetre: 'mm',
  millimetres: 'mm',
  micron: 'µm',
  microns: 'µm',
  micrometer: 'µm',
  micrometers: 'µm',
  micrometre: 'µm',
  micrometres: 'µm',
  mikrometer: 'µm',
}

const PIXEL_WORDS = new Set(['px', 'pix', 'pixel', 'pixels', 'bildpunkte', 'pxl'])

/** Units that a user may choose. */
export const TIME_UNITS: readonly TimeUnit[] = ['s', 'ms', 'min', 'frame']
export const LENGTH_UNITS: readonly LengthUnit[] = ['mm', 'cm', 'm', 'µm']
const AREA_UNITS: readonly AreaUnit[] = ['mm²', 'cm²', 'm²', 'µm²']
/** Units of a radius or a diameter. */
export const SIZE_UNITS: readonly (LengthUnit | 'px')[] = [...LENGTH_UNITS, 'px']

/** Units that a column of this role may be given, the usual one first; the other roles have one of their own, or none. */
export const ROLE_UNITS: Partial<Record<ColumnRole, readonly ColumnUnit[]>> = {
  time: TIME_UNITS,
  radius: SIZE_UNITS,
  diameter: SIZE_UNITS,
  area: [...AREA_UNITS, 'px²'],
  uncertainty: [...SIZE_UNITS, '%', ...AREA_UNITS, 'px²'],
  humidity: ['%', 'share'],
  alcohol: ['mass', 'volume', 'mass %', 'volume %'],
}

/** The unit that a piece of a header names, or null. Short forms keep their case: Mm is no millimetre. */
export const timeUnit = (text: string): TimeUnit | null =>
  own(TIME_WORDS, text) ?? own(TIME_LONG, text.toLowerCase()) ?? null

export const lengthUnit = (text: string): LengthUnit | null =>
  own(LENGTH_WORDS, text) ?? own(LENGTH_LONG, text.toLowerCase()) ?? null

export const pixelUnit = (text: string): 'px' | null => (PIXEL_WORDS.has(text.toLowerCase()) ? 'px' : null)

/** "mm²", "mm2", "mm^2", "sq mm", "square millimetres", "px²". */
export function areaUnit(text: string): AreaUnit | 'px²' | null {
  const bare =
    /^(.+?)\s*(?:²|\^2|\*\*2|2)$/.exec(text)?.[1] ?? /^(?:square|quadrat|sq\.?)[\s-]*(.+)$/i.exec(text)?.[1]
  if (bare === undefined) return null
  const side = lengthUnit(bare) ?? pixelUnit(bare)
  return side === null ? null : `${side}²`
}

/** Whether a size in this unit needs mm per pixel. */
export const inPixels = (unit: ColumnUnit | undefined): unit is PixelUnit => unit === 'px' || unit === 'px²'

export const isAreaUnit = (unit: ColumnUnit | undefined): boolean =>
  unit === 'px²' || AREA_UNITS.includes(unit as AreaUnit)

function own<T>(table: Record<string, T>, key: string): T | undefined {
  return Object.hasOwn(table, key) ? table[key] : undefined
}

/** value · up / down is the value in seconds or metres. Division is closer to the decimal fraction than a product. */
export interface UnitFactor {
  up: number
  down: number
}

export const TIME_FACTOR: Record<Exclude<TimeUnit, 'frame'>, UnitFactor> = {
  s: { up: 1, down: 1 },
  ms: { up: 1, down: 1000 },
  min: { up: 60, down: 1 },
}

export const LENGTH_FACTOR: Record<LengthUnit, UnitFactor> = {
  m: { up: 1, down: 1 },
  cm: { up: 1, down: 100 },
  mm: { up: 1, down: 1000 },
  µm: { up: 1, down: 1_000_000 },
}

/** value / this is the value in m². */
export const AREA_DIVISOR: Record<AreaUnit, number> = { 'm²': 1, 'cm²': 1e4, 'mm²': 1e6, 'µm²': 1e12 }
