/** The columns of the table of runs: each an entry of what a curve states, with its text both ways. */
import { typedInBox } from '../numerics/typedNumber.ts'
import { isDay, metaProblem } from './metaCheck.ts'
import type { ConditionErrors, CurveMeta } from './types.ts'

/** What a text in a cell comes to. `undefined` in a change takes the entry out. */
export type CellRead =
  | { ok: true; change: { [K in keyof CurveMeta]?: CurveMeta[K] | undefined } }
  | { ok: false; message: string }

export interface RunField {
  id: string
  label: string
  unit: string
  /** The text of an entry; '' where nothing is stated. */
  show(meta: CurveMeta): string
  /** Reads a text; the present data are there for what goes together (fraction and basis, the uncertainties). */
  read(text: string, meta: CurveMeta): CellRead
  /** Texts to choose from; others are taken too unless `only`. */
  choices?: readonly string[]
  only?: boolean
}

const shortest = (value: number): string => String(Number(value.toPrecision(12)))

/** A unit behind a number, as spreadsheets hold them. */
const UNITS: Readonly<Record<string, RegExp>> = {
  '%': /\s*(?:wt|vol)?%$/i,
  µL: /\s*[µμu]L$/i,
  mm: /\s*mm$/i,
  '°C': /\s*°C$/i,
  s: /\s*s$/i,
}

/** A number with its own unit behind it or none: "10 µL", "40 %". NaN if it is none. */
const cellNumber = (text: string, unit: string): number =>
  typedInBox(text.trim().replace(UNITS[unit] ?? /$^/, ''))

type NumberKey =
  | 'volume_uL'
  | 'depth_mm'
  | 'temperature_C'
  | 'startTime_s'
  | 'alcoholFraction'
  | 'relativeHumidity'

interface Quantity {
  label: string
  /** As it is shown and typed: what is kept times `scale`. */
  unit: string
  scale: number
  /** What may be typed, in words. */
  permitted: string
}

const QUANTITIES: Readonly<Record<NumberKey, Quantity>> = {
  alcoholFraction: { label: 'Strength', unit: '%', scale: 100, permitted: 'a number from 0 to 100 %' },
  volume_uL: { label: 'Volume', unit: 'µL', scale: 1, permitted: 'a number above 0 µL' },
  depth_mm: { label: 'Depth', unit: 'mm', scale: 1, permitted: 'a number above 0 mm' },
  temperature_C: {
    label: 'Temperature',
    unit: '°C',
    scale: 1,
    permitted: 'a number above −273.15 °C and below 1000 °C',
  },
  relativeHumidity: { label: 'Humidity', unit: '%', scale: 100, permitted: 'a number from 0 to 100 %' },
  startTime_s: { label: 'Touch-down', unit: 's', scale: 1, permitted: 'a number of s, of either sign' },
}

const permittedDay = 'a day as 2026-11-29'

/** What may be typed for an entry of the meta data, in words; '' for texts. */
export const permittedFor = (key: string): string =>
  key === 'date' ? permittedDay : Object.hasOwn(QUANTITIES, key) ? QUANTITIES[key as NumberKey].permitted : ''

/** Why a text is not taken, and what would be. */
export const refusal = (text: string, permitted: string): string =>
  `${JSON.stringify(text.trim().slice(0, 20))} cannot be used. Permitted: ${permitted}.`

const words = (message: string): string => message.replace(/^\S+ is/, 'This is')

function numberField(key: NumberKey): RunField {
  const { label, unit, scale, permitted } = QUANTITIES[key]
  return {
    id: key,
    label,
    unit,
    show: (meta) => (meta[key] === undefined ? '' : shortest(scale * meta[key])),
    read(text) {
      if (text.trim() === '') return { ok: true, change: { [key]: undefined } }
      const value = Number((cellNumber(text, unit) / scale).toPrecision(15))
      return metaProblem(key, value)
        ? { ok: false, message: refusal(text, permitted) }
        : { ok: true, change: { [key]: value } }
    },
  }
}

/** "40 vol%" says by what as well. */
const strengthField: RunField = {
  ...numberField('alcoholFraction'),
  read(text, meta) {
    const read = numberField('alcoholFraction').read(text, meta)
    if (!read.ok || !saysBasis(text)) return read
    const fractionBasis = /vol%/i.test(text) ? 'volume' : 'mass'
    return { ok: true, change: { ...read.change, fractionBasis } }
  },
}

function textField(
  key: 'alcohol' | 'oil' | 'group',
  label: string,
  choices: readonly string[] = [],
): RunField {
  return {
    id: key,
    label,
    unit: '',
    choices,
    show: (meta) => meta[key] ?? '',
    read(text) {
      const tidy = text.trim()
      const problem = metaProblem(key, tidy)
      return problem
        ? { ok: false, message: words(problem) }
        : { ok: true, change: { [key]: tidy || undefined } }
    },
  }
}

const basisField: RunField = {
  id: 'fractionBasis',
  label: 'by',
  unit: '',
  choices: ['mass', 'volume'],
  only: true,
  show: (meta) => (meta.alcoholFraction === undefined ? '' : (meta.fractionBasis ?? 'mass')),
  read(text, meta) {
    const tidy = text.trim().toLowerCase()
    if (tidy === '') return { ok: true, change: { fractionBasis: undefined } }
    const by = /^(?:by )?(?:mass|m|w|wt%?|w\/w|m\/m|weight)$/.test(tidy)
      ? 'mass'
      : /^(?:by )?(?:volume|vol%?|v|v\/v|abv)$/.test(tidy)
        ? 'volume'
        : null
    if (!by) return { ok: false, message: refusal(text, 'mass or volume') }
    // What is left to its default is not written down as the user's word.
    return {
      ok: true,
      change: by === 'mass' && meta.fractionBasis === undefined ? {} : { fractionBasis: by },
    }
  },
}

