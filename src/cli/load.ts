/** Presets and measured tables that the user names: read, checked, with messages that name the file. */
import { basename } from 'node:path'
import { parseLiquid, parsePreset, setKeys, withLiquid } from '../life/preset.ts'
import type { Preset } from '../life/types.ts'
import type { OwnKind, OwnLiquid } from '../liquids/own/types.ts'
import { LONGEST_CURVES_FILE, looksLikeCurvesFile, readCurvesFile } from '../measured/curvesFile.ts'
import { LARGEST_FILE, looksLikeArchive } from '../measured/decode.ts'
import { skippedWords } from '../measured/importWords.ts'
import { readTable, readText as readTableText } from '../measured/read.ts'
import { sheetName } from '../measured/sheets.ts'
import type { Choices, MeasuredCurve, Needs, ReadResult } from '../measured/types.ts'
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
export function withLiquids(preset: Preset, files: readonly string[]): Loaded<{ preset: Preset }> {
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
  millimetresPerPixel: '--mm-per-px (with --mm-per-px-error)',
  decimalMark: '--decimal',
  columns: '--columns',
  sort: '--sort',
  skipBad: '--skip-bad',
}

type Curves = Loaded<{ curves: MeasuredCurve[]; warnings: string[] }>

/**
 * Reads measured curves: a table of text, a sheet of a workbook (xlsx), or a set of curves that the page saved (JSON). What
 * was left out is among the warnings. A question that a table leaves open is told with the option that answers it.
 */
export async function loadCurves(file: string, choices: Choices): Promise<Curves> {
  if (file === '') return NO_NAME
  const json = /\.json$/i.test(file)
  const read = readBytes(userPath(file), json ? LONGEST_CURVES_FILE : LARGEST_FILE)
  if (!read.ok) return { ok: false, messages: [`${file}: ${read.message}.`] }
  const { bytes } = read
  if (looksLikeCurvesFile(new TextDecoder().decode(bytes.subarray(0, 20_000)))) return curvesOf(file, bytes)
  if (looksLikeArchive(bytes)) return sheetOf(file, bytes, choices)
  return told(file, basename(file), readTable(bytes, basename(file), choices))
}

function curvesOf(file: string, bytes: Uint8Array): Curves {
  const made = readCurvesFile(new TextDecoder().decode(bytes))
  return made.ok
    ? { ok: true, curves: made.curves, warnings: [] }
    : { ok: false, messages: made.problems.map(({ where, message }) => `${placed(file, where)}: ${message}`) }
}

async function sheetOf(file: string, bytes: Uint8Array, choices: Choices): Promise<Curves> {
  const { readWorkbook } = await import('../measured/workbook.ts')
  const book = await readWorkbook(bytes, basename(file))
  if (!book.ok) return { ok: false, messages: book.problems.map(({ message }) => `${file}: ${message}`) }
  const { sheets } = book
  const names = sheets.map(({ name }) => JSON.stringify(name)).join(', ')
  const wanted = choices.sheet
  const sheet = sheets.find(({ name }) => name === wanted) ?? (sheets.length === 1 ? sheets[0] : undefined)
  if (wanted !== undefined && sheet?.name !== wanted)
    return {
      ok: false,
      messages: [`${file}: there is no sheet ${JSON.stringify(wanted)}. There are: ${names}.`],
    }
  if (!sheet)
    return { ok: false, messages: [`${file}: there are several sheets: ${names}. Answer with --sheet.`] }
  const name = sheetName(basename(file), sheet, sheets)
  return told(file, name, readTableText(sheet.text, name, { separator: '\t', ...choices }))
}

function told(file: string, name: string, result: ReadResult): Curves {
  if (result.ok) {
    const { curves, warnings, skipped } = result
    const all = skipped.length > 0 ? [...warnings, skippedWords(skipped, 20)] : warnings
    return { ok: true, curves, warnings: all.map((warning) => `${file}: ${warning}`) }
  }
  const messages = result.problems.map(({ where, message }) => `${placed(file, where, name)}: ${message}`)
  const asked = Object.keys(result.needs ?? {}) as (keyof Needs)[]
  const options = asked.map((need) => ANSWERS[need])
  return {
    ok: false,
    messages: options.length > 0 ? [...messages, `Answer with ${options.join(', ')}.`] : messages,
  }
}

/** Where in the table, with the file as the user named it. */
const placed = (file: string, where: string, name = basename(file)): string =>
  where.startsWith(name) ? `${file}${where.slice(name.length)}` : where ? `${file}, ${where}` : file
