/** Rows with known roles and units → curves. */
import { type NumberTable, readNumbers } from './numbers.ts'
import { type Group, groupRows, pairColumns, type Task } from './pairing.ts'
import type {
  Choices,
  Column,
  CurveMeta,
  LengthUnit,
  MeasuredCurve,
  Problem,
  Skipped,
  TimeUnit,
} from './types.ts'
import { LENGTH_FACTOR, TIME_FACTOR } from './units.ts'
import { unguardText } from './write.ts'

export interface RowSource {
  file: string
  header: readonly string[]
  rows: readonly (readonly string[])[]
  /** Line of the file of each row, from 1. */
  lines: ArrayLike<number>
}

export interface Built {
  curves: MeasuredCurve[]
  skipped: Skipped[]
  warnings: string[]
  problems: Problem[]
  /** Times were out of order and nobody asked for sorting. */
  unsorted: boolean
  ambiguous: boolean
}

const SHOWN_PROBLEMS = 20

/** Builds the curves. All units must be known; frames need `choices.framesPerSecond`. */
export function buildCurves(source: RowSource, columns: readonly Column[], choices: Choices): Built {
  const built: Built = {
    curves: [],
    skipped: [],
    warnings: [],
    problems: [],
    unsorted: false,
    ambiguous: false,
  }
  const tasks = pairColumns(columns, source.header, built.warnings)
  const at = (row: number, column: number) => place(source, row, column)
  const numbers = readTableNumbers(source, columns, choices)
  built.warnings.push(...numbers.warnings)
  for (const bad of numbers.bad.slice(0, SHOWN_PROBLEMS)) {
    built.problems.push({ where: at(bad.row, bad.column), message: `"${short(bad.text)}": ${bad.why}.` })
  }
  if (numbers.bad.length > SHOWN_PROBLEMS) {
    built.problems.push({
      where: source.file,
      message: `… and ${numbers.bad.length - SHOWN_PROBLEMS} more such cells.`,
    })
  }
  if (numbers.ambiguous) {
    const { row, column, text, why } = numbers.ambiguous
    built.ambiguous = true
    built.problems.push({
      where: at(row, column),
      message: `"${text}": ${why}; say which decimal mark the table uses.`,
    })
  }
  if (built.problems.length) return built
  const groups = groupRows(source.rows, columns, built.warnings)
  const context: Context = { source, numbers, choices, built }
  const values = tasks.map((task) => inSIUnits(context, task))
  for (const group of groups) {
    const meta = readMeta(source, columns, numbers, group, built)
    tasks.forEach((task, k) => {
      buildOne(context, task, values[k]!, group, meta, tasks.length)
    })
  }
  if (!built.curves.length && !built.problems.length) {
    built.problems.push({ where: source.file, message: 'No row holds both a time and a radius.' })
  }
  finish(built, source.file)
  return built
}

const short = (text: string) => (text.length > 60 ? `${text.slice(0, 60)}…` : text)

function place(source: RowSource, row: number, column: number): string {
  const head = source.header[column]
  return `${source.file}, line ${source.lines[row]}, column ${column + 1}${head ? ` (${short(head)})` : ''}`
}

function readTableNumbers(source: RowSource, columns: readonly Column[], choices: Choices): NumberTable {
  const counted = new Set(['time', 'radius', 'diameter', 'uncertainty', 'alcohol', 'volume'])
  const used = columns.filter((column) => counted.has(column.role)).map((column) => column.index)
  const times = columns.filter((column) => column.role === 'time').map((column) => column.index)
  return readNumbers(source.rows, used, times, choices.decimalMark)
}

function readMeta(
  source: RowSource,
  columns: readonly Column[],
  numbers: NumberTable,
  group: Group,
  built: Built,
): CurveMeta {
  const meta: CurveMeta = {}
  const rows = group.rows ?? source.rows.keys()
  const alcohols = columns.filter((column) => column.role === 'alcohol')
  const volume = columns.find((column) => column.role === 'volume')
  const note = columns.find((column) => column.role === 'note')
  let alcohol: Column | undefined
  for (const row of rows) {
    alcohol ??= alcohols.find(({ index }) => !Number.isNaN(numbers.columns.get(index)![row]!))
    if (alcohol) {
      const percent = /%|percent/.test(source.header[alcohol.index] ?? '')
      takeConstant(alcohol, row, percent ? 100 : 1, 'alcoholFraction', 1)
    }
    if (volume) takeConstant(volume, row, 1, 'volume_uL', Infinity)
    if (note && meta.note === undefined) {
      const text = unguardText(source.rows[row]![note.index] ?? '')
      if (text) meta.note = text
    }
  }
  if (meta.alcoholFraction !== undefined) meta.fractionBasis = alcohol!.unit === 'volume' ? 'volume' : 'mass'
  return meta

  function takeConstant(
    column: Column,
    row: number,
    divisor: number,
    key: 'alcoholFraction' | 'volume_uL',
    most: number,
  ): void {
    const value = numbers.columns.get(column.index)![row]! / divisor
    if (Number.isNaN(value) || value === meta[key]) return
    const where = place(source, row, column.index)
    if (!((key === 'volume_uL' ? value > 0 : value >= 0) && value <= most && Number.isFinite(value))) {
      const range =
        key === 'volume_uL' ? 'a volume is above 0' : 'a fraction is between 0 and 1 (0 and 100 with %)'
      if (built.problems.length < SHOWN_PROBLEMS) built.problems.push({ where, message: `${range}.` })
    } else if (meta[key] === undefined) meta[key] = value
    else if (built.problems.length < SHOWN_PROBLEMS) {
      built.problems.push({ where, message: 'This value must be the same in all rows of a curve.' })
    }
  }
}

