/** Presets and measured tables that the user names: read, checked, with messages that name the file. */
import { basename } from 'node:path'
import { parseLiquid, parsePreset, setKeys, withLiquid } from '../life/preset.ts'
import type { Preset } from '../life/types.ts'
import type { OwnKind, OwnLiquid } from '../liquids/own/types.ts'
import { LARGEST_FILE } from '../measured/decode.ts'
import { skippedWords } from '../measured/importWords.ts'
import { readTable } from '../measured/read.ts'
import type { Choices, MeasuredCurve, Needs } from '../measured/types.ts'
import type { Change } from './command.ts'
import { readBytes, readText, userPath } from './files.ts'

const NO_NAME = { ok: false as const, messages: ['A file name is empty: give the path of a file.'] }

const PRESET_BYTES = 400_000

export type Loaded<T> = ({ ok: true } & T) | { ok: false; messages: string[] }

/** The option of all commands that take a user's liquid. */
export const LIQUID_OPTION = { type: 'string', multiple: true, default: [] as string[] } as const

/** Reads a liquid file. */
export function loadLiquid(file: string): Loaded<{ kind: OwnKind; liquid: OwnLiquid }> {
  if (file === '') return NO_NAME
  const read = readText(userPath(file), PRESET_BYTES)
  if (!read.ok) return { ok: false, messages: [`${file}: ${read.message}.`] }
  const parsed = parseLiquid(read.text)
  if (parsed.ok) return parsed
  return { ok: false, messages: parsed.problems.map((p) => `${file}: ${p.message}`) }
}

/** The preset with the liquids of files, each chosen as its alcohol or bath. The rules between keys come later. */
function withLiquids(preset: Preset, files: readonly string[]): Loaded<{ preset: Preset }> {
  let now = preset
  const seen = new Map<OwnKind, string>()
  const closed = preset.drop.alcohol === 'reference'
  for (const file of files) {
    const loaded = loadLiquid(file)
    if (!loaded.ok) return loaded
    const { kind, liquid } = loaded
    const before = seen.get(kind)
    if (before !== undefined) {
      const what = kind === 'mixture' ? 'volatile liquid (mixture)' : 'oil'
      return {
        ok: false,
        messages: [`${file}: this is a second ${what} beside ${before}. Permitted: one of each kind.`],
      }
    }
    seen.set(kind, file)
    if (closed)
      return {
        ok: false,
        messages: [
          `--liquid ${file}: the preset has the closed-form liquids "reference", which only come as a pair. Take a preset with real liquids.`,
        ],
      }
    const made = withLiquid(now, kind, liquid)
    if (!made.ok) return { ok: false, messages: made.problems.map((p) => `${file}: ${p.message}`) }
    now = made.preset
  }
  return { ok: true, preset: now }
}

/**
 * Reads a preset, takes in the user's liquids and makes the changes, in their order; a wrong change is named by its
 * argument.
 */
export function loadPreset(
  file: string,
  changes: readonly Change[],
  liquids: readonly string[] = [],
): Loaded<{ preset: Preset }> {
  if (file === '') return NO_NAME
  const read = readText(userPath(file), PRESET_BYTES)
  if (!read.ok) return { ok: false, messages: [`${file}: ${read.message}.`] }
  const parsed = parsePreset(read.text)
  if (!parsed.ok) return { ok: false, messages: parsed.problems.map((p) => `${file}: ${p.message}`) }
  const filled = withLiquids(parsed.preset, liquids)
  if (!filled.ok) return filled
  const changed = setKeys(
    filled.preset,
    changes.map(({ path, text }) => [path, text] as const),
  )
  if (changed.ok) return changed
  const from = new Map(changes.map((change) => [change.path, change.from]))
  const label = (where: string) => (from.has(where) ? `${file} with ${from.get(where)}` : file)
  return { ok: false, messages: changed.problems.map((p) => `${label(p.where)}: ${p.message}`) }
}

/** How an open question about a table is answered on the command line. */
const ANSWERS: Record<keyof Needs, string> = {
  timeUnit: '--time-unit',
  radiusUnit: '--radius-unit',
  framesPerSecond: '--fps',
  decimalMark: '--decimal',
  columns: '--columns',
  sort: '--sort',
  skipBad: '--skip-bad',
}

/** Reads the curves of a table; what was left out is among the warnings. A question that the table leaves open is told with the option that answers it. */
export function loadTable(
  file: string,
  choices: Choices,
): Loaded<{ curves: MeasuredCurve[]; warnings: string[] }> {
  if (file === '') return NO_NAME
  const read = readBytes(userPath(file), LARGEST_FILE)
  if (!read.ok) return { ok: false, messages: [`${file}: ${read.message}.`] }
  const result = readTable(read.bytes, basename(file), choices)
  if (result.ok) {
    const { curves, warnings, skipped } = result
    const told = skipped.length > 0 ? [...warnings, skippedWords(skipped, 20)] : warnings
    return { ok: true, curves, warnings: told.map((warning) => `${file}: ${warning}`) }
  }
  const messages = result.problems.map(({ where, message }) => `${placed(file, where)}: ${message}`)
  const asked = Object.keys(result.needs ?? {}) as (keyof Needs)[]
  const options = asked.map((need) => ANSWERS[need])
  return {
    ok: false,
    messages: options.length > 0 ? [...messages, `Answer with ${options.join(', ')}.`] : messages,
  }
}

/** Where in the table, with the file as the user named it. */
const placed = (file: string, where: string): string =>
  where.startsWith(basename(file))
    ? `${file}${where.slice(basename(file).length)}`
    : where
      ? `${file}, ${where}`
      : file
