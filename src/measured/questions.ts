/** What a table's columns leave open or get wrong: units, frame rate, roles, cells beyond the header. */
import { typedInBox } from '../numerics/typedNumber.ts'
import { isSize } from './pairing.ts'
import type { RowSource } from './points.ts'
import type { Understood } from './roles.ts'
import type { Choices, Column, ColumnRole, LengthUnit, Needs, Problem, TimeUnit } from './types.ts'
import { inPixels, LENGTH_FACTOR, LENGTH_UNITS, ROLE_UNITS, TIME_UNITS } from './units.ts'

/** Largest and smallest radius (m) that is taken without asking about its unit: 1 m; 1 µm for the largest of a curve. */
const PLAUSIBLE: readonly [number, number] = [1e-6, 1]

/** A column whose unit is a length: radius or diameter. */
const isLength = (column: Column) => column.role === 'radius' || column.role === 'diameter'

/** Fills gaps from `choices` and puts the rest as questions. */
export function questions(
  source: RowSource,
  understood: Understood,
  choices: Choices,
): [Column[], Needs, Problem[]] {
  const needs: Needs = {}
  const problems: Problem[] = []
  const columns = understood.columns.map((column) => ({ ...column }))
  for (const column of columns) {
    const unknown = understood.unknownUnits.find(([index]) => index === column.index)?.[1]
    if (column.role === 'time' && !column.unit) {
      if (choices.timeUnit) continue
      needs.timeUnit = guessTime(source, column.index)
      problems.push({ where: placeOf(source, column), message: unitMessage('time', unknown) })
    } else if (column.role === 'area' && !column.unit) {
      needs.columns = true
      problems.push({ where: placeOf(source, column), message: unitMessage('area', unknown) })
    } else if (isLength(column) && !column.unit) {
      if (choices.radiusUnit) column.unit = choices.radiusUnit
      else {
        needs.radiusUnit = guessLength(source, column.index)
        problems.push({ where: placeOf(source, column), message: unitMessage(column.role, unknown) })
      }
    } else if (column.role === 'uncertainty' && !column.unit && unknown !== undefined) {
      problems.push({ where: placeOf(source, column), message: unitMessage('uncertainty', unknown) })
      needs.columns = true
    }
  }
  const foreign =
    understood.unknownUnits.some(([index]) => isSize(columns[index])) ||
    columns.some(({ role }) => role === 'area')
  const guessed = understood.guessedRadius && (foreign || (!choices.radiusUnit && !needs.radiusUnit))
  if (guessed || (understood.guessedTime && !choices.timeUnit && !needs.timeUnit)) {
    needs.columns = true
    problems.push({ where: source.file, message: 'Say which column holds the time and which the radius.' })
  }
  return [columns, needs, problems]
}

function placeOf({ file, header }: RowSource, { index }: Column): string {
  const head = header[index]
  return `${file}, column ${index + 1}${head ? ` (${head.slice(0, 60)})` : ''}`
}

function unitMessage(what: ColumnRole, unknown: string | undefined): string {
  const list = ROLE_UNITS[what]!.map((unit) => (unit === 'frame' ? 'frames with a frame rate' : unit)).join(
    ', ',
  )
  if (unknown) return `The unit "${unknown}" of the ${what} is not known; permitted are ${list}.`
  return `The unit of the ${what} is missing; permitted are ${list}.`
}

/** The header's unit gives way to the user's where its radii are not credible. */
export const inUnit = (unit: LengthUnit | 'px') => (column: Column) =>
  isLength(column) ? { ...column, unit } : column

/** Whether the user gave radii another unit than the header does. */
export const otherUnit = (columns: readonly Column[], unit: LengthUnit | 'px' | undefined): boolean =>
  unit !== undefined && columns.some((column) => isLength(column) && column.unit !== unit)

/** What is asked where radii are not credible: the unit; for pixels their scale; for areas the columns. */
export function askCredible(source: RowSource, columns: readonly Column[]): Needs {
  const size = columns.find(isSize)!
  if (inPixels(size.unit)) return { millimetresPerPixel: {} }
  return isLength(size) ? { radiusUnit: guessLength(source, size.index) } : { columns: true }
}

