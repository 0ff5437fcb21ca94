/** Text → rows of cells with their line numbers; comments apart. No meaning is given to a cell here. */
import { dsvFormat } from 'd3-dsv'
import { bareUnit, isUnitRow } from './header.ts'
import { looksNumeric } from './numbers.ts'
import type { Problem, Progress, Separator } from './types.ts'

export interface RawTable {
  rows: string[][]
  /** Line of the file (from 1) at which each row begins. */
  lines: number[]
  /** Text of the comment lines without their mark. */
  comments: string[]
  /** Comment lines below the first row of the table, from 1. */
  commentLines: number[]
  /** Comment line directly above the first row of the table: it may be a header; '' if none. */
  lastComment: string
  separator: Separator
}

export type SplitResult = { ok: true; table: RawTable } | { ok: false; problems: Problem[] }

/** Most columns a table may have. */
export const MOST_COLUMNS = 200

/**
 * Splits text into rows; blank rows and comment lines (# or %) are left out. Fails on quotes that do not close.
 * `chosen`: the user's separator.
 */
export function splitTable(
  text: string,
  name: string,
  chosen?: Separator,
  progress: Progress = () => {},
): SplitResult {
  const fail = (where: string, message: string): SplitResult => ({
    ok: false,
    problems: [{ where, message }],
  })
  const whole = text.replace(/^\uFEFF/, '').replace(/\r\n?/g, '\n')
  const content = takeComments(whole.split('\n'))
  if (content.first < 0) return fail(name, 'The file holds no rows of data.')
  const separator = chosen ?? content.declared ?? findSeparator(content.lines)
  const body = content.changed ? content.lines.join('\n') : whole
  if (separator !== ' ') {
    const quote = wrongQuote(body, separator)
    if (quote) return fail(`${name}, line ${quote.line}`, quote.message)
  }
  const table =
    separator === ' '
      ? spacedRows(content.lines)
      : separatedRows(body, separator, content.lines.length, progress)
  const wide = table.rows.findIndex((row) => row.length > MOST_COLUMNS)
  if (wide >= 0) {
    const message = `This line has ${table.rows[wide]!.length} columns; at most ${MOST_COLUMNS} are read.`
    return fail(`${name}, line ${table.lines[wide]}`, message)
  }
  const { comments, commentLines, lastComment } = content
  return { ok: true, table: { ...table, comments, commentLines, lastComment, separator } }
}

/** Splits one line (a header kept in a comment) the way the table is split. */
export function splitLine(line: string, separator: Separator): string[] {
  return separator === ' '
    ? spacedCells(line)
    : (cleanRow(dsvFormat(separator).parseRows(line)[0] ?? []) ?? [])
}

/** Blanks comment lines, so that line numbers stay true, and reads a "sep=;" line as spreadsheets write it. */
function takeComments(lines: string[]) {
  const comments: string[] = []
  const commentLines: number[] = []
  let changed = false
  let lastComment = ''
  let first = -1
  let declared: Separator | undefined
  for (let i = 0; i < lines.length; i++) {
    const line = lines[i]!
    const mark = /^\s*"?[#%]+/.exec(line)
    const units = mark && first >= 0 && i === first + 1 ? unitLine(lines[first]!, line) : null
    if (units !== null) {
      lines[i] = units
      changed = true
    } else if (mark && !/^\s*%\s*[,;\t]/.test(line)) {
      const said = line.slice(mark[0].length).trim()
      if (said) comments.push(said)
      if (first < 0) lastComment = said
      else commentLines.push(i + 1)
      lines[i] = ''
      changed = true
    } else if (first < 0 && /^\s*"?sep=[,;\t]"?\s*$/i.test(line)) {
      declared = /[,;\t]/.exec(line)![0] as Separator
      lines[i] = ''
      changed = true
    } else if (first < 0 && line.trim()) first = i
    else if (first < 0) lastComment = ''
  }
  return { lines, comments, commentLines, lastComment, first, changed, ...(declared ? { declared } : {}) }
}

/**
 * A line of units right below the header that begins with the mark of a comment: "#,px" counts frames in its first column,
 * "# s,mm" is marked as a comment but has a unit for each title. null if it is no such line.
 */
