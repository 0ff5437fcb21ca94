/** The way in for tables of measured radii: bytes, pasted text, or rows whose columns a user has corrected. */
import { buildCurves } from './curves.ts'
import { decodeTable } from './decode.ts'
import { addSkipped, type RowSource } from './points.ts'
import {
  askCredible,
  askFrames,
  askScale,
  filled,
  implausible,
  inUnit,
  missingUnits,
  otherUnit,
  questions,
  raggedRows,
  trialColumns,
  wrongRoles,
} from './questions.ts'
import { type Understood, understand } from './roles.ts'
import { MOST_COLUMNS, type RawTable, splitTable } from './table.ts'
import type { Choices, Column, Needs, Preview, Problem, Progress, ReadResult, Skipped } from './types.ts'

const PREVIEW_ROWS = 12

/**
 * Reads a table of radii against time. `name` is the file's name, for messages.
 * What only the user can say comes back in `needs`; call again with `choices`. Never throws, never guesses silently.
 */
export function readTable(
  bytes: Uint8Array,
  name: string,
  choices: Choices = {},
  progress?: Progress,
): ReadResult {
  progress?.(0, 'decoding')
  const decoded = decodeTable(bytes, name)
  if (!decoded.ok) return { ...decoded, askOnly: false }
  return addWarnings(readText(decoded.text, name, choices, progress), decoded.warnings)
}

/** As readTable, for text that is already decoded (pasted from a spreadsheet, say). */
export function readText(text: string, name: string, choices: Choices = {}, progress?: Progress): ReadResult {
  const splitting: Progress = (part, doing) => progress?.(0.1 + 0.5 * part, doing)
  const split = splitTable(text, name, choices.separator, splitting)
  if (!split.ok) return { ...split, askOnly: false }
  const { table } = split
  const understood = understand(table, choices.headerLine)
  const comments: Skipped[] = []
  for (const line of table.commentLines) addSkipped(comments, line, 'comment')
  const source: RowSource = {
    file: name,
    header: understood.header,
    rows: table.rows.slice(understood.firstRow),
    lines: table.lines.slice(understood.firstRow),
    ...(progress ? { progress } : {}),
  }
  const shown = (result: ReadResult) => showTable(result, table, understood)
  if (choices.columns) {
    const result = readSource(source, choices.columns, choices, {}, [])
    return shown(addSkips(result, [...understood.skipped, ...comments]))
  }
  const [columns, needs, problems] = questions(source, understood, choices)
  if (source.rows.length && !understood.header.length && looksLikeCommaDecimals(table.separator, source)) {
    const message =
      'All cells are whole numbers and there is no header: commas seem to be decimal marks and separators at once. Separate the columns by semicolons or tabs, or add a header.'
    return failure([{ where: name, message }])
  }
  const result = readSource(source, columns, withRate(choices, understood), needs, problems)
  if (!result.ok && result.needs?.framesPerSecond && understood.mentionedRate) {
    result.needs.framesPerSecond.guess = understood.mentionedRate
  }
  if (!result.ok && result.needs?.millimetresPerPixel && understood.mentionedScale) {
    result.needs.millimetresPerPixel.guess = understood.mentionedScale
  }
  const whole = addSkips(
    addWarnings(result, [...understood.unsure.map(({ text }) => text), ...understood.warnings]),
    [...understood.skipped, ...comments],
  )
  return shown(whole.ok && understood.unsure.length > 0 ? { ...whole, unsure: true } : whole)
}

/** Completes the preview with what is known of the whole table. */
function showTable<R extends ReadResult>(result: R, table: RawTable, understood: Understood): R {
  if (!result.preview) return result
  const first = table.rows
    .slice(0, PREVIEW_ROWS)
    .map((cells, i) => ({ line: table.lines[i]!, cells: [...cells] }))
  const { separator } = table
  const { headerLine, unsure: doubts } = understood
  return { ...result, preview: { ...result.preview, headerLine, first, separator, doubts } }
}

export interface RowChoices extends Choices {
  /** Name of the file or source, for messages and as a curve's name. */
  file?: string
  header?: readonly string[]
  /** Line number of each row; 1, 2, 3 … if missing. */
  lines?: ArrayLike<number>
}

/** Reads rows of cells (no header among them) whose columns are known: roles and units as a user set them. */
export function readRows(
  rows: readonly (readonly string[])[],
  columns: readonly Column[],
  choices: RowChoices = {},
): ReadResult {
  const source: RowSource = {
    file: choices.file ?? 'table',
    header: choices.header ?? [],
    rows: rows.map((row) => row.map((cell) => cell.trim())),
    lines: choices.lines ?? Array.from(rows, (_, i) => i + 1),
  }
  return readSource(source, columns, choices, {}, [])
}

