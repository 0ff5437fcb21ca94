/** Data of a run out of its file name by a stated pattern: {date}_{strength}pct_{volume}uL_{run}. */
import { typedInBox } from '../numerics/typedNumber.ts'
import { metaProblem } from './metaCheck.ts'
import { dayOf, permittedFor, refusal, withChange } from './runFields.ts'
import type { CurveMeta } from './types.ts'

const digits = '[-+−]?\\d+(?:[.,]\\d+)?'

interface PatternField {
  /** What it stands for, in words. */
  label: string
  /** What it matches. */
  expression: string
  /** Entries it gives; null for a text that means nothing. */
  take(text: string): CurveMeta | null
}

const percent =
  (basis: 'mass' | 'volume') =>
  (text: string): CurveMeta => ({ alcoholFraction: share(text), fractionBasis: basis })
const share = (text: string): number => Number((typedInBox(text) / 100).toPrecision(15))
const anything = '[^/]+?'

/** What can stand in braces. */
export const PATTERN_FIELDS: Readonly<Record<string, PatternField>> = {
  date: {
    label: 'day (2026-11-29, 20261129 or 29.11.2026)',
    expression: '\\d{4}[-._]?\\d\\d[-._]?\\d\\d|\\d{1,2}\\.\\d{1,2}\\.\\d{4}',
    take: (text) => (dayOf(text) ? { date: dayOf(text) } : null),
  },
  strength: { label: 'alcohol, % by mass', expression: digits, take: percent('mass') },
  'strength by volume': { label: 'alcohol, % by volume', expression: digits, take: percent('volume') },
  alcohol: { label: 'which alcohol', expression: anything, take: (alcohol) => ({ alcohol }) },
  volume: { label: 'drop, µL', expression: digits, take: (text) => ({ volume_uL: typedInBox(text) }) },
  oil: { label: 'which oil', expression: anything, take: (oil) => ({ oil }) },
  depth: { label: 'bath, mm', expression: digits, take: (text) => ({ depth_mm: typedInBox(text) }) },
  temperature: { label: '°C', expression: digits, take: (text) => ({ temperature_C: typedInBox(text) }) },
  humidity: {
    label: 'of the air, %',
    expression: digits,
    take: (text) => ({ relativeHumidity: share(text) }),
  },
  'touch-down': {
    label: 's on the own clock',
    expression: digits,
    take: (text) => ({ startTime_s: typedInBox(text) }),
  },
  group: { label: 'name of the repetitions', expression: anything, take: (group) => ({ group }) },
  run: { label: 'number or sign of the run', expression: anything, take: () => ({}) },
  any: { label: 'anything, passed over', expression: anything, take: () => ({}) },
}

export interface NamePattern {
  text: string
  /** Names of its fields in order. */
  fields: readonly string[]
  expression: RegExp
}

const plainName = (name: string): string => name.normalize('NFKC').replace(/[µμ]/g, 'u')
const literal = (text: string): string =>
  plainName(text)
    .replace(/[.*+?^${}()|[\]\\]/g, '\\$&')
    .replace(/\s+/g, '\\s*')

/** A pattern out of its text; a message if it cannot be used. Case, blanks and µ for u make no difference. */
export function namePattern(
  text: string,
): { ok: true; pattern: NamePattern } | { ok: false; message: string } {
  const refuse = (message: string) => ({ ok: false as const, message })
  const pieces = text.trim().split(/(\{[^{}]*\})/)
  const fields: string[] = []
  let expression = ''
  let touching = ''
  for (const piece of pieces) {
    if (piece === '') continue
    const name = /^\{(.*)\}$/.exec(piece)?.[1]?.trim().toLowerCase()
    if (name === undefined) {
      if (/[{}]/.test(piece)) return refuse('A brace is left open. A field stands in braces: {strength}.')
      expression += literal(piece)
      touching = ''
      continue
    }
    const field = Object.hasOwn(PATTERN_FIELDS, name) ? PATTERN_FIELDS[name]! : null
    if (!field)
      return refuse(
        `{${name}} is not known. Known are ${Object.keys(PATTERN_FIELDS)
          .map((one) => `{${one}}`)
          .join(', ')}.`,
      )
    if (fields.includes(name) && name !== 'any') return refuse(`{${name}} stands twice.`)
    if (touching) return refuse(`{${touching}} and {${name}} touch; something must stand between them.`)
    fields.push(name)
    touching = name
    expression += `(${field.expression})`
  }
  if (fields.includes('strength') && fields.includes('strength by volume'))
    return refuse('A strength is by mass or by volume; take one of the two.')
  if (fields.length === 0) return refuse('The pattern holds no field. A field stands in braces: {strength}.')
  return { ok: true, pattern: { text, fields, expression: new RegExp(`^${expression}$`, 'di') } }
}

export interface PatternRead {
  /** What the name gives. */
  meta: CurveMeta
  /** Fields of the pattern that it does not give, with why; empty where the whole name does not fit. */
  missing: { field: string; why: string }[]
  /** False if the name does not have the pattern. */
  fits: boolean
}

/** A file name without its folder and its ending (of letters, such as .webm; .5 is none). */
export const stemOf = (name: string): string =>
  name.replace(/^.*[/\\]/, '').replace(/\.[a-z][a-z\d]{0,4}$/i, '')

/**
 * What a name gives by a pattern; its ending may be left out of the pattern. Without {group}, names that differ in {run}
 * and {date} alone are of one group, called as the name without them.
 */
export function readByPattern({ expression, fields }: NamePattern, name: string): PatternRead {
  const found = [stemOf(name), name].map((one) => expression.exec(plainName(one).trim())).find(Boolean)
  if (!found) return { meta: {}, missing: [], fits: false }
  let meta: CurveMeta = {}
  const missing: PatternRead['missing'] = []
  fields.forEach((field, i) => {
    const text = found[i + 1]!.trim()
    const change = PATTERN_FIELDS[field]!.take(text)
    const problem = change === null ? refusal(text, permittedFor(field)) : problemOf(change, text)
    if (problem) missing.push({ field, why: problem.replace(/\.$/, '') })
    else meta = withChange(meta, change!)
  })
  const group = fields.includes('run') && !fields.includes('group') ? withoutRun(found, fields) : ''
  return { meta: group ? { ...meta, group } : meta, missing, fits: true }
}

const problemOf = (change: CurveMeta, text: string): string => {
  const [key, value] = Object.entries(change).find((entry) => metaProblem(...entry)) ?? []
  if (key === undefined) return ''
  const permitted = permittedFor(key)
  return permitted ? refusal(text, permitted) : metaProblem(key, value)
}

/** The name without run and day and the signs next to them: what repetitions have in common. */
function withoutRun(found: RegExpExecArray, fields: readonly string[]): string {
  const { indices = [] } = found
  const spans = fields
    .flatMap((field, i) => (field === 'run' || field === 'date' ? [indices[i + 1]!] : []))
    .sort(([a], [b]) => b - a)
  const rest = spans.reduce((text, [from, to]) => `${text.slice(0, from)}\n${text.slice(to)}`, found[0])
  return rest.replace(/[\s_\-.,]*\n[\s_\-.,\n]*/g, '_').replace(/^_|_$/g, '')
}