/** A day as 2026-11-29; 29.11.2026 and 20261129 are understood, 11/29 and 29/11 are not, for either can be meant. '' if it is none. */
export function dayOf(text: string): string {
  const tidy = text.trim()
  const [, year, month, day] = /^(\d{4})[-._]?(\d\d)[-._]?(\d\d)$/.exec(tidy) ?? []
  const [, d, m, y] = /^(\d{1,2})\.(\d{1,2})\.(\d{4})$/.exec(tidy) ?? []
  const made = year ? `${year}-${month}-${day}` : d ? `${y}-${m!.padStart(2, '0')}-${d.padStart(2, '0')}` : ''
  return isDay(made) ? made : ''
}

const dateField: RunField = {
  id: 'date',
  label: 'Date',
  unit: '',
  show: (meta) => meta.date ?? '',
  read(text) {
    if (text.trim() === '') return { ok: true, change: { date: undefined } }
    const day = dayOf(text)
    return day ? { ok: true, change: { date: day } } : { ok: false, message: refusal(text, permittedDay) }
  },
}

function sigmaField(key: NumberKey): RunField {
  const { unit, scale } = QUANTITIES[key]
  return {
    id: `σ ${key}`,
    label: '±',
    unit,
    show: ({ sigma }) => (sigma?.[key] === undefined ? '' : shortest(scale * sigma[key])),
    read(text, { sigma }) {
      const typed = text.trim() === '' ? undefined : cellNumber(text.replace(/^\s*(?:±|\+\/?-)/, ''), unit)
      if (typed !== undefined && !(typed > 0))
        return {
          ok: false,
          message: refusal(text, `a number above 0 ${unit}, or nothing if it is not known`),
        }
      const { [key]: _, ...others } = sigma ?? {}
      const next: ConditionErrors =
        typed === undefined ? others : { ...others, [key]: Number((typed / scale).toPrecision(15)) }
      return { ok: true, change: { sigma: Object.keys(next).length > 0 ? next : undefined } }
    },
  }
}

/** The columns in order. @param liquids ids that are offered: any other word is taken too */
export const runFields = (liquids: { alcohols: readonly string[]; oils: readonly string[] }): RunField[] => [
  strengthField,
  basisField,
  textField('alcohol', 'Alcohol', liquids.alcohols),
  numberField('volume_uL'),
  textField('oil', 'Oil', liquids.oils),
  numberField('depth_mm'),
  numberField('temperature_C'),
  numberField('relativeHumidity'),
  numberField('startTime_s'),
  dateField,
  textField('group', 'Group'),
]

/** The uncertainty that belongs to a column, in its unit; null where it has none. */
export const sigmaFieldOf = (id: string): RunField | null =>
  Object.hasOwn(QUANTITIES, id) ? sigmaField(id as NumberKey) : null

/** The data with a change laid over them; what is undefined in it goes. */
export const withChange = (
  meta: CurveMeta,
  change: { [K in keyof CurveMeta]?: CurveMeta[K] | undefined },
): CurveMeta =>
  Object.fromEntries(Object.entries({ ...meta, ...change }).filter(([, value]) => value !== undefined))

/** Cells of a block as spreadsheets copy them: rows by line ends, cells by tabs, quotes doubled within quotes. */
export function blockCells(text: string): string[][] {
  const rows: string[][] = [[]]
  const cell = /"((?:[^"]|"")*)"(?=[\t\r\n]|$)|([^\t\r\n]*)/y
  const tidy = text.replace(/\r\n?/g, '\n').replace(/\n+$/, '')
  for (let at = 0; ; ) {
    cell.lastIndex = at
    const found = cell.exec(tidy)!
    rows.at(-1)!.push(found[1]?.replaceAll('""', '"') ?? found[2] ?? '')
    at = cell.lastIndex
    if (at >= tidy.length) return rows
    if (tidy[at] === '\n') rows.push([])
    at++
  }
}

export interface BlockResult {
  /** New data of the rows that change, by their index. */
  metas: Map<number, CurveMeta>
  /** Cells that were not taken, in words with their row and column. */
  problems: string[]
  /** Cells that lie beyond the table. */
  beyond: number
}

/** Whether a strength says by what it is: an empty cell behind it then takes nothing back. */
const saysBasis = (strength = ''): boolean => /(?:wt|vol)%\s*$/i.test(strength)

/** Lays a block of cells over a table of runs from (row, column) on. Cells that cannot be used are left as they are and told. */
export function layBlock(
  cells: readonly (readonly string[])[],
  rows: readonly { name: string; meta: CurveMeta }[],
  fields: readonly RunField[],
  at: { row: number; column: number },
): BlockResult {
  const result: BlockResult = { metas: new Map(), problems: [], beyond: 0 }
  cells.forEach((line, i) => {
    line.forEach((text, j) => {
      const row = rows[at.row + i]
      const field = fields[at.column + j]
      if (!row || !field) {
        if (text.trim() !== '') result.beyond++
        return
      }
      const before = result.metas.get(at.row + i) ?? row.meta
      if (text.trim() === '' && field.id === 'fractionBasis' && saysBasis(line[j - 1])) return
      const read = field.read(text, before)
      if (read.ok) result.metas.set(at.row + i, withChange(before, read.change))
      else result.problems.push(`${row.name}, ${field.label}: ${read.message}`)
    })
  })
  return result
}
