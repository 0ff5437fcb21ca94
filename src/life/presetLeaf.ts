/** One value of a preset against its line in the table of keys. */
import * as v from 'valibot'
import { shown } from '../liquids/own/messageWords.ts'
import { hasDecimalComma, typedNumber } from '../numerics/typedNumber.ts'
import { KEYS, type Key, type NumberKey } from './keys.ts'
import { TEXT_LIMITS, type TextPath } from './presetNearest.ts'

export type Leaf = number | string | boolean
export type LeafResult = { ok: true; value: Leaf } | { ok: false; message: string }

const numberSchema = (key: NumberKey) => {
  const inRange = v.pipe(v.number(), v.finite(), v.minValue(key.min), v.maxValue(key.max))
  return key.integer ? v.pipe(inRange, v.integer()) : inRange
}

const schemaOf = (key: Key): v.GenericSchema<unknown, Leaf> => {
  if (key.kind === 'number') return numberSchema(key) as v.GenericSchema<unknown, Leaf>
  if (key.kind === 'switch') return v.boolean() as v.GenericSchema<unknown, Leaf>
  return v.picklist(key.options.map((option) => option.value)) as v.GenericSchema<unknown, Leaf>
}

const schemas = new Map(KEYS.map((key) => [key.path, schemaOf(key)]))

/** What is permitted for a key, with unit: "0.5 to 100 µL", "ethanol, …", "true or false". */
export function permitted(key: Key): string {
  if (key.kind === 'switch') return 'true or false'
  if (key.kind === 'choice') return key.options.map((option) => option.value).join(', ')
  const unit = key.unit ? ` ${key.unit}` : ''
  return `${key.min} to ${key.max}${unit}${key.integer ? ', whole numbers' : ''}`
}

function reason(key: Key, value: unknown): string {
  if (key.kind !== 'number') return ''
  if (typeof value === 'string') return ', which is text; write a number without quotes'
  if (typeof value !== 'number') return ', which is not a number'
  if (!Number.isFinite(value)) return ', which is not a finite number'
  return ''
}

const complaint = (key: Key, value: unknown, why = reason(key, value)): string =>
  `${key.path} is ${shown(value)}${why}. Permitted: ${permitted(key)}.`

/** Checks a value as it stands in a file: kind, finiteness, range or choice. */
export function checkLeaf(key: Key, value: unknown): LeafResult {
  const result = v.safeParse(schemas.get(key.path)!, value)
  if (result.success) return { ok: true, value: result.output }
  return { ok: false, message: complaint(key, value) }
}

/**
 * Reads a value given as text (command line, link, input field) and checks it as checkLeaf does.
 * Numbers need a decimal point; a decimal comma is refused with a hint, never guessed.
 */
export function leafFromText(key: Key, text: string): LeafResult {
  const trimmed = text.trim()
  if (key.kind === 'choice') return checkLeaf(key, trimmed)
  if (key.kind === 'switch')
    return checkLeaf(key, trimmed === 'true' ? true : trimmed === 'false' ? false : text)
  const value = typedNumber(trimmed)
  if (!Number.isNaN(value)) return checkLeaf(key, value)
  const why = hasDecimalComma(trimmed) ? '; write it with a decimal point' : ', which is not a finite number'
  return { ok: false, message: complaint(key, text, why) }
}

/** Checks title or note: text of limited length. */
export function checkText(path: TextPath, value: unknown): LeafResult {
  if (typeof value !== 'string') return { ok: false, message: `${path} is ${shown(value)}; it must be text.` }
  const limit = TEXT_LIMITS[path]
  if (value.length <= limit) return { ok: true, value }
  const message = `${path} has ${value.length} characters. Permitted: at most ${limit}.`
  return { ok: false, message }
}
