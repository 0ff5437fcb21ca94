/** Outcome, largest radius and life over two keys of a preset, filled in from coarse to fine. */
import { keyOf, type NumberKey } from '../life/keys.ts'
import { setKeys } from '../life/preset.ts'
import type { OutcomeName, Preset, Problem } from '../life/types.ts'
import { shownValue } from './figures.ts'
import { quickly, type RunLike, Work, type WorkHooks } from './work.ts'

/** One axis: evenly spaced values of a number key, in powers if `logarithmic`. */
export interface MapAxis {
  key: string
  from: number
  to: number
  count: number
  logarithmic?: boolean
}

export interface MapWish {
  x: MapAxis
  y: MapAxis
}

/** What is known of a point: the outcome of its life; not permitted by the rules of presets; not yet run. */
export type PointState = OutcomeName | 'not-permitted' | 'unknown'

/** Point (i, j) is at index j · x.length + i. SI; NaN where nothing is known. */
export interface OutcomeMap {
  keys: [NumberKey, NumberKey]
  x: Float64Array
  y: Float64Array
  outcome: PointState[]
  maxRadius: Float64Array
  /** Collapse, or else the end of the life, s; NaN for a lens, which only sits there. */
  life: Float64Array
  done: number
  total: number
  status: 'growing' | 'done' | 'stopped'
  /**
   * Index of the point whose result stands for a point as long as that is not run itself: the nearest one of the
   * coarser grid. A view paints outcome[standIn[k]].
   */
  standIn: Int32Array
}

const MOST_POINTS = 401

function valuesOf({ from, to, count, logarithmic }: MapAxis, integer: boolean): Float64Array {
  return Float64Array.from({ length: count }, (_, i) => {
    // The ends exactly: rounding must not carry them out of the permitted range.
    if (i === 0 || i === count - 1) return i === 0 ? from : to
    const share = i / (count - 1)
    const value = logarithmic ? from * (to / from) ** share : from + (to - from) * share
    return integer ? Math.round(value) : value
  })
}

function axisProblems(name: 'x' | 'y', axis: MapAxis): Problem[] {
  const problems: Problem[] = []
  const add = (message: string) => problems.push({ where: name, message })
  const key = keyOf(axis.key)
  if (key?.kind !== 'number') {
    add(`${shownValue(axis.key)} is not a number of a preset; an axis needs one, e.g. drop.volume_uL.`)
    return problems
  }
  for (const end of ['from', 'to'] as const) {
    const value = axis[end]
    if (value >= key.min && value <= key.max) continue
    add(
      `${axis.key} ${end} ${shownValue(value)}. Permitted: ${key.min} to ${key.max}${key.unit && ` ${key.unit}`}.`,
    )
  }
  if (axis.from === axis.to) add(`${axis.key} goes from ${axis.from} to ${axis.to}: the ends must differ.`)
  if (axis.logarithmic && !(axis.from > 0 && axis.to > 0))
    add(`${axis.key}: steps in powers need ends above 0.`)
  if (!Number.isInteger(axis.count) || axis.count < 2 || axis.count > MOST_POINTS) {
    add(
      `${axis.key} has ${shownValue(axis.count)} values. Permitted: whole numbers from 2 to ${MOST_POINTS}.`,
    )
  }
  return problems
}

export type MapStart = { ok: true; map: OutcomeMap } | { ok: false; problems: Problem[] }

/** An empty map; problems if an axis is not one. */
export function emptyMap({ x, y }: MapWish): MapStart {
  const problems = [...axisProblems('x', x), ...axisProblems('y', y)]
  if (problems.length === 0 && x.key === y.key) {
    problems.push({ where: 'y', message: `Both axes are ${x.key}: choose two different keys.` })
  }
  if (problems.length > 0) return { ok: false, problems }
  const keys: [NumberKey, NumberKey] = [keyOf(x.key) as NumberKey, keyOf(y.key) as NumberKey]
  const total = x.count * y.count
  const map: OutcomeMap = {
    keys,
    x: valuesOf(x, keys[0].integer ?? false),
    y: valuesOf(y, keys[1].integer ?? false),
    outcome: new Array<PointState>(total).fill('unknown'),
    maxRadius: new Float64Array(total).fill(Number.NaN),
    life: new Float64Array(total).fill(Number.NaN),
    done: 0,
    total,
    status: 'growing',
    standIn: new Int32Array(total).fill(-1),
  }
  return { ok: true, map }
}

