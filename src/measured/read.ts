/** The way in for tables of measured radii: bytes, pasted text, or rows whose columns a user has corrected. */
import { buildCurves } from './curves.ts'
import { decodeTable } from './decode.ts'
import { addSkipped, type RowSource } from './points.ts'
import { type Understood, understand } from './roles.ts'
import { MOST_COLUMNS, type RawTable, splitTable } from './table.ts'
import type {
  Choices,
  Column,
  ColumnRole,
  LengthUnit,
  Needs,
  Preview,
  Problem,
  Progress,
  ReadResult,
  Skipped,
  TimeUnit,
} from './types.ts'
import { LENGTH_FACTOR, LENGTH_UNITS, TIME_UNITS } from './units.ts'

const PREVIEW_ROWS = 12

/** Largest and smallest radius (m) that is taken without asking about its unit: 1 m; 1 µm for the largest of a curve. */
const PLAUSIBLE: readonly [number, number] = [1e-6, 1]

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

const isRadius = (column: Column) => column.role === 'radius' || column.role === 'diameter'

/** Fills gaps from `choices` and puts the rest as questions. */
function questions(
  source: RowSource,
  understood: Understood,
  choices: Choices,
): [Column[], Needs, Problem[]] {
  const needs: Needs = {}
  const problems: Problem[] = []
  const columns = understood.columns.map((column) => ({ ...column }))
  const where = (index: number) => `${source.file}, column ${index + 1}${titled(source.header[index])}`
  for (const column of columns) {
    const unknown = understood.unknownUnits.find(([index]) => index === column.index)?.[1]
    if (column.role === 'time' && !column.unit) {
      if (choices.timeUnit) continue
      needs.timeUnit = guessTime(source, column.index)
      problems.push({ where: where(column.index), message: unitMessage('time', unknown, TIME_UNITS) })
    } else if (isRadius(column) && !column.unit) {
      if (choices.radiusUnit) column.unit = choices.radiusUnit
      else {
        needs.radiusUnit = guessLength(source, column.index)
        problems.push({
          where: where(column.index),
          message: unitMessage(column.role, unknown, LENGTH_UNITS),
        })
      }
    } else if (column.role === 'uncertainty' && !column.unit && unknown !== undefined) {
      problems.push({
        where: where(column.index),
        message: unitMessage('uncertainty', unknown, [...LENGTH_UNITS, '%']),
      })
      needs.columns = true
    }
  }
  const foreign = understood.unknownUnits.some(([index]) => isRadius(columns[index]!))
  const guessed = understood.guessedRadius && (foreign || (!choices.radiusUnit && !needs.radiusUnit))
  if (guessed || (understood.guessedTime && !choices.timeUnit && !needs.timeUnit)) {
    needs.columns = true
    problems.push({ where: source.file, message: 'Say which column holds the time and which the radius.' })
  }
  return [columns, needs, problems]
}

const titled = (head: string | undefined) => (head ? ` (${head.slice(0, 60)})` : '')

function unitMessage(what: string, unknown: string | undefined, permitted: readonly string[]): string {
  const list = permitted.map((unit) => (unit === 'frame' ? 'frames with a frame rate' : unit)).join(', ')
  if (unknown) return `The unit "${unknown}" of the ${what} is not known; permitted are ${list}.`
  return `The unit of the ${what} is missing; permitted are ${list}.`
}

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
  missingUnits(columns, needs, problems, source)
  if (problems.length) {
    const trial = trialColumns(columns)
    const built = buildCurves(source, trial, { ...choices, framesPerSecond: 1, sort: true })
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
    const other = choices.radiusUnit && columns.some((c) => isRadius(c) && c.unit !== choices.radiusUnit)
    if (other) return readSource(source, columns.map(inUnit(choices.radiusUnit!)), choices, needs, problems)
    const asked = { radiusUnit: guessLength(source, columns.find(isRadius)!.index) }
    if (!choices.radiusUnit) return failure([{ where: source.file, message: strange }], asked, preview, true)
  }
  const warnings = strange ? [...built.warnings, strange] : built.warnings
  return { ok: true, curves: built.curves, skipped: built.skipped, warnings, preview, unsure: false }
}

/** The header's unit gives way to the user's where its radii are not credible. */
const inUnit = (unit: LengthUnit) => (column: Column) => (isRadius(column) ? { ...column, unit } : column)

/** A column with its missing unit taken from the answers, if there is one. */
function filled(column: Column, { timeUnit, radiusUnit }: Choices): Column {
  if (column.unit) return { ...column }
  if (column.role === 'time' && timeUnit) return { ...column, unit: timeUnit }
  if (isRadius(column) && radiusUnit) return { ...column, unit: radiusUnit }
  return { ...column }
}

function wrongRoles(source: RowSource, columns: readonly Column[]): Problem[] {
  const has = (role: string) => columns.some((column) => column.role === role)
  const width = source.rows.reduce((most, row) => Math.max(most, row.length), 0)
  if (width < 2 && columns.length < 2) {
    return [
      {
        where: source.file,
        message:
          'Only one column was found; a time and a radius column are wanted, separated by comma, semicolon or tab.',
      },
    ]
  }
  const missing: Problem[] = []
  if (!has('time')) missing.push({ where: source.file, message: 'No column of times was found.' })
  if (!columns.some(isRadius)) missing.push({ where: source.file, message: 'No column of radii was found.' })
  const beyond = columns.find((column) => !(column.index >= 0 && Number.isInteger(column.index)))
  if (beyond) missing.push({ where: source.file, message: `There is no column ${beyond.index}.` })
  return missing
}

