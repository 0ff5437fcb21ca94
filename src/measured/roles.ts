/** Where a table's header is, and what its columns mean. */
import { NUMBER_IN_TEXT, numberInText } from '../numerics/typedNumber.ts'
import { type HeaderCell, isUnitRow, readHeaderCell, withUnit } from './header.ts'
import { isMissing, looksNumeric } from './numbers.ts'
import { isSize } from './pairing.ts'
import { type RawTable, splitLine } from './table.ts'
import type { Column, Doubt, Skipped } from './types.ts'
import { isAreaUnit } from './units.ts'

export interface Understood {
  header: string[]
  columns: Column[]
  /** True when the radius columns were not named as such. */
  guessedRadius: boolean
  guessedTime: boolean
  /** Frame rate that the header states, 1/s. */
  framesPerSecond?: number
  /** Frame rate that a comment mentions, 1/s. */
  mentionedRate?: number
  /** mm per pixel that a comment mentions. */
  mentionedScale?: number
  /** [column, text]: a unit that is not known. */
  unknownUnits: [number, string][]
  /** Line of the header, from 1; 0 = none, or in a comment. */
  headerLine: number
  /** Titles that could be meant otherwise than they were read. */
  unsure: Doubt[]
  /** Index of the first row of data. */
  firstRow: number
  skipped: Skipped[]
  warnings: string[]
}

/**
 * Finds header and roles. Never fails: what is not understood is left as 'ignore' or marked as guessed.
 * `headerLine`: the line that the user says the header is in; 0 = none.
 */
export function understand(table: RawTable, headerLine?: number): Understood {
  const found = findHeader(table, headerLine)
  const cells = found.header.map((text) => readHeaderCell(text))
  const width = table.rows.reduce((most, row) => Math.max(most, row.length), found.header.length)
  const warnings: string[] = []
  const assigned = assignRoles(table, found.firstRow, cells, width)
  nameColumns(assigned.columns, cells, found.groups)
  leaveOutFrames(assigned.columns)
  const rate = cells.find((cell) => cell.framesPerSecond)?.framesPerSecond
  const mentioned = rateInComments(table.comments)
  const scale = scaleInComments(table.comments)
  const left = assigned.columns
    .filter((column) => column.role === 'ignore' && found.header[column.index])
    .map((column) => `"${found.header[column.index]}"`)
  if (left.length)
    warnings.push(`Left out, because it is neither time nor radius: ${[...new Set(left)].join(', ')}.`)
  const unknownUnits = assigned.columns.flatMap((column): [number, string][] => {
    const text = cells[column.index]?.unknownUnit
    return text !== undefined && column.role !== 'ignore' && !column.unit ? [[column.index, text]] : []
  })
  const unsure = assigned.columns.flatMap((column): Doubt[] => {
    const said = column.role === 'ignore' ? '' : doubtAbout(found.header[column.index]!, cells[column.index])
    return said ? [{ column: column.index, text: said }] : []
  })
  return {
    ...found,
    ...assigned,
    unsure,
    ...(rate ? { framesPerSecond: rate } : {}),
    ...(mentioned ? { mentionedRate: mentioned } : {}),
    ...(scale ? { mentionedScale: scale } : {}),
    unknownUnits,
    warnings,
  }
}

/** "t_min" may be minutes or the smallest time, "R_m" metres or a mean: units that stand loose and are words as well. */
function doubtAbout(title: string, cell: HeaderCell | undefined): string {
  if (!cell?.loose || (cell.unit !== 'min' && cell.unit !== 'm')) return ''
  const [unit, other] =
    cell.unit === 'min' ? ['minutes', 'a smallest value'] : ['metres', 'a mean or a largest value']
  return `"${title}" was read as ${unit}; it might also be meant as ${other}.`
}

interface FoundHeader {
  header: string[]
  headerLine: number
  /** Names written above groups of columns (merged cells), filled to the right; [] if none. */
  groups: string[]
  firstRow: number
  skipped: Skipped[]
}

/** The header is the first row with a time word, else the last row of words above the first row of numbers. */
function findHeader(table: RawTable, headerLine?: number): FoundHeader {
  const { rows, lines } = table
  let at = -1
  let firstRow = 0
  if (headerLine !== undefined && headerLine > 0) {
    at = lines.indexOf(headerLine)
    firstRow = at + 1
  }
  for (let i = 0; headerLine === undefined && i < Math.min(rows.length, 100); i++) {
    const numbers = rows[i]!.filter((cell) => !isMissing(cell) && looksNumeric(cell)).length
    if (namesTime(rows[i]!) && rows[i]!.filter(Boolean).length > 1) {
      at = i
      firstRow = i + 1
      break
    }
    if (numbers >= Math.min(2, rows[i]!.length)) {
      at = i - 1
      firstRow = i
      break
    }
  }
  if (at < 0) {
    const header = headerLine === undefined ? headerInComment(table, firstRow) : []
    return { header, headerLine: 0, groups: [], firstRow, skipped: [] }
  }
  const line = lines[at]!
  const header = [...rows[at]!]
  const units = rows[firstRow]
  if (firstRow === at + 1 && units && isUnitRow(units)) {
    units.forEach((unit, k) => {
      if (unit) header[k] = withUnit(header[k] ?? '', unit)
    })
    firstRow++
  } else if (at > 0 && isUnitRow(header) && firstRow === at + 1) {
    const words = rows[at - 1]!
    header.forEach((unit, k) => {
      header[k] = withUnit(words[k] ?? '', unit)
    })
    at--
  }
  const skipped = rows.slice(0, at).map((_, i) => ({ line: lines[i]!, reason: 'above the header' }))
  return { header, headerLine: line, groups: groupNames(rows[at - 1]), firstRow, skipped }
}