/**
 * Order in which the points of a grid are run: corners of ever finer grids, so that the picture is there early and
 * sharpens. Every index occurs once.
 */
export function coarseToFine(nx: number, ny: number): { index: number; step: number }[] {
  const order: { index: number; step: number }[] = []
  const seen = new Uint8Array(nx * ny)
  let step = 1
  while (step * 2 < Math.max(nx, ny)) step *= 2
  for (; step >= 1; step /= 2) {
    for (let j = 0; j < ny; j += step) {
      for (let i = 0; i < nx; i += step) {
        const index = j * nx + i
        if (seen[index]) continue
        seen[index] = 1
        order.push({ index, step })
      }
    }
  }
  return order
}

/** A point that is to be run; without a preset where the rules of presets forbid it. */
interface Point {
  index: number
  step: number
  preset: Preset | null
}

/** All points in the order in which they are run. */
function* pointsOf(map: OutcomeMap, base: Preset, wish: MapWish): Generator<Point> {
  const nx = map.x.length
  for (const { index, step } of coarseToFine(nx, map.y.length)) {
    const i = index % nx
    const changed = setKeys(base, [
      [wish.x.key, map.x[i]!],
      [wish.y.key, map.y[(index - i) / nx]!],
    ])
    yield { index, step, preset: changed.ok ? changed.preset : null }
  }
}

/** Runs one point. */
async function fill(map: OutcomeMap, { index, preset }: Point, work: Work): Promise<void> {
  if (!preset) {
    map.outcome[index] = 'not-permitted'
    return
  }
  const life = await work.life(preset)
  if (work.stopped) return
  map.outcome[index] = life ? life.summary.outcome : 'failed'
  if (!life) return
  const { outcome, maxRadius, collapseTime, lifeEnd } = life.summary
  map.maxRadius[index] = maxRadius
  // The life of a lens is no life, and that of a drop still spread at the end of the computed time is not known.
  if (outcome === 'lens' || (outcome === 'spreads' && Number.isNaN(collapseTime))) return
  map.life[index] = Number.isNaN(collapseTime) ? lifeEnd : collapseTime
}

/** First and last index that are nearest to `i` among the multiples of `step` below `n`; the last one takes the rest. */
const cellOf = (i: number, step: number, n: number): [number, number] => [
  Math.max(0, i - Math.floor((step - 1) / 2)),
  i + step >= n ? n - 1 : i + Math.floor(step / 2),
]

/** Lets point `index` stand for the points of its cell of the present grid that are not run yet. */
function spread(map: OutcomeMap, index: number, step: number): void {
  const nx = map.x.length
  const ny = map.y.length
  const i0 = index % nx
  const j0 = (index - i0) / nx
  const [fromI, toI] = cellOf(i0, step, nx)
  const [fromJ, toJ] = cellOf(j0, step, ny)
  for (let j = fromJ; j <= toJ; j++) {
    for (let i = fromI; i <= toI; i++) {
      const k = j * nx + i
      if (map.outcome[k] === 'unknown') map.standIn[k] = index
    }
  }
  map.standIn[index] = index
}

export interface MapHooks extends WorkHooks {
  /** Called after every point with the map so far: always the same object, being filled. */
  grown?(map: OutcomeMap): void
  /** Keep the preset's accuracy instead of the quick one. */
  ownAccuracy?: boolean
}

/** Runs the lives of a map. A failed life is an outcome; a point against the rules of presets is skipped. */
export async function outcomeMap(
  preset: Preset,
  wish: MapWish,
  run: RunLike,
  hooks: MapHooks = {},
): Promise<MapStart> {
  const start = emptyMap(wish)
  if (!start.ok) return start
  const { map } = start
  const base = hooks.ownAccuracy ? preset : quickly(preset)
  const { progress: _, ...workHooks } = hooks
  const work = new Work(run, workHooks, map.total)
  const foresee = ({ preset: one }: Point) => one && work.foresee(one)
  for (const point of work.over(pointsOf(map, base, wish), foresee)) {
    await fill(map, point, work)
    if (work.stopped) break
    spread(map, point.index, point.step)
    map.done++
    hooks.progress?.(map.done, map.total)
    hooks.grown?.(map)
  }
  map.status = work.stopped ? 'stopped' : 'done'
  return { ok: true, map }
}
