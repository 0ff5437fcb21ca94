/** Every input of a life with its unit, how it was set, and where its number comes from. */
import { KEYS, type Key } from '../../life/keys.ts'
import type { Life } from '../../life/types.ts'
import type { SourceNote } from '../../liquids/types.ts'
import { type Column, column, type Table } from '../../plan/table.ts'
import { keyValue } from '../actions.ts'
import { sourcesOf } from '../controls/help.ts'
import { whyNoEffect } from '../controls/noEffect.ts'
import { ownNameOf } from '../controls/ownLiquid.ts'
import { libraryValue, replacedBy } from '../controls/row.ts'
import { scaleOf, shownNumber } from '../controls/scale.ts'

const COLUMNS: readonly Column[] = [
  column('setting', 'Setting'),
  column('key', 'Key'),
  column('value', 'Value'),
  column('unit', 'Unit'),
  column('set', 'Set'),
  column('source', 'Source'),
]

interface Shown {
  value: string
  unit: string
  /** How it came: by the user, as the default, out of the library. */
  set: string
}

function shownOf(key: Key, life: Life): Shown {
  const own = keyValue(life.preset, key.path)
  const set = own === undefined ? 'empty' : own === key.fallback ? 'default' : 'own'
  if (key.kind === 'switch') return { value: own ? 'on' : 'off', unit: '', set }
  if (key.kind === 'choice') {
    const label = ownNameOf(key.path, life.preset) || key.options.find(({ value }) => value === own)?.label
    return { value: label ?? String(own), unit: '', set }
  }
  const scale = scaleOf(key)
  const replaced = replacedBy[key.path]?.(life)
  const value = replaced ?? own ?? libraryValue[key.path]?.(life)
  const number = typeof value === 'number' ? value : Number.NaN
  const digits = own === undefined || replaced !== undefined ? 4 : 12
  return {
    value: Number.isNaN(number)
      ? 'by the model'
      : shownNumber(Number(number.toPrecision(digits)), scale.factor),
    unit: Number.isNaN(number) ? '' : scale.unit,
    set: replaced === undefined ? set : 'by another',
  }
}

const sourceText = ({ quantity, source, quality, range }: SourceNote): string =>
  `${quantity}: ${source} (${quality}; ${range})`

/** The table of all keys, and the list that the numbers in its last column point to. */
export function settingsOf(life: Life): { table: Table; sources: string[] } {
  const sources: string[] = []
  const pointer = (note: SourceNote): number => {
    const text = sourceText(note)
    if (!sources.includes(text)) sources.push(text)
    return sources.indexOf(text) + 1
  }
  const rows = KEYS.map((key) => {
    const { value, unit, set } = shownOf(key, life)
    const idle = whyNoEffect(key.path, life.preset)
    const notes = idle ? [] : sourcesOf(key.path, life.facts.sources).map(pointer)
    const source = notes.length > 0 ? `[${notes.sort((a, b) => a - b).join(', ')}]` : ''
    return [key.label, key.path, value, unit, idle ? 'not used' : set, source]
  })
  return { table: { title: 'Settings', columns: COLUMNS, rows }, sources }
}