/** A column with its missing unit taken from the answers, if there is one. */
export function filled(column: Column, { timeUnit, radiusUnit }: Choices): Column {
  if (column.unit) return { ...column }
  if (column.role === 'time' && timeUnit) return { ...column, unit: timeUnit }
  if (isLength(column) && radiusUnit) return { ...column, unit: radiusUnit }
  return { ...column }
}

export function wrongRoles(source: RowSource, columns: readonly Column[]): Problem[] {
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
  if (!columns.some(isSize)) missing.push({ where: source.file, message: 'No column of radii was found.' })
  const beyond = columns.find((column) => !(column.index >= 0 && Number.isInteger(column.index)))
  if (beyond) missing.push({ where: source.file, message: `There is no column ${beyond.index}.` })
  return missing
}

/** Cells beyond the header's last column: most often decimal commas in a table separated by commas. */
export function raggedRows(source: RowSource, columns: readonly Column[]): Problem[] {
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

export function askFrames(
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

/** Sizes in pixels: their scale is asked for, and checked where it is given. */
export function askScale(
  columns: readonly Column[],
  choices: Choices,
  needs: Needs,
  problems: Problem[],
  source: RowSource,
): void {
  const counted = columns.find(({ unit }) => inPixels(unit))
  if (!counted) return
  const { millimetresPerPixel: scale, millimetresPerPixelError: error = 0 } = choices
  if (scale === undefined) {
    needs.millimetresPerPixel = {}
    const message =
      'The sizes are in pixels: say how many millimetres a pixel is, and how well that is known.'
    problems.push({ where: placeOf(source, counted), message })
  } else if (!(scale > 0 && Number.isFinite(scale))) {
    needs.millimetresPerPixel = {}
    const message = `${scale} mm per pixel is not possible; it must be a number above 0.`
    problems.push({ where: source.file, message })
  } else if (!(error >= 0 && error < scale)) {
    needs.millimetresPerPixel = {}
    const message = `The ± of ${scale} mm per pixel is ${error}; it must be 0 or more, and less than the scale.`
    problems.push({ where: source.file, message })
  }
}

/** Whether a column's unit goes with its role. */
const goes = ({ role, unit }: Column): boolean => {
  const permitted = ROLE_UNITS[role]
  return !permitted || (unit !== undefined && permitted.includes(unit))
}

/** For rows with given columns: a unit that was left open, or does not go with its role. */
export function missingUnits(
  columns: readonly Column[],
  needs: Needs,
  problems: Problem[],
  source: RowSource,
): void {
  for (const column of columns) {
    if (goes(column)) continue
    if (column.role === 'time') {
      if (needs.timeUnit) continue
      needs.timeUnit = guessTime(source, column.index)
    } else if (isLength(column)) {
      if (needs.radiusUnit) continue
      needs.radiusUnit = guessLength(source, column.index)
    } else if (column.unit || column.role === 'area') needs.columns = true
    else continue
    problems.push({ where: placeOf(source, column), message: unitMessage(column.role, column.unit) })
  }
}

/** Columns with stand-in units, so that bad cells are found together with the open questions. */
export function trialColumns(columns: readonly Column[]): Column[] {
  return columns.map((column) => {
    if (goes(column)) return column
    if (column.role === 'time') return { ...column, unit: 's' as const }
    if (isLength(column)) return { ...column, unit: 'mm' as const }
    if (column.role === 'area') return { ...column, unit: 'mm²' as const }
    return column.role === 'uncertainty' ? { ...column, unit: '%' as const } : column
  })
}

export function implausible(curves: readonly { name: string; radius: Float64Array }[]): string | null {
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
    const value = Math.abs(typedInBox(row[index] ?? ''))
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
function guessLength(source: RowSource, index: number): (LengthUnit | 'px')[] {
  const most = largest(source, index)
  const fits = (unit: LengthUnit) =>
    most / LENGTH_FACTOR[unit].down >= 1e-3 && most / LENGTH_FACTOR[unit].down <= 0.2
  return [...LENGTH_UNITS.filter(fits), ...LENGTH_UNITS.filter((unit) => !fits(unit)), 'px']
}
