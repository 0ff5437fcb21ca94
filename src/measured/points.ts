/** Rows of one radius column → points in s and m, in order of time; what is left out is listed. */
import type { BadCell, NumberTable } from './numbers.ts'
import type { Group, Task } from './pairing.ts'
import { isTitle, SHARED_TITLES } from './tidyTitles.ts'
import type {
  AreaUnit,
  Choices,
  Column,
  ColumnUnit,
  LengthUnit,
  MeasuredCurve,
  Problem,
  Progress,
  SharedCause,
  SharedError,
  Skipped,
  TimeUnit,
} from './types.ts'
import { AREA_DIVISOR, inPixels, isAreaUnit, LENGTH_FACTOR, TIME_FACTOR } from './units.ts'

export interface RowSource {
  file: string
  header: readonly string[]
  rows: readonly (readonly string[])[]
  /** Line of the file of each row, from 1. */
  lines: ArrayLike<number>
  progress?: Progress
}

export interface Built {
  curves: MeasuredCurve[]
  skipped: Skipped[]
  warnings: string[]
  problems: Problem[]
  /** Times were out of order and nobody asked for sorting. */
  unsorted: boolean
  ambiguous: boolean
  /** Cells hold no numbers, and their rows could be left out. */
  bad: boolean
}

export const SHOWN_PROBLEMS = 20

export const short = (text: string) => (text.length > 60 ? `${text.slice(0, 60)}…` : text)

export function place(source: RowSource, row: number, column: number): string {
  const head = source.header[column]
  return `${source.file}, line ${source.lines[row]}, column ${column + 1}${head ? ` (${short(head)})` : ''}`
}

export interface Context {
  source: RowSource
  numbers: NumberTable
  choices: Choices
  built: Built
  columns: readonly Column[]
  /** Rows that are left out because a cell of them holds no number. */
  bad: ReadonlyMap<number, BadCell>
}

export interface Points {
  /** Indices into the source's rows. */
  rows: number[]
  time: Float64Array
  radius: Float64Array
  uncertainty?: Float64Array
  /** What all points err by together, as the table gives it. */
  shared?: readonly SharedError[]
  /** 1 = the table says that the point is not used. */
  excluded?: Uint8Array
}

/** Complete points of one radius column; incomplete rows go to the list of skipped ones. */
export function collect(context: Context, task: Task, values: TaskValues, group: Group): Points {
  const { source, built } = context
  const { time, radius, sigma } = values
  const rows: number[] = []
  const skip = (row: number, reason: string) => addSkipped(built.skipped, source.lines[row]!, reason)
  const title = source.header[task.radius.index] || `column ${task.radius.index + 1}`
  const count = group.rows ? group.rows.length : source.rows.length
  for (let k = 0; k < count; k++) {
    const i = group.rows ? group.rows[k]! : k
    const spoiled = context.bad.get(i)
    if (spoiled) {
      skip(i, `"${short(spoiled.text)}": ${spoiled.why}`)
      continue
    }
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
  const excluded = marksOf(context, rows)
  const shared = sharedOf(context, rows)
  return {
    rows,
    time: pick(time),
    radius: pick(radius),
    ...(sigma ? { uncertainty: pick(sigma) } : {}),
    ...(shared.length > 0 ? { shared } : {}),
    ...(excluded ? { excluded } : {}),
  }
}

/** Errors common to the points, by cause; a cause without an entry in any row is not one of this curve. */
function sharedOf(context: Context, rows: readonly number[]): SharedError[] {
  const { columns, source, built } = context
  return (Object.keys(SHARED_TITLES) as SharedCause[]).flatMap((cause) => {
    const column = columns.find(
      ({ role, index }) => role === 'own' && isTitle(source.header[index], SHARED_TITLES[cause]),
    )
    if (!column) return []
    const shift = gather(inMetres(context, column, 'mm', false), rows)
    if (shift.every(Number.isNaN)) return []
    const gap = shift.findIndex((value) => !Number.isFinite(value))
    if (gap < 0) return [{ cause, shift }]
    const message = 'a finite number is wanted in all rows of a curve, or in none.'
    built.problems.push({ where: place(source, rows[gap]!, column.index), message })
    return []
  })
}

const YES = /^(?:|1|yes|true|x)$/i
const NO = /^(?:0|no|false)$/i

/** Which of the points the table itself sets aside; undefined if none. */
function marksOf({ columns, source, built }: Context, rows: readonly number[]): Uint8Array | undefined {
  const column = columns.find(({ role }) => role === 'used')
  if (!column) return undefined
  const marks = Uint8Array.from(rows, (row) => {
    const cell = source.rows[row]![column.index] ?? ''
    if (!YES.test(cell) && !NO.test(cell) && built.problems.length < SHOWN_PROBLEMS) {
      const message = `"${short(cell)}": 1 (the point is used) or 0 (it is not) is wanted here.`
      built.problems.push({ where: place(source, row, column.index), message })
    }
    return NO.test(cell) ? 1 : 0
  })
  return marks.includes(1) ? marks : undefined
}

export function gather(values: Float64Array, index: readonly number[]): Float64Array {
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
        ? `"${text}": ${task.radius.role === 'area' ? 'an' : 'a'} ${task.radius.role} cannot be negative.`
        : `"${text}": an uncertainty must be above 0 and finite; leave the cell empty if it is not known.`
    built.problems.push({ where: place(source, row, wrong.index), message })
  }
  return true
}

