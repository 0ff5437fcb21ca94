/** Structure of a preset: format, version, groups, keys and the rules between keys. */

import { isGroup, shown } from '../liquids/own/messageWords.ts'
import type { OwnLiquids } from '../liquids/own/types.ts'
import { KEYS, type Key, keyOf } from './keys.ts'
import { checkLeaf, checkText, type Leaf } from './presetLeaf.ts'
import { collectLiquids, ownRules } from './presetLiquids.ts'
import { isTextPath, nearestKey } from './presetNearest.ts'
import type { Preset, Problem } from './types.ts'

export type PresetResult = { ok: true; preset: Preset } | { ok: false; problems: Problem[] }

/** Values by dotted path; only keys of the table, title and note. */
export type Leaves = Map<string, Leaf>

export const FORMAT = 'rimtide-preset'
export const VERSION = 1

const GROUPS = new Set(KEYS.map((key) => key.path.slice(0, key.path.indexOf('.'))))

/** Problem at a dotted path. */
export const problem = (where: string, message: string): Problem => ({ where, message })

export function unknownKey(path: string): Problem {
  if (GROUPS.has(path)) {
    const keys = KEYS.filter((key) => key.path.startsWith(`${path}.`)).map((key) => key.path)
    return problem(path, `${path} is a group of keys: ${keys.join(', ')}.`)
  }
  if (/^liquids(\.|$)/.test(path))
    return problem(
      path.slice(0, 60),
      `${path.slice(0, 60)} cannot be set so: a liquid comes from a liquid file (--liquid FILE, or Open file on the page).`,
    )
  const near = nearestKey(path)
  const short = path.length > 60 ? `${path.slice(0, 60)}…` : path
  const hint = near && near !== path ? ` Did you mean ${near}?` : ''
  return problem(short, `${short} is not a key of a preset.${hint}`)
}

function checkHead(value: Record<string, unknown>): Problem[] {
  const format = Object.hasOwn(value, 'format') ? value.format : undefined
  if (format !== FORMAT)
    return [problem('format', `format is ${shown(format)}; a preset has "format": "${FORMAT}".`)]
  const version = Object.hasOwn(value, 'version') ? value.version : undefined
  if (version === VERSION) return []
  return [problem('version', `version is ${shown(version)}; this program reads version ${VERSION}.`)]
}

function collectLeaf(path: string, value: unknown, leaves: Leaves, problems: Problem[]): void {
  const key = keyOf(path)
  if (!key && !isTextPath(path)) {
    problems.push(unknownKey(path))
    return
  }
  if (value === null) return
  const result = key ? checkLeaf(key, value) : checkText(path as 'title' | 'note', value)
  if (result.ok) leaves.set(path, result.value)
  else problems.push(problem(path, result.message))
}

function collectGroup(group: string, value: unknown, leaves: Leaves, problems: Problem[]): void {
  if (value === null) return
  if (!isGroup(value)) {
    problems.push(problem(group, `${group} is ${shown(value)}; it must be a group of keys in { }.`))
    return
  }
  for (const name of Object.keys(value)) collectLeaf(`${group}.${name}`, value[name], leaves, problems)
}

/**
 * Checks any value (parsed JSON, a message, a stored record) as a preset. Missing keys and null take the
 * default. All problems are reported at once; the value itself is never changed and never kept.
 */
export function checkPreset(value: unknown): PresetResult {
  if (!isGroup(value)) {
    return { ok: false, problems: [problem('', `A preset is a group in { }; this is ${shown(value)}.`)] }
  }
  const head = checkHead(value)
  if (head.length > 0) return { ok: false, problems: head }
  const leaves: Leaves = new Map()
  const problems: Problem[] = []
  const liquids = collectLiquids(Object.hasOwn(value, 'liquids') ? value.liquids : undefined, problems)
  for (const name of Object.keys(value)) {
    if (name === 'format' || name === 'version' || name === 'liquids') continue
    if (GROUPS.has(name)) collectGroup(name, value[name], leaves, problems)
    else collectLeaf(name, value[name], leaves, problems)
  }
  return problems.length > 0 ? { ok: false, problems } : fromLeaves(leaves, liquids)
}

/** Default of a key in the company of the other values; null: the key stays absent. */
function fallbackOf(key: Key, leaves: Leaves): Leaf | null {
  if (key.path === 'air.mode' && leaves.get('drop.alcohol') === 'reference') return 'constant'
  return key.fallback
}

/** Builds the preset from checked values and the user's liquids, and applies the rules between keys. */
export function fromLeaves(leaves: Leaves, liquids?: OwnLiquids): PresetResult {
  const groups: Record<string, Record<string, Leaf>> = {}
  for (const group of GROUPS) groups[group] = {}
  for (const key of KEYS) {
    const [group, name] = key.path.split('.') as [string, string]
    const value = leaves.get(key.path) ?? fallbackOf(key, leaves)
    if (value !== null) groups[group]![name] = value
  }
  const head = {
    format: FORMAT,
    version: VERSION,
    title: leaves.get('title') ?? '',
    note: leaves.get('note') ?? '',
  }
  const own = liquids?.mixture || liquids?.oil ? { liquids } : {}
  const preset = { ...head, ...groups, ...own } as unknown as Preset
  const problems = rules(preset)
  return problems.length > 0 ? { ok: false, problems } : { ok: true, preset }
}

function rules(preset: Preset): Problem[] {
  const { drop, bath, air } = preset
  const problems: Problem[] = ownRules(preset)
  const closed = drop.alcohol === 'reference'
  if (closed !== (bath.liquid === 'reference')) {
    const where = closed ? 'bath.liquid' : 'drop.alcohol'
    const both = `drop.alcohol is "${drop.alcohol}" and bath.liquid is "${bath.liquid}"`
    problems.push(problem(where, `${both}. Permitted: both "reference" (closed forms), or neither.`))
  } else if (closed && air.mode !== 'constant') {
    const message = `air.mode is "${air.mode}". Permitted with the "reference" liquids: constant (they have no vapour pressure).`
    problems.push(problem('air.mode', message))
  }
  if (drop.startRadius_mm >= bath.dishRadius_mm) {
    const message = `drop.startRadius_mm is ${drop.startRadius_mm}. Permitted: less than bath.dishRadius_mm, ${bath.dishRadius_mm} mm.`
    problems.push(problem('drop.startRadius_mm', message))
  }
  return problems
}

/** The values that a preset carries, by dotted path, in the order of the table; title and note first. */
export function leavesOf(preset: Preset): Leaves {
  const leaves: Leaves = new Map([
    ['title', preset.title],
    ['note', preset.note],
  ])
  for (const key of KEYS) {
    const [group, name] = key.path.split('.') as [string, string]
    const value = (preset as unknown as Record<string, Record<string, Leaf | undefined> | undefined>)[
      group
    ]?.[name]
    if (value !== undefined) leaves.set(key.path, value)
  }
  return leaves
}
