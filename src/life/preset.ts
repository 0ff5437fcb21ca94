/** Presets: default, reading, checking, changing, writing. Everything is driven by the table in keys.ts. */
import { keyOf } from './keys.ts'
import { fromLeaves, type Leaves, leavesOf, type PresetResult, problem, unknownKey } from './presetCheck.ts'
import { checkLeaf, checkText, type Leaf, leafFromText } from './presetLeaf.ts'
import { isTextPath } from './presetNearest.ts'
import type { Preset, Problem } from './types.ts'

export { parseLiquid, serialiseLiquid, withLiquid } from './liquidFile.ts'
export { checkPreset, type PresetResult } from './presetCheck.ts'
export { type Leaf, permitted } from './presetLeaf.ts'
export { isPresetLink, presetFromLink, presetToLink } from './presetLink.ts'
export { parsePreset, serialisePreset } from './presetText.ts'

/** A new preset in which every key has its default. */
export function defaultPreset(): Preset {
  const result = fromLeaves(new Map([['title', 'New drop']]))
  if (!result.ok) throw new Error('the defaults of keys.ts break a rule')
  return result.preset
}

/** The value at a dotted path; undefined if it is not set or unknown. */
export const getKey = (preset: Preset, path: string): Leaf | undefined => leavesOf(preset).get(path)

function change(leaves: Leaves, path: string, value: Leaf | null): Problem | undefined {
  const key = keyOf(path)
  if (!key && !isTextPath(path)) return unknownKey(path)
  if (value === null || (key && typeof value === 'string' && ['', 'null'].includes(value.trim()))) {
    leaves.delete(path)
    return undefined
  }
  if (!key) {
    const text = checkText(path as 'title' | 'note', value)
    if (!text.ok) return problem(path, text.message)
    leaves.set(path, text.value)
    return undefined
  }
  const result = typeof value === 'string' ? leafFromText(key, value) : checkLeaf(key, value)
  if (!result.ok) return problem(path, result.message)
  leaves.set(path, result.value)
  return undefined
}

/**
 * A new preset with several values changed at once; the rules between keys are applied to the result only.
 * Text is read as a value of the key's kind; null, "" and "null" mean the default.
 */
export function setKeys(preset: Preset, changes: Iterable<readonly [string, Leaf | null]>): PresetResult {
  const leaves = leavesOf(preset)
  const problems: Problem[] = []
  for (const [path, value] of changes) {
    const wrong = change(leaves, path, value)
    if (wrong) problems.push(wrong)
  }
  return problems.length > 0 ? { ok: false, problems } : fromLeaves(leaves, preset.liquids)
}

/** A new preset with one value changed; see setKeys. */
export const setKey = (preset: Preset, path: string, value: Leaf | null): PresetResult =>
  setKeys(preset, [[path, value]])