function unitLine(header: string, line: string): string | null {
  const mark = header.includes('\t') ? '\t' : header.includes(';') ? ';' : header.includes(',') ? ',' : ' '
  const cells = (text: string) => (mark === ' ' ? spacedCells(text) : splitLine(text, mark))
  const width = cells(header).length
  const fits = (text: string) => cells(text).length === width && isUnitRow(cells(text))
  if (fits(line) && bareUnit(cells(line)[0]!) === '#') return line
  const bare = line.replace(/^\s*"?[#%]+\s*/, '')
  return fits(bare) && width > 1 ? bare : null
}

const SPACED_NUMBERS = /^\s*[+-]?\d+(?:,\d+)?(?:\s+[+-]?\d+(?:,\d+)?)+\s*$/

/**
 * The separator that most lines hold and that leaves the most numbers in the last lines; tab before semicolon before
 * comma, blanks when there is none of them.
 */
function findSeparator(lines: readonly string[]): Separator {
  const sample: string[] = []
  for (let i = 0; i < lines.length && sample.length < 200; i++) {
    if (lines[i]!.trim()) sample.push(lines[i]!.replace(/"[^"]*"/g, ''))
  }
  const most = (mark: string) => sample.filter((line) => line.includes(mark)).length * 2 > sample.length
  const tail = sample.slice(-3)
  const numbers = (mark: string) =>
    tail
      .join(mark)
      .split(mark)
      .filter((cell) => looksNumeric(cell.trim())).length
  const candidates = (['\t', ';', ','] as const).filter(most)
  const best = Math.max(...candidates.map(numbers))
  const chosen = candidates.find((mark) => numbers(mark) === best)
  if (chosen && chosen !== ',') return chosen
  if (!most(',') || tail.every((line) => SPACED_NUMBERS.test(line) && line.includes(','))) {
    if (tail.every((line) => /\S\s+\S/.test(line))) return ' '
  }
  return ','
}

/** First quoted cell that does not close, or goes on behind its closing quote. */
function wrongQuote(text: string, separator: string): { line: number; message: string } | null {
  for (let at = text.indexOf('"'); at >= 0; at = text.indexOf('"', at)) {
    const before = at === 0 ? '\n' : text[at - 1]!
    if (before !== separator && before !== '\n') {
      at++
      continue
    }
    let end = text.indexOf('"', at + 1)
    while (end >= 0 && text[end + 1] === '"') end = text.indexOf('"', end + 2)
    if (end < 0)
      return { line: lineAt(text, at), message: 'A quotation mark (") opens here and never closes.' }
    const after = text[end + 1]
    if (after !== undefined && after !== separator && after !== '\n') {
      return {
        line: lineAt(text, end),
        message: 'Text follows a closing quotation mark (") in the same cell.',
      }
    }
    at = end + 1
  }
  return null
}

function lineAt(text: string, at: number): number {
  let line = 1
  for (let i = text.indexOf('\n'); i >= 0 && i < at; i = text.indexOf('\n', i + 1)) line++
  return line
}

/** Rows after which progress is told. */
const pace = 20_000

function separatedRows(text: string, separator: string, lineCount: number, progress: Progress) {
  const rows: string[][] = []
  const lines: number[] = []
  let line = 1
  dsvFormat(separator).parseRows(text, (raw) => {
    lines.push(line)
    line += 1 + lineEnds(raw)
    if (cleanRow(raw)) rows.push(raw)
    else lines.pop()
    if (rows.length % pace === 0) progress(line / lineCount, 'splitting into cells')
    return null
  })
  return { rows, lines }
}

function lineEnds(cells: readonly string[]): number {
  let count = 0
  for (const cell of cells) if (cell.includes('\n')) count += cell.split('\n').length - 1
  return count
}

/** Trims the cells in place; null for a row without content. */
function cleanRow(cells: string[]): string[] | null {
  let content = false
  for (let i = 0; i < cells.length; i++) {
    const cell = cleanCell(cells[i]!)
    cells[i] = cell
    if (cell) content = true
  }
  return content ? cells : null
}

function cleanCell(cell: string): string {
  const text = cell.trim()
  if (text.length > 1 && text.startsWith('"') && text.endsWith('"')) {
    return text.slice(1, -1).replaceAll('""', '"').trim()
  }
  return /[\n\u200B\uFEFF]/.test(text) ? text.replace(/[\u200B\uFEFF]/g, '').replace(/\s*\n\s*/g, ' ') : text
}

function spacedRows(source: readonly string[]) {
  const rows: string[][] = []
  const lines: number[] = []
  source.forEach((text, i) => {
    if (!text.trim()) return
    rows.push(spacedCells(text))
    lines.push(i + 1)
  })
  return { rows, lines }
}

/** Cells between blanks; a unit in brackets stays with its word, quoted cells stay whole. */
function spacedCells(text: string): string[] {
  const cells: string[] = []
  for (const part of text.match(/"[^"]*"|[([{][^)\]}]*[)\]}]|\S+/g) ?? []) {
    if (/^[([{]/.test(part) && cells.length) cells[cells.length - 1] += ` ${part}`
    else cells.push(cleanCell(part))
  }
  return cells
}
