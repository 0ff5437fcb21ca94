/** Columns that say something about the whole curve: the same value in all rows, or in the first only. */
import type { Column, ColumnRole, CurveMeta } from './types.ts'
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
  key: 'alcoholFraction' | 'volume_uL' | 'startTime_s' | 'depth_mm' | 'temperature_C'
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
}

const TEXTS: Partial<Record<ColumnRole, 'alcohol' | 'conditions' | 'note'>> = {
  liquid: 'alcohol',
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
  if (numbers.length + words.length === 0) return meta
  for (const row of rows) {
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
    source.complain(row, column.index, 'This value must be the same in all rows of a curve.')
  } else {
    meta[key] = value
    if (key === 'alcoholFraction') meta.fractionBasis = basis
  }
}

function divisorOf({ header }: MetaSource, { role, unit, index }: Column): number {
  if (role !== 'alcohol') return 1
  return unit?.endsWith('%') || /%|percent/.test(header[index] ?? '') ? 100 : 1
}
