/** Which columns and rows belong together in one curve. */
import { distinction } from './header.ts'
import type { Column } from './types.ts'
import { unguardText } from './write.ts'

/** One radius column with all that belongs to it. */
export interface Task {
  time: Column
  radius: Column
  uncertainty?: Column
}

/** Gives every radius column its time column (the nearest on the side where the first one stands) and uncertainty. */
export function pairColumns(
  columns: readonly Column[],
  header: readonly string[],
  warnings: string[],
): Task[] {
  const sorted = [...columns].sort((a, b) => a.index - b.index)
  const times = sorted.filter((column) => column.role === 'time')
  const radii = sorted.filter(isSize)
  const title = (column: Column) => `"${header[column.index] || `column ${column.index + 1}`}"`
  const timesFirst = times[0]!.index < radii[0]!.index
  const tasks = radii.map((radius): Task => {
    const left = times.filter((time) => time.index < radius.index).at(-1)
    const right = times.find((time) => time.index > radius.index)
    return { radius, time: (timesFirst ? (left ?? right) : (right ?? left))! }
  })
  for (const time of times.filter((time) => !tasks.some((task) => task.time === time))) {
    warnings.push(`Time column ${title(time)} has no radius column of its own and was left out.`)
  }
  for (const column of sorted.filter((column) => column.role === 'uncertainty')) {
    const task = ownerOf(column, tasks, sorted)
    if (task && !task.uncertainty) task.uncertainty = column
    else warnings.push(`It is not clear which radius ${title(column)} belongs to; it was left out.`)
  }
  for (const { uncertainty } of tasks.filter((task) => task.uncertainty && !task.uncertainty.unit)) {
    warnings.push(`${title(uncertainty!)} has no unit; it was taken to be that of its radius.`)
  }
  for (const task of tasks.filter((task) => task.radius.role === 'diameter')) {
    warnings.push(`${title(task.radius)} holds diameters; they were halved to radii.`)
  }
  for (const task of tasks.filter((task) => task.radius.role === 'area')) {
    warnings.push(`${title(task.radius)} holds areas; each radius is that of the circle of the same area.`)
    if (task.uncertainty?.unit === '%')
      warnings.push(`${title(task.uncertainty)} is in per cent of the area: half as much of the radius.`)
  }
  return tasks
}

/**
 * Whose uncertainty a column is: the only radius; else the radius of the same name; else, where every radius is
 * followed by its own uncertainty, the radius before it. Undefined when none of these decides.
 */
function ownerOf(uncertainty: Column, tasks: readonly Task[], sorted: readonly Column[]): Task | undefined {
  if (uncertainty.of !== undefined) return tasks.find((task) => task.radius.index === uncertainty.of)
  if (tasks.length === 1) return tasks[0]
  const before = (column: Column) =>
    sorted.filter((other) => other.index < column.index && other.role !== 'ignore').at(-1)
  const neighbour = tasks.find((task) => task.radius === before(uncertainty))
  const wanted = distinction(uncertainty.name ?? '')
  if (wanted) {
    const named = tasks.filter((task) => distinction(task.radius.name ?? '') === wanted)
    return named.length > 1 && neighbour && named.includes(neighbour)
      ? neighbour
      : named.length === 1
        ? named[0]
        : undefined
  }
  const all = sorted.filter((column) => column.role === 'uncertainty')
  const paired = all.length === tasks.length && all.every((column) => isSize(before(column)))
  return paired ? neighbour : undefined
}

const SIZES: ReadonlySet<string> = new Set(['radius', 'diameter', 'area'])

/** Whether a column gives the radius, as such or as a diameter or an area. */
export const isSize = (column: Pick<Column, 'role'> | undefined): boolean =>
  column !== undefined && SIZES.has(column.role)

export interface Group {
  /** '' when the table has no series column. */
  name: string
  rows: number[] | null
}

/** Rows by series name; an empty name means the name above it, as merged cells come out of spreadsheets. */
export function groupRows(
  rows: readonly (readonly string[])[],
  columns: readonly Column[],
  warnings: string[],
): Group[] {
  const naming = columns.filter((column) => column.role === 'series')
  if (!naming.length) return [{ name: '', rows: null }]
  const groups = new Map<string, number[]>()
  let filled = 0
  let previous = ''
  rows.forEach((row, i) => {
    const given = naming.map((column) => unguardText(row[column.index] ?? '')).filter(Boolean)
    if (!given.length && previous) filled++
    const name = given.length ? given.join(' ') : previous
    previous = name
    const list = groups.get(name)
    if (list) list.push(i)
    else groups.set(name, [i])
  })
  if (filled) warnings.push(`${filled} rows without a series name were given the name above them.`)
  return [...groups].map(([name, rows]) => ({ name, rows }))
}