function failure(problems: Problem[], needs?: Needs, preview?: Preview, askOnly = false): ReadResult {
  return { ok: false, problems, askOnly, ...(needs ? { needs } : {}), ...(preview ? { preview } : {}) }
}

function addWarnings(result: ReadResult, warnings: readonly string[]): ReadResult {
  return result.ok ? { ...result, warnings: [...warnings, ...result.warnings] } : result
}

function addSkips(result: ReadResult, skipped: readonly Skipped[]): ReadResult {
  if (!result.ok) return result
  return { ...result, skipped: [...skipped, ...result.skipped].sort((a, b) => a.line - b.line) }
}

/** The header's frame rate counts as given; one mentioned in a comment is only offered. */
function withRate(choices: Choices, { framesPerSecond }: Understood): Choices {
  return framesPerSecond === undefined ? choices : { framesPerSecond, ...choices }
}

/** "0,5,12,3" without a header: as likely two numbers as four. */
function looksLikeCommaDecimals(separator: string, { rows }: RowSource): boolean {
  const width = rows[0]!.length
  if (separator !== ',' || width < 4 || width % 2) return false
  return rows.every((row) => row.length === width && row.every((cell) => /^[+-]?\d+$/.test(cell)))
}

/** Answers with which cells are tried while the user's are missing. */
const STAND_INS = { framesPerSecond: 1, millimetresPerPixel: 1, millimetresPerPixelError: 0 }

/** Checks roles, frame rate and plausibility, then builds; questions and problems are returned together. */
function readSource(
  source: RowSource,
  given: readonly Column[],
  choices: Choices,
  needs: Needs,
  problems: Problem[],
): ReadResult {
  if (!source.rows.length) {
    return failure([{ where: source.file, message: 'There are no rows of data below the header.' }])
  }
  const columns = given.map((column) => filled(column, choices))
  const width = columns.reduce((most, column) => Math.max(most, column.index + 1), source.header.length)
  const preview: Preview = {
    header: Array.from({ length: Math.min(width, MOST_COLUMNS) }, (_, i) => source.header[i] ?? ''),
    rows: source.rows.slice(0, PREVIEW_ROWS).map((row) => [...row]),
    lines: Array.from(source.rows.slice(0, PREVIEW_ROWS), (_, i) => source.lines[i]!),
    headerLine: 0,
    first: [],
    separator: ',',
    doubts: [],
    columns: columns.map((column) => ({ ...column })),
  }
  const hard = [...wrongRoles(source, columns), ...raggedRows(source, columns)]
  if (hard.length) {
    const ask = columns.length > 1 ? { ...needs, columns: true as const } : needs
    return failure([...hard, ...problems], ask, preview)
  }
  askFrames(columns, choices, needs, problems, source)
  askScale(columns, choices, needs, problems, source)
  missingUnits(columns, needs, problems, source)
  if (problems.length) {
    const trial = trialColumns(columns)
    const built = buildCurves(source, trial, { ...choices, ...STAND_INS, sort: true })
    if (built.ambiguous) needs.decimalMark = [',', '.']
    const other = built.problems
    const askOnly = other.length === 0 || (built.ambiguous && other.length === 1)
    return failure([...problems, ...other], needs, preview, askOnly)
  }
  const built = buildCurves(source, columns, choices)
  if (built.problems.length) {
    if (built.unsorted) needs.sort = true
    if (built.ambiguous) needs.decimalMark = [',', '.']
    if (built.bad) needs.skipBad = true
    const asks = built.unsorted || built.ambiguous
    return failure(
      built.problems,
      asks || built.bad ? needs : undefined,
      preview,
      asks && built.problems.length === 1,
    )
  }
  const strange = implausible(built.curves)
  if (strange && !choices.columns) {
    const { radiusUnit } = choices
    if (radiusUnit && otherUnit(columns, radiusUnit))
      return readSource(source, columns.map(inUnit(radiusUnit)), choices, needs, problems)
    const asked = askCredible(source, columns)
    if (!radiusUnit) return failure([{ where: source.file, message: strange }], asked, preview, true)
  }
  const warnings = strange ? [...built.warnings, strange] : built.warnings
  return { ok: true, curves: built.curves, skipped: built.skipped, warnings, preview, unsure: false }
}