const namesTime = (row: readonly string[]) => row.some((cell) => readHeaderCell(cell).role === 'time')

/** A header kept as a comment directly above the numbers, with as many cells as they have. */
function headerInComment(table: RawTable, firstRow: number): string[] {
  const width = table.rows[firstRow]?.length ?? 0
  if (!table.lastComment) return []
  const cells = splitLine(table.lastComment.replace(/"$/, ''), table.separator)
  return cells.length === width && namesTime(cells) ? cells : []
}

function groupNames(row: readonly string[] | undefined): string[] {
  if (!row || row.filter(Boolean).length < 2) return []
  const names: string[] = []
  row.forEach((cell, i) => {
    names.push(cell || names[i - 1] || '')
  })
  return names
}

const RATE = new RegExp(
  `(${NUMBER_IN_TEXT})\\s*(?:fps|frames per second)|(?:fps|frame rate)\\s*[:=]?\\s*(${NUMBER_IN_TEXT})`,
  'i',
)

function rateInComments(comments: readonly string[]): number | undefined {
  for (const comment of comments) {
    const found = RATE.exec(comment)
    const rate = found ? numberInText(found[1] ?? found[2]!) : Number.NaN
    if (!Number.isNaN(rate)) return rate
  }
  return undefined
}

const LENGTH_A_PIXEL = new RegExp(`(${NUMBER_IN_TEXT})\\s*(mm|[µμu]m)\\s*(?:\\/|per)\\s*(?:px|pixel)\\b`, 'i')
const PIXELS_A_LENGTH = new RegExp(`(${NUMBER_IN_TEXT})\\s*(?:px|pixels?)\\s*(?:\\/|per)\\s*mm\\b`, 'i')

/** "0.052 mm/px", "19.2 px/mm", "scale: 52 µm per pixel" → mm per pixel. */
function scaleInComments(comments: readonly string[]): number | undefined {
  for (const comment of comments) {
    const per = LENGTH_A_PIXEL.exec(comment)
    const inverse = PIXELS_A_LENGTH.exec(comment)
    const scale = per
      ? numberInText(per[1]!) / (per[2] === 'mm' ? 1 : 1000)
      : 1 / (inverse ? numberInText(inverse[1]!) : Number.NaN)
    if (Number.isFinite(scale)) return scale
  }
  return undefined
}

function assignRoles(table: RawTable, firstRow: number, cells: readonly HeaderCell[], width: number) {
  const columns: Column[] = Array.from({ length: width }, (_, index) => {
    const cell = cells[index]
    const role = !cell || cell.role === 'unknown' ? 'ignore' : cell.role
    return { index, role, ...(cell?.unit && role !== 'ignore' ? { unit: cell.unit } : {}) }
  })
  const sample = table.rows.slice(firstRow, firstRow + 50)
  const free = (column: Column) => column.role === 'ignore' && numericShare(sample, column.index) > 0.5
  let guessedTime = false
  let guessedRadius = false
  if (!columns.some((column) => column.role === 'time')) {
    const first = columns.find(free)
    if (first) {
      first.role = 'time'
      guessedTime = true
    }
  }
  if (!columns.some(isSize)) {
    for (const column of columns.filter(free)) {
      const unit = cells[column.index]?.unit
      column.role = isAreaUnit(unit) ? 'area' : 'radius'
      if (unit) column.unit = unit
      guessedRadius = true
    }
  }
  if (!cells.length) guessSeries(columns, sample)
  return { columns, guessedTime, guessedRadius }
}

/** Without a header, a column of words can only be the names of the series. */
function guessSeries(columns: Column[], sample: readonly (readonly string[])[]): void {
  const words = columns.filter(
    (column) =>
      column.role === 'ignore' && sample.some((row) => row[column.index] && !isMissing(row[column.index]!)),
  )
  if (words.length === 1) words[0]!.role = 'series'
}

function numericShare(rows: readonly (readonly string[])[], index: number): number {
  const filled = rows.map((row) => row[index] ?? '').filter((cell) => cell && !isMissing(cell))
  return filled.length ? filled.filter(looksNumeric).length / filled.length : 0
}

function nameColumns(columns: Column[], cells: readonly HeaderCell[], groups: readonly string[]): void {
  for (const column of columns) {
    if (!isSize(column) && column.role !== 'uncertainty') continue
    const name = [groups[column.index], cells[column.index]?.label].filter(Boolean).join(' ')
    if (name) column.name = name
  }
}

/** Where there are times, frame numbers beside them are not needed. */
function leaveOutFrames(columns: Column[]): void {
  const times = columns.filter((column) => column.role === 'time')
  if (!times.some((column) => column.unit !== 'frame')) return
  for (const column of times.filter((column) => column.unit === 'frame')) {
    column.role = 'ignore'
    delete column.unit
  }
}