interface Context {
  source: RowSource
  numbers: NumberTable
  choices: Choices
  built: Built
}

function buildOne(
  context: Context,
  task: Task,
  values: TaskValues,
  group: Group,
  meta: CurveMeta,
  taskCount: number,
): void {
  const { source, built, choices } = context
  const name = curveName(task, group, source.file, taskCount)
  const points = collect(context, task, values, group)
  const complain = (message: string) =>
    built.problems.push({ where: `${source.file}, curve "${name}"`, message })
  if (built.problems.length > SHOWN_PROBLEMS) return
  if (points.rows.length === 0 && taskCount > 1) {
    built.warnings.push(`Column ${task.radius.index + 1} holds no points for "${name}"; it was left out.`)
    return
  }
  if (points.rows.length < 2) {
    const said = points.rows.length === 1 ? 'Only one row has' : 'No row has'
    complain(`${said} both a time and a radius; a curve needs at least two.`)
    return
  }
  const order = orderOf(points, source, choices.sort === true)
  if ('problem' in order) {
    built.unsorted ||= order.unsorted
    complain(order.problem)
    return
  }
  if (order.sorted)
    built.warnings.push(`The rows of "${name}" were not in the order of time; they were sorted.`)
  const pick = (values: Float64Array) => (order.sorted ? gather(values, order.index) : values)
  const curve: MeasuredCurve = {
    id: '',
    name,
    time: pick(points.time),
    radius: pick(points.radius),
    meta: { ...meta },
    file: source.file,
  }
  if (points.uncertainty) curve.uncertainty = pick(points.uncertainty)
  built.curves.push(curve)
}

function curveName(task: Task, group: Group, file: string, taskCount: number): string {
  const column = task.radius.name ?? (taskCount > 1 ? `column ${task.radius.index + 1}` : '')
  if (group.name) return taskCount > 1 ? `${group.name} ${column}`.trim() : group.name
  return column || file.replace(/\.[^.]*$/, '') || 'curve'
}

interface Points {
  /** Indices into the source's rows. */
  rows: number[]
  time: Float64Array
  radius: Float64Array
  uncertainty?: Float64Array
}

/** Complete points of one radius column; incomplete rows go to the list of skipped ones. */
function collect(context: Context, task: Task, values: TaskValues, group: Group): Points {
  const { source, built } = context
  const { time, radius, sigma } = values
  const rows: number[] = []
  const skip = (row: number, reason: string) => addSkipped(built.skipped, source.lines[row]!, reason)
  const title = source.header[task.radius.index] || `column ${task.radius.index + 1}`
  const count = group.rows ? group.rows.length : source.rows.length
  for (let k = 0; k < count; k++) {
    const i = group.rows ? group.rows[k]! : k
    const noTime = Number.isNaN(time[i]!)
    const noRadius = Number.isNaN(radius[i]!)
    if (noTime && noRadius) {
      if (hasOther(source, i, task)) continue
      skip(i, 'neither time nor radius')
    } else if (noTime) skip(i, `no time for "${title}"`)
    else if (noRadius) skip(i, `no radius in "${title}"`)
    else if (!Number.isFinite(time[i]!)) skip(i, 'the time is not finite')
    else if (!Number.isFinite(radius[i]!)) skip(i, `the radius in "${title}" is not finite`)
    else if (wrongPoint(context, task, i, radius[i]!, sigma?.[i])) continue
    else rows.push(i)
  }
  const pick = (values: Float64Array) => gather(values, rows)
  return { rows, time: pick(time), radius: pick(radius), ...(sigma ? { uncertainty: pick(sigma) } : {}) }
}

function gather(values: Float64Array, index: readonly number[]): Float64Array {
  const picked = new Float64Array(index.length)
  for (let i = 0; i < index.length; i++) picked[i] = values[index[i]!]!
  return picked
}

/** In tables of several pairs a row may be empty for one pair and hold a point of another. */
function hasOther(source: RowSource, row: number, task: Task): boolean {
  return source.rows[row]!.some((cell, k) => cell && k !== task.time.index && k !== task.radius.index)
}

