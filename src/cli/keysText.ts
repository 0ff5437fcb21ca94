/** The table of preset keys as text. */
import { KEYS, type Key } from '../life/keys.ts'
import { permitted } from '../life/preset.ts'
import { type QuantityRule, RULES, valueKey, valuesKey } from '../liquids/own/rules.ts'
import type { OwnKind } from '../liquids/own/types.ts'

const line = (key: Key): string => {
  const fallback = key.fallback === null ? 'not set' : String(key.fallback)
  return `${key.path}\n    ${key.help}\n    ${permitted(key)}; default ${fallback}`
}

const KIND_WORDS: Record<OwnKind, string> = {
  mixture: 'kind "mixture": a volatile liquid and water',
  oil: 'kind "oil": a bath',
}

function quantityLine(rule: QuantityRule): string {
  const range = `${rule.min} to ${rule.max}${rule.unit && ` ${rule.unit}`}`
  const table = rule.axes.length > 0 ? `, or ${valuesKey(rule)} with ${rule.axes.join(' and/or ')}` : ''
  const constants = Object.entries(rule.constants ?? {}).map(
    ([name, c]) => `${name} (${c.min} to ${c.max}${c.unit && ` ${c.unit}`})`,
  )
  const model = rule.name === 'activity' ? 'model: van-laar or ideal; ' : ''
  const values = rule.name === 'activity' ? '' : `${valueKey(rule)}${table}: ${range}`
  return `  ${rule.name}: ${rule.words}\n    ${[values, `${model}${constants.join(', ')}`].filter(Boolean).join('; or ')}`
}

/** What a liquid file may hold. */
const liquidText = (): string =>
  (Object.keys(RULES) as OwnKind[])
    .map((kind) => `Liquid file, ${KIND_WORDS[kind]}\n${RULES[kind].map(quantityLine).join('\n')}`)
    .join('\n')

/** Every key with what it means, what is permitted and its default; then the quantities of a liquid file. */
export const keysText = (): string => `${KEYS.map(line).join('\n')}\n\n${liquidText()}\n`
