/** Liquid files: one liquid of the user's in a JSON file of its own. */
import { checkOwn } from '../liquids/own/check.ts'
import { isGroup, shown } from '../liquids/own/messageWords.ts'
import { OWN, type OwnKind, type OwnLiquid } from '../liquids/own/types.ts'
import { fromLeaves, leavesOf, type PresetResult } from './presetCheck.ts'
import type { Leaf } from './presetLeaf.ts'
import { OWN_KINDS } from './presetLiquids.ts'
import { jsonText, MAX_LENGTH, readJson } from './presetText.ts'
import type { Preset, Problem } from './types.ts'

const LIQUID_FORMAT = 'rimtide-liquid'
const LIQUID_VERSION = 1

export type LiquidResult = { ok: true; kind: OwnKind; liquid: OwnLiquid } | { ok: false; problems: Problem[] }

const refuse = (where: string, message: string): LiquidResult => ({
  ok: false,
  problems: [{ where, message }],
})

/** True if a text claims to be a liquid file: then what is wrong is told as of a liquid. */
export const isLiquidText = (text: string): boolean =>
  /"format"\s*:\s*"rimtide-liquid"/.test(text.slice(0, 2000))

/** Reads a liquid file. Malformed JSON is told with line and column, everything else by its key. Never throws. */
export function parseLiquid(text: string): LiquidResult {
  const body = text.startsWith('\uFEFF') ? text.slice(1) : text
  if (body.length > MAX_LENGTH)
    return refuse('', `This text has ${body.length} characters; a liquid has at most ${MAX_LENGTH}.`)
  if (body.trim() === '') return refuse('', 'The liquid file is empty.')
  const json = readJson(body)
  if (!json.ok) return json
  const { value } = json
  if (!isGroup(value)) return refuse('', `A liquid is a group in { }; this is ${shown(value)}.`)
  if (value.format !== LIQUID_FORMAT)
    return refuse(
      'format',
      `format is ${shown(value.format)}; a liquid file has "format": "${LIQUID_FORMAT}".`,
    )
  if (value.version !== LIQUID_VERSION)
    return refuse(
      'version',
      `version is ${shown(value.version)}; this program reads version ${LIQUID_VERSION}.`,
    )
  const kind = value.kind as OwnKind
  if (!OWN_KINDS.includes(kind))
    return refuse('kind', `kind is ${shown(kind)}. Permitted: mixture (a volatile liquid and water), oil.`)
  const result = checkOwn(kind, value)
  return result.ok ? { ...result, kind } : result
}

/** A liquid as the text of a file. */
export const serialiseLiquid = (kind: OwnKind, liquid: OwnLiquid): string =>
  jsonText({ format: LIQUID_FORMAT, version: LIQUID_VERSION, kind, ...liquid })

/** The preset with a liquid of the user's, chosen as its alcohol or bath; `changes` are made along with it. */
export function withLiquid(
  preset: Preset,
  kind: OwnKind,
  liquid: OwnLiquid,
  changes: readonly (readonly [string, Leaf])[] = [],
): PresetResult {
  const leaves = leavesOf(preset)
  for (const [path, value] of changes) leaves.set(path, value)
  leaves.set(kind === 'mixture' ? 'drop.alcohol' : 'bath.liquid', OWN)
  return fromLeaves(leaves, { ...preset.liquids, [kind]: liquid })
}
