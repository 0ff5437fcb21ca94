/** Columns that say something about the whole curve: the same value in all rows, or in the first only. */
import { typedInBox } from '../numerics/typedNumber.ts'
import { isDay, provenanceOf } from './metaCheck.ts'
import { DATE_TITLE, isTitle, PROVENANCE_NUMBERS, PROVENANCE_TITLES, SIGMA_TITLES } from './tidyTitles.ts'
import type { Column, ColumnRole, ConditionErrors, CurveMeta, Provenance } from './types.ts'
import { unguardText } from './write.ts'

export interface MetaSource {
  rows: readonly (readonly string[])[]
  header: readonly string[]
  /** Value of a number cell, NaN if it is empty. */
  numberAt(column: number, row: number): number
  /** Says what is wrong with a cell. */
  complain(row: number, column: number, message: string): void
}

interface NumberRule {
  key: 'alcoholFraction' | 'volume_uL' | 'startTime_s' | 'depth_mm' | 'temperature_C' | 'relativeHumidity'
  fits(value: number): boolean
  range: string
}

const NUMBERS: Partial<Record<ColumnRole, NumberRule>> = {
  alcohol: {
    key: 'alcoholFraction',
    fits: (x) => x >= 0 && x <= 1,
    range: 'a fraction is between 0 and 1 (0 and 100 with %)',
  },
  volume: { key: 'volume_uL', fits: (x) => x > 0, range: 'a volume is above 0' },
  contact: { key: 'startTime_s', fits: () => true, range: 'a moment is a finite number' },
  depth: { key: 'depth_mm', fits: (x) => x > 0, range: 'a depth is above 0' },
  temperature: {
    key: 'temperature_C',
    fits: (x) => x > -273.15 && x < 1000,
    range: 'a temperature is between −273.15 and 1000 °C',
  },
  humidity: {
    key: 'relativeHumidity',
    fits: (x) => x >= 0 && x <= 1,
    range: 'a relative humidity is between 0 and 1 (0 and 100 with %)',
  },
}

const TEXTS: Partial<Record<ColumnRole, 'alcohol' | 'oil' | 'group' | 'conditions' | 'note'>> = {
  liquid: 'alcohol',
  oil: 'oil',
  group: 'group',
  conditions: 'conditions',
  note: 'note',
}

/** Roles whose cells are numbers of this kind. */
export const META_NUMBERS = Object.keys(NUMBERS) as ColumnRole[]

/** What the rows say about the drop. Different texts of one curve are joined; different numbers are complained about. */
export function readMeta(source: MetaSource, columns: readonly Column[], rows: Iterable<number>): CurveMeta {
  const meta: CurveMeta = {}
  const texts = new Map<string, Set<string>>()
  const numbers = columns.filter(({ role }) => NUMBERS[role])
  const words = columns.filter(({ role }) => TEXTS[role])
  const own = columns.filter(({ role }) => role === 'own')
  if (numbers.length + words.length + own.length === 0) return meta
  for (const row of rows) {
    for (const column of own) takeOwn(source, column.index, row, meta)
    for (const column of numbers) takeNumber(source, column, row, meta)
    for (const { role, index } of words) {
      const text = unguardText(source.rows[row]![index] ?? '')
      const known = texts.get(TEXTS[role]!) ?? new Set()
      if (text) texts.set(TEXTS[role]!, known.add(text))
    }
  }
  for (const [key, known] of texts) meta[key as 'note'] = [...known].join('; ')
  return meta
}

/** Day of the run and uncertainties of the conditions, in tables of this program. */
function takeOwn(source: MetaSource, index: number, row: number, meta: CurveMeta): void {
  const title = source.header[index]
  const text = source.rows[row]![index] ?? ''
  if (text === '') return
  if (isTitle(title, DATE_TITLE)) {
    if (!isDay(text)) source.complain(row, index, `"${text.slice(0, 20)}" is no day; write it as 2026-11-29.`)
    else if (meta.date !== undefined && meta.date !== text) source.complain(row, index, SAME)
    else meta.date = text
    return
  }
  const key = SIGMA_KEYS.find((one) => isTitle(title, SIGMA_TITLES[one]))
  if (key === undefined) return
  const value = source.numberAt(index, row)
  const before = meta.sigma?.[key]
  if (Number.isNaN(value) || value === before) return
  if (!(value > 0 && Number.isFinite(value))) source.complain(row, index, 'an uncertainty is above 0.')
  else if (before !== undefined) source.complain(row, index, SAME)
  else meta.sigma = { ...meta.sigma, [key]: value }
}

const SIGMA_KEYS = Object.keys(SIGMA_TITLES) as (keyof ConditionErrors)[]
const SAME = 'This value must be the same in all rows of a curve.'

/** What tables of this program say about the making of a curve; undefined if nothing. */
export function readProvenance(
  source: MetaSource,
  columns: readonly Column[],
  rows: Iterable<number>,
): Provenance | undefined {
  const told = (Object.keys(PROVENANCE_TITLES) as (keyof Provenance)[]).flatMap((key) => {
    const column = columns.find(
      ({ role, index }) => role === 'own' && isTitle(source.header[index], PROVENANCE_TITLES[key]),
    )
    return column ? [{ key, index: column.index }] : []
  })
  if (told.length === 0) return undefined
  const found: Record<string, unknown> = {}
  for (const row of rows) {
    for (const { key, index } of told) {
      const text = unguardText(source.rows[row]![index] ?? '')
      if (text === '' || found[key] !== undefined) continue
      if (PROVENANCE_NUMBERS.includes(key)) found[key] = source.numberAt(index, row)
      else found[key] = key === 'level' && text !== 'found' ? typedInBox(text) : text
    }
  }
  return provenanceOf(found)
}

function takeNumber(source: MetaSource, column: Column, row: number, meta: CurveMeta): void {
  const { key, fits, range } = NUMBERS[column.role]!
  const value = source.numberAt(column.index, row) / divisorOf(source, column)
  if (Number.isNaN(value)) return
  const basis = column.unit?.startsWith('volume') ? 'volume' : 'mass'
  const before = meta[key]
  // A second column of fractions by the other basis says nothing new.
  if (key === 'alcoholFraction' && before !== undefined && meta.fractionBasis !== basis) return
  if (value === before) return
  if (!(Number.isFinite(value) && fits(value))) source.complain(row, column.index, `${range}.`)
  else if (before !== undefined) {
    source.complain(row, column.index, SAME)
  } else {
    meta[key] = value
    if (key === 'alcoholFraction') meta.fractionBasis = basis
  }
}

function divisorOf({ header }: MetaSource, { role, unit, index }: Column): number {
  if (role === 'humidity') return unit === '%' ? 100 : 1
  if (role !== 'alcohol') return 1
  return unit?.endsWith('%') || /%|percent/.test(header[index] ?? '') ? 100 : 1
}