function wrongPoint(context: Context, task: Task, row: number, radius: number, sigma?: number): boolean {
  const { source, built } = context
  const wrong =
    radius < 0
      ? task.radius
      : sigma !== undefined && !(Number.isNaN(sigma) || (sigma > 0 && sigma < Infinity))
        ? task.uncertainty!
        : null
  if (!wrong) return false
  if (built.problems.length <= SHOWN_PROBLEMS) {
    const text = source.rows[row]![wrong.index]
    const message =
      wrong === task.radius
        ? `"${text}": a ${task.radius.role} cannot be negative.`
        : `"${text}": an uncertainty must be above 0 and finite; leave the cell empty if it is not known.`
    built.problems.push({ where: place(source, row, wrong.index), message })
  }
  return true
}

/** The columns of one task over all rows, in s and m. */
interface TaskValues {
  time: Float64Array
  radius: Float64Array
  sigma?: Float64Array
}

function inSIUnits(context: Context, task: Task): TaskValues {
  const radius = inMetres(context.numbers.columns.get(task.radius.index)!, task.radius)
  const sigma = task.uncertainty && sigmaOf(context.numbers, task, radius)
  return { time: inSeconds(context, task.time), radius, ...(sigma ? { sigma } : {}) }
}

function inSeconds({ numbers, choices }: Context, column: Column): Float64Array {
  const values = numbers.columns.get(column.index)!
  if (numbers.clocks.has(column.index)) return values
  const unit = column.unit as TimeUnit
  const { up, down } = unit === 'frame' ? { up: 1, down: choices.framesPerSecond! } : TIME_FACTOR[unit]
  return up === 1 && down === 1 ? values : values.map((value) => (value * up) / down)
}

function inMetres(values: Float64Array, column: Column): Float64Array {
  const down = LENGTH_FACTOR[column.unit as LengthUnit].down * (column.role === 'diameter' ? 2 : 1)
  return down === 1 ? values : values.map((value) => value / down)
}

function sigmaOf(numbers: NumberTable, task: Task, radius: Float64Array): Float64Array {
  const values = numbers.columns.get(task.uncertainty!.index)!
  const unit = task.uncertainty!.unit
  if (unit === '%') {
    // A share of a radius of 0 says nothing about the uncertainty.
    return values.map((value, i) => (radius[i] === 0 ? Number.NaN : (value / 100) * radius[i]!))
  }
  const factor = LENGTH_FACTOR[(unit ?? task.radius.unit) as LengthUnit]
  const down = factor.down * (task.radius.role === 'diameter' ? 2 : 1)
  return values.map((value) => value / down)
}

/** Joins neighbouring lines with the same reason into one entry. */
export function addSkipped(list: Skipped[], line: number, reason: string): void {
  const previous = list.at(-1)
  if (previous && previous.reason === reason && (previous.last ?? previous.line) + 1 === line)
    previous.last = line
  else list.push({ line, reason })
}

/** `index` is empty when the points are in order already. */
type Order = { index: number[]; sorted: boolean } | { problem: string; unsorted: boolean }

/** Strictly increasing order of the points; sorting only when it was asked for. */
function orderOf(points: Points, source: RowSource, sort: boolean): Order {
  const { time, rows } = points
  const line = (i: number) => source.lines[rows[i]!]!
  const fall = time.findIndex((t, i) => i > 0 && t < time[i - 1]!)
  if (fall > 0 && !sort) {
    const restart =
      time[fall]! <= time[0]! ? ' Several runs one below the other need a column with their names.' : ''
    return {
      problem: `The times are not in order: line ${line(fall)} is earlier than line ${line(fall - 1)}.${restart} The rows can be sorted if that is right.`,
      unsorted: true,
    }
  }
  const index = fall > 0 ? Array.from(rows.keys()).sort((a, b) => time[a]! - time[b]! || a - b) : []
  const ordered = fall > 0 ? gather(time, index) : time
  const twice = ordered.findIndex((t, k) => k > 0 && t === ordered[k - 1]!)
  if (twice > 0) {
    const pair = [twice - 1, twice].map((k) => line(fall > 0 ? index[k]! : k)).sort((a, b) => a - b)
    return {
      problem: `Lines ${pair[0]} and ${pair[1]} have the same time; each time may occur once.`,
      unsorted: false,
    }
  }
  return { index, sorted: fall > 0 }
}

/** Makes names different from each other and gives every curve its id. */
function finish(built: Built, file: string): void {
  const taken = new Set<string>()
  for (const curve of built.curves) {
    const base = curve.name
    for (let n = 2; taken.has(curve.name); n++) curve.name = `${base} (${n})`
    taken.add(curve.name)
    curve.id = curveId(file, curve)
  }
}

/** FNV-1a over names and numbers: the same curve of the same file has the same id. */
export function curveId(file: string, curve: MeasuredCurve): string {
  let hash = 0x811c9dc5
  const add = (word: number) => {
    hash = Math.imul(hash ^ word, 0x01000193) >>> 0
  }
  for (const byte of new TextEncoder().encode(`${file}\n${curve.name}`)) add(byte)
  for (const values of [curve.time, curve.radius]) {
    for (const word of new Uint32Array(values.buffer, values.byteOffset, 2 * values.length)) add(word)
  }
  return `m${hash.toString(16).padStart(8, '0')}-${curve.time.length}`
}