/** Cells beyond the header's last column: most often decimal commas in a table separated by commas. */
function raggedRows(source: RowSource, columns: readonly Column[]): Problem[] {
  const width = source.header.length
  if (!width) return unevenRows(source, columns)
  const row = source.rows.findIndex((cells) => cells.length > width && cells.slice(width).some(Boolean))
  if (row < 0) return []
  return [
    {
      where: `${source.file}, line ${source.lines[row]}`,
      message: `This line has ${source.rows[row]!.length} cells, the header ${width}. With decimal commas, separate the columns by semicolons or tabs.`,
    },
  ]
}

/** Without a header all rows must have the same number of cells. */
function unevenRows(source: RowSource, columns: readonly Column[]): Problem[] {
  if (columns.some((column) => column.role === 'ignore')) return []
  const filled = (row: readonly string[]) => row.findLastIndex((cell) => cell !== '') + 1
  const width = filled(source.rows[0]!)
  const row = source.rows.findIndex((cells) => filled(cells) > width)
  if (row < 0) return []
  return [
    {
      where: `${source.file}, line ${source.lines[row]}`,
      message: `This line has ${filled(source.rows[row]!)} cells, the first line ${width}.`,
    },
  ]
}

function askFrames(
  columns: readonly Column[],
  choices: Choices,
  needs: Needs,
  problems: Problem[],
  source: RowSource,
): void {
  if (!columns.some((column) => column.role === 'time' && column.unit === 'frame')) return
  const rate = choices.framesPerSecond
  if (rate !== undefined && Number.isFinite(rate) && rate > 0) return
  needs.framesPerSecond = {}
  const message =
    rate === undefined
      ? 'The times count frames: say how many frames were taken per second.'
      : `The frame rate ${rate} is not possible; it must be a number above 0.`
  problems.push({ where: source.file, message })
}

/** For rows with given columns: a unit that was left open, or does not go with its role. */
function missingUnits(
  columns: readonly Column[],
  needs: Needs,
  problems: Problem[],
  source: RowSource,
): void {
  for (const column of columns) {
    const where = `${source.file}, column ${column.index + 1}${titled(source.header[column.index])}`
    const wrong = (list: readonly string[]) => !column.unit || !list.includes(column.unit)
    if (column.role === 'time' && wrong(TIME_UNITS) && !needs.timeUnit) {
      needs.timeUnit = guessTime(source, column.index)
      problems.push({ where, message: unitMessage('time', column.unit, TIME_UNITS) })
    }
    if (isRadius(column) && wrong(LENGTH_UNITS) && !needs.radiusUnit) {
      needs.radiusUnit = guessLength(source, column.index)
      problems.push({ where, message: unitMessage(column.role, column.unit, LENGTH_UNITS) })
    }
    const permitted = OPTIONAL_UNITS[column.role]
    if (permitted && column.unit && !permitted.includes(column.unit)) {
      needs.columns = true
      problems.push({ where, message: unitMessage(column.role, column.unit, permitted) })
    }
  }
}

/** Units of the roles that may be without one. */
const OPTIONAL_UNITS: Partial<Record<ColumnRole, readonly string[]>> = {
  uncertainty: [...LENGTH_UNITS, '%'],
  alcohol: ['mass', 'volume', 'mass %', 'volume %'],
}

/** Columns with stand-in units, so that bad cells are found together with the open questions. */
function trialColumns(columns: readonly Column[]): Column[] {
  return columns.map((column) => {
    const fits = (list: readonly string[]) => column.unit !== undefined && list.includes(column.unit)
    if (column.role === 'time' && !fits(TIME_UNITS)) return { ...column, unit: 's' as const }
    if (isRadius(column) && !fits(LENGTH_UNITS)) return { ...column, unit: 'mm' as const }
    if (column.role === 'uncertainty' && !fits([...LENGTH_UNITS, '%']))
      return { ...column, unit: '%' as const }
    return column
  })
}

function implausible(curves: readonly { name: string; radius: Float64Array }[]): string | null {
  for (const { name, radius } of curves) {
    const most = radius.reduce((a, b) => Math.max(a, b), 0)
    if (most > PLAUSIBLE[1] || (most < PLAUSIBLE[0] && most > 0)) {
      return `The largest radius of "${name}" would be ${Number(most.toPrecision(3))} m; check the unit.`
    }
  }
  return null
}

function largest(source: RowSource, index: number): number {
  let most = 0
  for (const row of source.rows) {
    const value = Math.abs(Number((row[index] ?? '').replace(',', '.')))
    if (Number.isFinite(value) && value > most) most = value
  }
  return most
}

/** Likeliest first: a drop lives for seconds to minutes. */
function guessTime(source: RowSource, index: number): TimeUnit[] {
  const most = largest(source, index)
  const first: TimeUnit = most > 2000 ? 'ms' : most < 0.05 ? 'min' : 's'
  return [first, ...TIME_UNITS.filter((unit) => unit !== first)]
}

/** Likeliest first: a drop's radius is 1 mm to 20 cm. */
function guessLength(source: RowSource, index: number): LengthUnit[] {
  const most = largest(source, index)
  const fits = (unit: LengthUnit) =>
    most / LENGTH_FACTOR[unit].down >= 1e-3 && most / LENGTH_FACTOR[unit].down <= 0.2
  return [...LENGTH_UNITS.filter(fits), ...LENGTH_UNITS.filter((unit) => !fits(unit))]
}
