/** Options by which a command is told what a measured table leaves open. */
import type { Choices, Column, ColumnRole, DecimalMark, LengthUnit, TimeUnit } from '../measured/types.ts'
import { LENGTH_UNITS, ROLE_UNITS, TIME_UNITS } from '../measured/units.ts'
import { Wrong } from './command.ts'
import { numberIn } from './optionValues.ts'

export const TABLE_OPTIONS = {
  'time-unit': { type: 'string' },
  'radius-unit': { type: 'string' },
  fps: { type: 'string' },
  decimal: { type: 'string' },
  columns: { type: 'string' },
  sort: { type: 'boolean', default: false },
  'skip-bad': { type: 'boolean', default: false },
} as const

export const TABLE_HELP = `  What a table leaves open (for all tables of the call):
  --time-unit UNIT     s, ms, min or frame
  --radius-unit UNIT   m, cm, mm or um
  --fps NUMBER         frames per second, where the time column counts frames
  --decimal MARK       point or comma
  --columns LIST       what the columns hold, in their order, with units, e.g. time:s,ignore,radius:mm
  --sort               times that are out of order are sorted
  --skip-bad           rows in which a number cannot be read are left out, and listed`

export interface TableValues {
  'time-unit'?: string | undefined
  'radius-unit'?: string | undefined
  fps?: string | undefined
  decimal?: string | undefined
  columns?: string | undefined
  sort: boolean
  'skip-bad': boolean
}

const ROLES: readonly ColumnRole[] = [
  'time',
  'radius',
  'diameter',
  'uncertainty',
  'series',
  'used',
  'alcohol',
  'liquid',
  'volume',
  'contact',
  'depth',
  'temperature',
  'conditions',
  'note',
  'ignore',
]
const MARKS: Record<string, DecimalMark> = { point: '.', comma: ',' }

/** µ is hard to type; "mass%" is the same as "mass %". */
const tidyUnit = (text: string): string =>
  text === 'um' || text === 'μm' ? 'µm' : text.replace(/^(mass|volume)%$/, '$1 %')

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

function rateOf(text: string): number {
  const value = numberIn(text)
  if (value > 0 && value <= 1e6) return value
  throw new Wrong(`--fps is ${JSON.stringify(text)}. Permitted: above 0, up to 1000000 frames per second`)
}

/** The answers as the table reader takes them. @throws Wrong, with what would be right. */
export function choicesOf(v: TableValues): Choices {
  const timeUnit = v['time-unit']
  const radiusUnit = v['radius-unit']
  return {
    ...(timeUnit === undefined ? {} : { timeUnit: oneOf<TimeUnit>('time-unit', timeUnit, TIME_UNITS) }),
    ...(radiusUnit === undefined
      ? {}
      : { radiusUnit: oneOf<LengthUnit>('radius-unit', radiusUnit, LENGTH_UNITS) }),
    ...(v.fps === undefined ? {} : { framesPerSecond: rateOf(v.fps) }),
    ...(v.decimal === undefined
      ? {}
      : { decimalMark: MARKS[oneOf('decimal', v.decimal, ['point', 'comma'])]! }),
    ...(v.columns === undefined ? {} : { columns: v.columns.split(',').map(columnOf) }),
    ...(v.sort ? { sort: true } : {}),
    ...(v['skip-bad'] ? { skipBad: true } : {}),
  }
}