/** The columns of one task over all rows, in s and m. */
export interface TaskValues {
  time: Float64Array
  radius: Float64Array
  /** Each point's own standard uncertainty: that of the scale is not in it. */
  sigma?: Float64Array
}

export function inSIUnits(context: Context, task: Task): TaskValues {
  const radius = radiiOf(context, task.radius)
  const sigma = task.uncertainty && sigmaOf(context, task, radius)
  return { time: inSeconds(context, task.time), radius, ...(sigma ? { sigma } : {}) }
}

function inSeconds({ numbers, choices }: Context, column: Column): Float64Array {
  const values = numbers.columns.get(column.index)!
  if (numbers.clocks.has(column.index)) return values
  const unit = column.unit as TimeUnit
  const { up, down } = unit === 'frame' ? { up: 1, down: choices.framesPerSecond! } : TIME_FACTOR[unit]
  return up === 1 && down === 1 ? values : values.map((value) => (value * up) / down)
}

/** Radii in m, from radii, diameters, or areas: √(A/π). A negative area stays negative, to be complained about. */
function radiiOf(context: Context, column: Column): Float64Array {
  if (column.role !== 'area') return inMetres(context, column, column.unit, column.role === 'diameter')
  const area = inSquareMetres(context, column, column.unit)
  return area.map((value) => (value < 0 ? value : Math.sqrt(value / Math.PI)))
}

const valuesOf = ({ numbers }: Context, { index }: Column): Float64Array => numbers.columns.get(index)!

function inMetres(
  context: Context,
  column: Column,
  unit: ColumnUnit | undefined,
  halved: boolean,
): Float64Array {
  const values = valuesOf(context, column)
  const { up, down } = inPixels(unit)
    ? { up: context.choices.millimetresPerPixel!, down: 1000 }
    : LENGTH_FACTOR[unit as LengthUnit]
  const most = down * (halved ? 2 : 1)
  if (up !== 1) return values.map((value) => (value * up) / most)
  if (most === 1) return values
  const { rows } = context.source
  return values.map((value, i) => {
    const exact = shifted(rows[i]![column.index] ?? '', POWER[down]!)
    return exact === null ? value / most : halved ? exact / 2 : exact
  })
}

const POWER: Record<number, number> = { 1: 0, 100: 2, 1000: 3, 1000000: 6 }

/**
 * A number of more than 15 digits is all of a binary number (IEEE 754: 15 are always kept): its decimal point is moved in
 * the text, so that it comes back to the last bit. null for any other text.
 */
function shifted(text: string, places: number): number | null {
  if (text.length < 16) return null
  const [, mantissa, power = '0'] = /^([+-]?[\d.]+)(?:[eE]([+-]?\d+))?$/.exec(text) ?? []
  if (mantissa === undefined || mantissa.replace(/\D|^[+-]?0*\.?0*/g, '').length < 16) return null
  return Number(`${mantissa}e${Number(power) - places}`)
}

function inSquareMetres(context: Context, column: Column, unit: ColumnUnit | undefined): Float64Array {
  const values = valuesOf(context, column)
  if (!inPixels(unit)) return values.map((value) => value / AREA_DIVISOR[unit as AreaUnit])
  const side = context.choices.millimetresPerPixel! / 1000
  return values.map((value) => value * side * side)
}

/** Uncertainty of the radius, m: of areas σ_R = σ_A / (2πR); NaN where a radius of 0 makes it unknown. */
function sigmaOf(context: Context, task: Task, radius: Float64Array): Float64Array {
  const column = task.uncertainty!
  const ofArea = task.radius.role === 'area'
  const unit = column.unit ?? task.radius.unit
  if (unit === '%') {
    const share = ofArea ? 200 : 100
    // A share of a radius of 0 says nothing about the uncertainty.
    return valuesOf(context, column).map((value, i) =>
      radius[i] === 0 ? Number.NaN : (value / share) * radius[i]!,
    )
  }
  if (!isAreaUnit(unit)) return inMetres(context, column, unit, task.radius.role === 'diameter')
  return inSquareMetres(context, column, unit).map((value, i) =>
    radius[i] === 0 ? Number.NaN : value / (2 * Math.PI * radius[i]!),
  )
}

/** Joins neighbouring lines with the same reason into one entry. */
export function addSkipped(list: Skipped[], line: number, reason: string): void {
  const previous = list.at(-1)
  if (previous && previous.reason === reason && (previous.last ?? previous.line) + 1 === line)
    previous.last = line
  else list.push({ line, reason })
}

/** `index` is empty when the points are in order already. */
export type Order = { index: number[]; sorted: boolean } | { problem: string; unsorted: boolean }

/** Strictly increasing order of the points; sorting only when it was asked for. */
export function orderOf(points: Points, source: RowSource, sort: boolean): Order {
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
