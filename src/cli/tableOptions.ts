/** Options by which a command is told what a measured table leaves open. */
import type { Choices, Column, ColumnRole, DecimalMark, LengthUnit, TimeUnit } from '../measured/types.ts'
import { ROLE_UNITS, SIZE_UNITS, TIME_UNITS } from '../measured/units.ts'
import { typedNumber } from '../numerics/typedNumber.ts'
import { Wrong } from './command.ts'

export const TABLE_OPTIONS = {
  sheet: { type: 'string' },
  'time-unit': { type: 'string' },
  'radius-unit': { type: 'string' },
  fps: { type: 'string' },
  'mm-per-px': { type: 'string' },
  'mm-per-px-error': { type: 'string' },
  decimal: { type: 'string' },
  columns: { type: 'string' },
  sort: { type: 'boolean', default: false },
  'skip-bad': { type: 'boolean', default: false },
} as const

export const TABLE_HELP = `  What a table does not say itself (for all tables of the call):
  --sheet NAME         which sheet, where a workbook (xlsx) has several
  --time-unit UNIT     s, ms, min or frame
  --radius-unit UNIT   m, cm, mm, um or px
  --fps NUMBER         frames per second, where the time column counts frames
  --mm-per-px NUMBER   scale of a picture, where sizes are in pixels (px, px2)
  --mm-per-px-error N  its standard uncertainty, mm per pixel
  --decimal MARK       point or comma
  --columns LIST       what the columns hold, in their order, with units, e.g. time:s,ignore,radius:mm
  --sort               times that are out of order are sorted
  --skip-bad           rows in which a number cannot be read are left out, and listed`

export interface TableValues {
  sheet?: string | undefined
  'time-unit'?: string | undefined
  'radius-unit'?: string | undefined
  fps?: string | undefined
  'mm-per-px'?: string | undefined
  'mm-per-px-error'?: string | undefined
  decimal?: string | undefined
  columns?: string | undefined
  sort: boolean
  'skip-bad': boolean
}

const ROLES: readonly ColumnRole[] = [
  'time',
  'radius',
  'diameter',
  'area',
  'uncertainty',
  'series',
  'used',
  'alcohol',
  'liquid',
  'volume',
  'contact',
  'depth',
  'temperature',
  'humidity',
  'oil',
  'group',
  'conditions',
  'note',
  'ignore',
]
const MARKS: Record<string, DecimalMark> = { point: '.', comma: ',' }

/** µ and ² are hard to type; "mass%" is the same as "mass %". */
const tidyUnit = (text: string): string =>
  text
    .replace(/^[uμ]m/, 'µm')
    .replace(/^([mcµ]?m|px)2$/, '$1²')
    .replace(/^(mass|volume)%$/, '$1 %')

function oneOf<T extends string>(option: string, text: string, permitted: readonly T[]): T {
  const found = permitted.find((one) => one === tidyUnit(text))
  if (found !== undefined) return found
  throw new Wrong(`--${option} is ${JSON.stringify(text)}. Permitted: ${permitted.join(', ')}`)
}

function columnOf(text: string, index: number): Column {
  const [role = '', unit] = text.trim().split(':')
  const found = oneOf('columns', role, ROLES)
  const units = ROLE_UNITS[found]
  if (unit === undefined || found === 'ignore') return { index, role: found }
  if (!units) throw new Wrong(`--columns is ${JSON.stringify(text)}. Permitted: ${found}, without a unit`)
  return { index, role: found, unit: oneOf('columns', unit, units) }
}

function scaleOf(option: 'mm-per-px' | 'mm-per-px-error', text: string): number {
  const value = typedNumber(text)
  if (value > 0 && value <= 1000) return value
  throw new Wrong(`--${option} is ${JSON.stringify(text)}. Permitted: above 0, up to 1000 mm per pixel`)
}

function rateOf(text: string): number {
  const value = typedNumber(text)
  if (value > 0 && value <= 1e6) return value
  throw new Wrong(`--fps is ${JSON.stringify(text)}. Permitted: above 0, up to 1000000 frames per second`)
}

/** The answers as the table reader takes them. @throws Wrong, with what would be right. */
export function choicesOf(v: TableValues): Choices {
  const timeUnit = v['time-unit']
  const radiusUnit = v['radius-unit']
  return {
    ...(v.sheet === undefined ? {} : { sheet: v.sheet }),
    ...(timeUnit === undefined ? {} : { timeUnit: oneOf<TimeUnit>('time-unit', timeUnit, TIME_UNITS) }),
    ...(radiusUnit === undefined
      ? {}
      : { radiusUnit: oneOf<LengthUnit | 'px'>('radius-unit', radiusUnit, SIZE_UNITS) }),
    ...(v.fps === undefined ? {} : { framesPerSecond: rateOf(v.fps) }),
    ...(v['mm-per-px'] === undefined ? {} : { millimetresPerPixel: scaleOf('mm-per-px', v['mm-per-px']) }),
    ...(v['mm-per-px-error'] === undefined
      ? {}
      : { millimetresPerPixelError: scaleOf('mm-per-px-error', v['mm-per-px-error']) }),
    ...(v.decimal === undefined
      ? {}
      : { decimalMark: MARKS[oneOf('decimal', v.decimal, ['point', 'comma'])]! }),
    ...(v.columns === undefined ? {} : { columns: v.columns.split(',').map(columnOf) }),
    ...(v.sort ? { sort: true } : {}),
    ...(v['skip-bad'] ? { skipBad: true } : {}),
  }
}
