/** Text cells → numbers, with one decimal mark for the whole table and never a silent guess. */
import type { DecimalMark } from './types.ts'

/** A cell that cannot be read as a number. */
export interface BadCell {
  row: number
  column: number
  text: string
  why: string
  /** The fault is one of the whole table or column: leaving this row out would not mend it. */
  whole?: true
}

export interface NumberTable {
  /** By column index: value; NaN = missing; ±Infinity = not finite. Clock times in seconds. */
  columns: Map<number, Float64Array>
  bad: BadCell[]
  /** The first cell that can be read in two ways, when nothing in the table decides. */
  ambiguous?: BadCell
  /** Columns that held clock times. */
  clocks: Set<number>
  warnings: string[]
}

const PLAIN = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/
const MISSING =
  /^(?:|-{1,3}|–|—|\.|\?|nan|[+-]?1\.#(?:qnan|ind).*|na|n\/a|n\.a\.|null|none|nil|#n\/a|missing)$/i
const INFINITE = /^([+-]?)(?:inf|infinity|∞|1\.#inf)$/i
const CLOCK = /^(?:(\d{1,3}):)?(\d{1,3}):(\d{1,2})((?:[.,]\d*)?)$/
const GROUPED = /^\d{1,3}(?:[ \u00a0\u202f\u2009'’]\d{3})+(?=[.,]|$)/

export const isMissing = (text: string) => MISSING.test(text)

/** True for anything that this file can read as a number or a clock time, whatever its decimal mark. */
export function looksNumeric(text: string): boolean {
  return PLAIN.test(text) || INFINITE.test(text) || CLOCK.test(text) || classify(text).kind !== 'bad'
}

type Reading =
  | { kind: 'bad' }
  /** `proof`: the decimal mark this cell proves; `groups`: the mark it proves to separate thousands. */
  | { kind: 'number'; body: string; proof?: DecimalMark; groups?: DecimalMark }
  /** One mark with three digits behind it: decimal or thousands. */
  | { kind: 'either'; body: string; mark: DecimalMark }

const other = (mark: DecimalMark): DecimalMark => (mark === '.' ? ',' : '.')

/** What a cell tells about decimal mark and thousands. `body` keeps its marks. */
function classify(text: string): Reading {
  const match = /^([+-]?)([\d.,' \u00a0\u202f\u2009’]+)((?:[eE][+-]?\d+)?)$/.exec(text)
  if (!match) return { kind: 'bad' }
  let digits = match[2]!
  const spaced = GROUPED.exec(digits)
  if (spaced) digits = spaced[0].replace(/\D/g, '') + digits.slice(spaced[0].length)
  const body = match[1] + digits + match[3]
  if (!/^[\d.,]*\d[\d.,]*$/.test(digits)) return { kind: 'bad' }
  const dots = digits.split('.').length - 1
  const commas = digits.split(',').length - 1
  if (dots && commas) {
    const mark: DecimalMark = digits.lastIndexOf('.') > digits.lastIndexOf(',') ? '.' : ','
    const shape = mark === '.' ? /^\d{1,3}(,\d{3})+\.\d*$/ : /^\d{1,3}(\.\d{3})+,\d*$/
    return shape.test(digits) ? { kind: 'number', body, proof: mark, groups: other(mark) } : { kind: 'bad' }
  }
  if (dots + commas === 0) return { kind: 'number', body }
  const mark: DecimalMark = dots ? '.' : ','
  if (dots + commas > 1) {
    const shape = mark === '.' ? /^[1-9]\d{0,2}(\.\d{3})+$/ : /^[1-9]\d{0,2}(,\d{3})+$/
    if (!shape.test(digits)) return { kind: 'bad' }
    return { kind: 'number', body, proof: other(mark), groups: mark }
  }
  const lone = /^[1-9]\d{0,2}[.,]\d{3}$/.test(digits) && !match[3] && !spaced
  return lone ? { kind: 'either', body, mark } : { kind: 'number', body, proof: mark }
}

/** Reads the given columns of all rows. `timeColumns` may hold clock times. `chosen`: the user's decimal mark. */
export function readNumbers(
  rows: readonly (readonly string[])[],
  indices: readonly number[],
  timeColumns: readonly number[],
  chosen?: DecimalMark,
): NumberTable {
  const table: NumberTable = { columns: new Map(), bad: [], clocks: new Set(), warnings: [] }
  const odd: { row: number; column: number; text: string }[] = []
  for (const column of indices) {
    const values = new Float64Array(rows.length)
    for (let row = 0; row < rows.length; row++) {
      const text = rows[row]![column] ?? ''
      if (PLAIN.test(text)) values[row] = Number(text)
      else if (MISSING.test(text)) values[row] = Number.NaN
      else {
        values[row] = Number.NaN
        odd.push({ row, column, text: text.replace(/^[−–]/, '-') })
      }
    }
    table.columns.set(column, values)
  }
  const rest = takeInfinite(table, takeClocks(table, rows, timeColumns, odd))
  if (chosen || rest.some((cell) => /[.,]/.test(cell.text))) readMarked(table, rows, indices, rest, chosen)
  else for (const cell of rest) setPlainOrBad(table, cell)
  if (rest.some((cell) => GROUPED.test(cell.text))) table.warnings.push(THOUSANDS)
  table.bad.sort((a, b) => a.row - b.row || a.column - b.column)
  return table
}

interface Cell {
  row: number
  column: number
  text: string
}

function setPlainOrBad(table: NumberTable, cell: Cell): void {
  const reading = classify(cell.text)
  if (reading.kind === 'number') table.columns.get(cell.column)![cell.row] = Number(reading.body)
  else table.bad.push({ ...cell, why: whyBad(cell.text) })
}

/** The general case: find the table's decimal mark from all cells, then read every cell by it. */
function readMarked(
  table: NumberTable,
  rows: readonly (readonly string[])[],
  indices: readonly number[],
  odd: readonly Cell[],
  chosen?: DecimalMark,
): void {
  const proof = new Map<DecimalMark, Cell>()
  const groups = new Set<DecimalMark>()
  const open: { cell: Cell; mark: DecimalMark; body: string }[] = []
  const good: { cell: Cell; body: string; proof?: DecimalMark }[] = []
  const consider = (cell: Cell) => {
    const reading = classify(cell.text)
    if (reading.kind === 'bad') return table.bad.push({ ...cell, why: whyBad(cell.text) })
    if (reading.kind === 'either') return open.push({ cell, mark: reading.mark, body: reading.body })
    if (reading.proof && !proof.has(reading.proof)) proof.set(reading.proof, cell)
    if (reading.groups) groups.add(reading.groups)
    return good.push({ cell, body: reading.body, ...(reading.proof ? { proof: reading.proof } : {}) })
  }
  for (const column of indices) {
    if (table.clocks.has(column)) continue
    for (let row = 0; row < rows.length; row++) {
      const text = rows[row]![column] ?? ''
      if (PLAIN.test(text) && text.includes('.')) consider({ row, column, text })
    }
  }
  for (const cell of odd) consider(cell)
  const decimal = chosen ?? decide(proof)
  if (decimal === 'both') {
    const late = [...proof.values()].sort((a, b) => a.row - b.row || a.column - b.column)[1]!
    const why = 'decimal points and decimal commas are mixed in this table'
    table.bad.push({ ...late, why, whole: true })
    return
  }
  for (const { cell, body, proof } of good) {
    if (proof && decimal && proof !== decimal) {
      table.bad.push({ ...cell, why: `this does not fit the decimal mark "${decimal}"` })
    } else set(table, cell, body, decimal ?? '.')
  }
  for (const { cell, mark, body } of open) {
    const decided =
      mark === decimal || (decimal && (groups.has(mark) || chosen)) || (!decimal && mark === '.')
    if (decided) set(table, cell, body, decimal ?? '.')
    else if (!table.ambiguous || before(cell, table.ambiguous)) {
      table.ambiguous = { ...cell, why: 'this may be a decimal fraction or a number with a thousands mark' }
    }
  }
  if (!decimal && open.some(({ mark }) => mark === ',') && open.some(({ mark }) => mark === '.')) {
    table.ambiguous ??= { ...open[0]!.cell, why: 'point and comma are both used' }
  }
  if (groups.size) table.warnings.push(THOUSANDS)
}

const THOUSANDS = 'Marks that separate thousands were left out of the numbers.'

const before = (a: { row: number; column: number }, b: { row: number; column: number }) =>
  a.row < b.row || (a.row === b.row && a.column < b.column)

function decide(proof: Map<DecimalMark, Cell>): DecimalMark | 'both' | undefined {
  if (proof.size === 2) return 'both'
  return [...proof.keys()][0]
}

function set(table: NumberTable, cell: Cell, body: string, decimal: DecimalMark): void {
  const text = body.replaceAll(other(decimal), '').replace(',', '.')
  table.columns.get(cell.column)![cell.row] = Number(text)
}

function takeInfinite(table: NumberTable, cells: readonly Cell[]): Cell[] {
  return cells.filter((cell) => {
    const found = INFINITE.exec(cell.text)
    if (!found) return true
    table.columns.get(cell.column)![cell.row] = found[1] === '-' ? -Infinity : Infinity
    return false
  })
}

/** Takes clock times out of the time columns: h:mm:ss and mm:ss.f; mm:ss alone could be hours and minutes. */
function takeClocks(
  table: NumberTable,
  rows: readonly (readonly string[])[],
  timeColumns: readonly number[],
  odd: readonly Cell[],
): Cell[] {
  const clock = odd.filter((cell) => timeColumns.includes(cell.column) && CLOCK.test(cell.text))
  if (!clock.length) return [...odd]
  for (const column of timeColumns) {
    const cells = clock.filter((cell) => cell.column === column)
    if (cells.length) readClockColumn(table, rows, column, cells)
  }
  return odd.filter((cell) => !table.clocks.has(cell.column) || !CLOCK.test(cell.text))
}

function readClockColumn(
  table: NumberTable,
  rows: readonly (readonly string[])[],
  column: number,
  cells: readonly Cell[],
): void {
  const parts = cells.map((cell) => CLOCK.exec(cell.text)!)
  const long = parts.some((part) => part[1] !== undefined)
  table.clocks.add(column)
  const bad = wrongClock(rows, column, cells, parts, long)
  if (bad) {
    table.bad.push({ ...bad, whole: true })
    return
  }
  cells.forEach((cell, i) => {
    const [, hours = '0', minutes, seconds, tail] = parts[i]!
    const fine = Number(`${seconds}${tail!.replace(',', '.')}`)
    table.columns.get(column)![cell.row] = Number(hours) * 3600 + Number(minutes) * 60 + fine
  })
  const form = long ? 'hours:minutes:seconds' : 'minutes:seconds'
  table.warnings.push(`Times such as ${cells[0]!.text} were read as ${form}.`)
}

/** The first thing that keeps a column of clock times from being read, or null. */
function wrongClock(
  rows: readonly (readonly string[])[],
  column: number,
  cells: readonly Cell[],
  parts: readonly RegExpExecArray[],
  long: boolean,
): BadCell | null {
  const other = parts.findIndex((part) => (part[1] !== undefined) !== long)
  if (other >= 0) return { ...cells[other]!, why: MIXED }
  if (!long && parts.every((part) => part[4] === '')) {
    const why = 'this may be minutes:seconds or hours:minutes; write the time in seconds'
    return { ...cells[0]!, why }
  }
  const plain = rows.findIndex((row) => PLAIN.test(row[column] ?? ''))
  if (plain >= 0) return { row: plain, column, text: rows[plain]![column]!, why: MIXED }
  const beyond = parts.findIndex((part) => Number(part[3]) > 59 || (long && Number(part[2]) > 59))
  return beyond >= 0 ? { ...cells[beyond]!, why: 'minutes and seconds end at 59' } : null
}

const MIXED = 'the times of this column are written in different ways'

/** First letters of the months in English, German, French, Spanish and Italian. */
const MONTH =
  '(?:jan|feb|fév|fev|mar|mär|apr|avr|abr|may|mai|mag|jun|jui|giu|jul|lug|aug|aoû|ago|sep|set|oct|okt|ott|nov|dec|dez|déc|dic|ene|gen)'
const DATE = new RegExp(
  [
    String.raw`\d{4}-\d{1,2}-\d{1,2}`,
    String.raw`\d{1,2}[./]\d{1,2}[./]\d{2,4}`,
    String.raw`^\d{1,2}[-. ]+${MONTH}\p{L}*`,
    String.raw`^${MONTH}\p{L}*[-. ]+\d{1,4}$`,
  ].join('|'),
  'iu',
)

function whyBad(text: string): string {
  if (DATE.test(text)) {
    return 'this looks like a date; write the time in seconds since the start'
  }
  if (CLOCK.test(text)) return 'this looks like a clock time'
  if (/^[+-]?[\d.,]+\s*(?:[a-zµμ°]{1,3}|%)$/i.test(text))
    return 'write the unit in the header, not in the cell'
  return 'a number is wanted here'
}
