/** Rows with known roles and units → curves. */
import { META_NUMBERS, type MetaSource, readMeta, readProvenance } from './metaColumns.ts'
import { type BadCell, type NumberTable, readNumbers } from './numbers.ts'
import { type Group, groupRows, pairColumns, type Task } from './pairing.ts'
import {
  type Built,
  type Context,
  collect,
  gather,
  inSIUnits,
  orderOf,
  place,
  type RowSource,
  SHOWN_PROBLEMS,
  short,
  type TaskValues,
} from './points.ts'
import { ownNumber } from './tidyTitles.ts'
import type { Choices, Column, ColumnRole, MeasuredCurve, Problem } from './types.ts'
import { inPixels, isAreaUnit } from './units.ts'

/** Builds the curves. All units must be known; frames need `choices.framesPerSecond`. */
export function buildCurves(source: RowSource, columns: readonly Column[], choices: Choices): Built {
  const built: Built = {
    curves: [],
    skipped: [],
    warnings: [],
    problems: [],
    unsorted: false,
    ambiguous: false,
    bad: false,
  }
  const tasks = pairColumns(columns, source.header, built.warnings)
  built.problems.push(...wrongUncertainties(source, tasks))
  source.progress?.(0.6, 'reading numbers')
  const numbers = readTableNumbers(source, columns, choices)
  built.warnings.push(...numbers.warnings)
  const bad = takeBad(source, numbers, choices, built)
  if (built.problems.length) return built
  source.progress?.(0.85, 'building curves')
  const groups = groupRows(source.rows, columns, built.warnings)
  const context: Context = { source, numbers, choices, built, columns, bad }
  const values = tasks.map((task) => inSIUnits(context, task))
  for (const group of groups) {
    const rows = group.rows ?? [...source.rows.keys()]
    const meta = readMeta(metaSource(context), columns, rows)
    const provenance = readProvenance(metaSource(context), columns, rows)
    const told = { meta, ...(provenance ? { provenance } : {}) }
    tasks.forEach((task, k) => {
      buildOne(context, task, values[k]!, group, told, tasks.length)
    })
  }
  if (!built.curves.length && !built.problems.length) {
    built.problems.push({ where: source.file, message: 'No row holds both a time and a radius.' })
  }
  finish(built, source.file)
  return built
}

/** Cells that hold no number: a problem each, or, if the user says so, rows to be left out. */
function takeBad(
  source: RowSource,
  numbers: NumberTable,
  choices: Choices,
  built: Built,
): Map<number, BadCell> {
  const at = (cell: BadCell) => place(source, cell.row, cell.column)
  built.bad = numbers.bad.length > 0 && !numbers.bad.some(({ whole }) => whole)
  if (built.bad && choices.skipBad) return new Map(numbers.bad.map((cell) => [cell.row, cell]))
  for (const bad of numbers.bad.slice(0, SHOWN_PROBLEMS)) {
    built.problems.push({ where: at(bad), message: `"${short(bad.text)}": ${bad.why}.` })
  }
  if (numbers.bad.length > SHOWN_PROBLEMS) {
    const message = `… and ${numbers.bad.length - SHOWN_PROBLEMS} more such cells.`
    built.problems.push({ where: source.file, message })
  }
  if (numbers.ambiguous) {
    const { text, why } = numbers.ambiguous
    built.ambiguous = true
    const message = `"${text}": ${why}; say which decimal mark the table uses.`
    built.problems.push({ where: at(numbers.ambiguous), message })
  }
  return new Map()
}

function readTableNumbers(source: RowSource, columns: readonly Column[], choices: Choices): NumberTable {
  const counted = new Set<ColumnRole>(['time', 'radius', 'diameter', 'area', 'uncertainty', ...META_NUMBERS])
  const used = columns
    .filter(
      ({ role, index }) => counted.has(role) || (role === 'own' && ownNumber(source.header[index] ?? '')),
    )
    .map((column) => column.index)
  const times = columns.filter((column) => column.role === 'time').map((column) => column.index)
  return readNumbers(source.rows, used, times, choices.decimalMark)
}

const metaSource = ({ source, numbers, built }: Context): MetaSource => ({
  ...source,
  numberAt: (column, row) => numbers.columns.get(column)![row]!,
  complain(row, column, message) {
    if (built.problems.length < SHOWN_PROBLEMS)
      built.problems.push({ where: place(source, row, column), message })
  },
})

function buildOne(
  context: Context,
  task: Task,
  values: TaskValues,
  group: Group,
  told: Pick<MeasuredCurve, 'meta' | 'provenance'>,
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
    ...told,
    meta: { ...told.meta },
    file: source.file,
  }
  if (points.uncertainty) curve.uncertainty = pick(points.uncertainty)
  if (points.shared) curve.shared = points.shared.map(({ cause, shift }) => ({ cause, shift: pick(shift) }))
  if (points.excluded) {
    const { excluded } = points
    curve.excluded = order.sorted ? Uint8Array.from(order.index, (i) => excluded[i]!) : excluded
  }
  built.curves.push(withScale(curve, task, choices))
}

/**
 * Where sizes were counted in pixels: what the scale was, and its uncertainty as an error that all points share. Where the
 * points have no uncertainty of their own it stays one of the whole curve.
 */
function withScale(curve: MeasuredCurve, task: Task, choices: Choices): MeasuredCurve {
  if (!inPixels(task.radius.unit)) return curve
  const { millimetresPerPixel: scale = Number.NaN, millimetresPerPixelError: error = 0 } = choices
  const share = error / scale
  const provenance = {
    ...curve.provenance,
    metresPerPixel: scale / 1000,
    ...(error > 0 ? { scaleUncertainty: share } : {}),
  }
  if (!(error > 0)) return { ...curve, provenance }
  const { radius, uncertainty, meta } = curve
  if (!uncertainty)
    return { ...curve, meta: { ...meta, sigma: { ...meta.sigma, radiusScale: share } }, provenance }
  const shift = radius.map((r) => share * r)
  const whole = uncertainty.map((own, i) => Math.hypot(own, shift[i]!))
  return { ...curve, uncertainty: whole, shared: [{ cause: 'scale', shift }], provenance }
}

/** An uncertainty that is an area beside a radius, which says nothing. */
function wrongUncertainties(source: RowSource, tasks: readonly Task[]): Problem[] {
  return tasks
    .filter(({ radius, uncertainty }) => radius.role !== 'area' && isAreaUnit(uncertainty?.unit))
    .map(({ uncertainty }) => ({
      where: `${source.file}, column ${uncertainty!.index + 1}`,
      message: `An uncertainty in ${uncertainty!.unit} belongs to an area, not to a radius or a diameter.`,
    }))
}

function curveName(task: Task, group: Group, file: string, taskCount: number): string {
  const column = task.radius.name ?? (taskCount > 1 ? `column ${task.radius.index + 1}` : '')
  if (group.name) return taskCount > 1 ? `${group.name} ${column}`.trim() : group.name
  return column || file.replace(/\.[^.]*$/, '') || 'curve'
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
