/**
 * A preset in the fragment of a link: `#rimtide=1&title=…&drop.volume_uL=12`. Only what differs from the
 * default is written. Names that start with `view.` belong to the page and are passed over here.
 */
import type { OwnLiquids } from '../liquids/own/types.ts'
import { keyOf } from './keys.ts'
import {
  fromLeaves,
  type Leaves,
  leavesOf,
  type PresetResult,
  problem,
  unknownKey,
  VERSION,
} from './presetCheck.ts'
import { checkText, leafFromText } from './presetLeaf.ts'
import { collectLiquids, OWN_KINDS } from './presetLiquids.ts'
import { isTextPath } from './presetNearest.ts'
import type { Preset, Problem } from './types.ts'

const MARK = 'rimtide'
/** Title and note at full length, every character percent-encoded as up to nine signs, and all keys. */
const MAX_LENGTH = 25_000
/** With own liquids: longer than the largest tables, and within what browsers hold in an address. */
const MAX_WITH_LIQUIDS = 600_000

const failed = (where: string, message: string): PresetResult => ({
  ok: false,
  problems: [problem(where, message)],
})

/** The fragment (without #) that restores this preset. */
export function presetToLink(preset: Preset): string {
  const fields = new URLSearchParams([[MARK, String(VERSION)]])
  const plain = fromLeaves(new Map())
  const defaults = plain.ok ? leavesOf(plain.preset) : new Map()
  for (const [path, value] of leavesOf(preset)) {
    const modeOfReference = path === 'air.mode' && preset.drop.alcohol === 'reference'
    if (value !== defaults.get(path) && !modeOfReference) fields.append(path, String(value))
  }
  for (const kind of OWN_KINDS) {
    const liquid = preset.liquids?.[kind]
    if (liquid) fields.append(`${LIQUID}${kind}`, JSON.stringify(liquid))
  }
  return fields.toString()
}

function readField(path: string, text: string, leaves: Leaves): Problem | undefined {
  const key = keyOf(path)
  if (!key && !isTextPath(path)) return unknownKey(path)
  if (leaves.has(path)) return problem(path, `${path} is given twice in the link.`)
  const result = key ? leafFromText(key, text) : checkText(path as 'title' | 'note', text)
  if (!result.ok) return problem(path, result.message)
  leaves.set(path, result.value)
  return undefined
}

/** Fields of the user's liquids: each a liquid as JSON. */
const LIQUID = 'liquids.'

function liquidsOfLink(fields: URLSearchParams, problems: Problem[]): OwnLiquids {
  const given: Record<string, unknown> = {}
  for (const [path, text] of fields) {
    if (!path.startsWith(LIQUID)) continue
    const name = path.slice(LIQUID.length)
    if (Object.hasOwn(given, name)) problems.push(problem(path, `${path} is given twice in the link.`))
    try {
      given[name] = JSON.parse(text)
    } catch {
      problems.push(problem(path, `${path} in the link is cut off or damaged.`))
    }
  }
  return problems.length > 0 ? {} : collectLiquids(given, problems)
}

/** True if the fragment claims to carry a preset, right or wrong. */
export const isPresetLink = (hash: string): boolean => hash.replace(/^#/, '').startsWith(`${MARK}=`)

/** Reads a link's fragment, with or without #. Rubbish gives problems, never an exception. */
export function presetFromLink(hash: string): PresetResult {
  const text = hash.replace(/^#/, '')
  const most = text.includes(`&${LIQUID}`) ? MAX_WITH_LIQUIDS : MAX_LENGTH
  if (text.length > most) return failed('link', `The link has ${text.length} characters; at most ${most}.`)
  if (!isPresetLink(text)) return failed('link', 'The link carries no preset.')
  const fields = new URLSearchParams(text)
  if (fields.get(MARK) !== String(VERSION)) {
    return failed(
      'link',
      `The link is of version ${JSON.stringify(fields.get(MARK))}; this program reads ${VERSION}.`,
    )
  }
  const leaves: Leaves = new Map()
  const problems: Problem[] = []
  const liquids = liquidsOfLink(fields, problems)
  for (const [path, value] of fields) {
    if (path === MARK || path.startsWith('view.') || path.startsWith(LIQUID)) continue
    const wrong = readField(path, value, leaves)
    if (wrong) problems.push(wrong)
  }
  return problems.length > 0 ? { ok: false, problems } : fromLeaves(leaves, liquids)
}
