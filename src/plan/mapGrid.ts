/** The map of outcomes as data: its points, what is known of each, and which point stands for another. Pure. */
import { keyOf, type NumberKey } from '../life/keys.ts'
import type { OutcomeName, Problem } from '../life/types.ts'
import { axisProblems, type MapAxis, valuesOf } from './mapAxes.ts'
import { OUTPUTS } from './outputs.ts'

/** Every point is run, or a coarse grid first and then only where something changes. */
export interface Refinement {
  /** Steps of the grid from one line of the first, coarse one to the next. */
  coarse: number
  /** Output (its id) whose strong bends are refined too, and whose absence counts as a difference. */
  by?: string | undefined
}

export interface MapWish {
  x: MapAxis
  y: MapAxis
  /** Without it every point is run. */
  refine?: Refinement | undefined
}

/** What is known of a point: the outcome of its life; not permitted by the rules of presets; not known. */
export type PointState = OutcomeName | 'not-permitted' | 'unknown'

/** How a point is known (`OutcomeMap.run`). */
export const OPEN = 0
/** Its own life was run, or the rules of presets forbid it. */
export const RUN = 1
/** Not run: all points that were run in and around its cell agree. */
export const AGREES = 2

/** Point (i, j) is at index j · x.length + i. */
export interface OutcomeMap {
  keys: [NumberKey, NumberKey]
  x: Float64Array
  y: Float64Array
  outcome: PointState[]
  run: Uint8Array
  /** By the id of each output, in its unit: of points that were run; NaN elsewhere, and where a life has none. */
  values: Record<string, Float64Array>
  /** Points with an answer of their own (`RUN`), and all points. */
  done: number
  total: number
  /** Part of the work that is done, 0–1. */
  share: number
  status: 'growing' | 'done' | 'stopped'
  /** Steps between the lines of the first grid; 1 where every point is run. */
  coarse: number
  /**
   * Index of the point whose result stands for a point as long as that is not run itself: the nearest one of the
   * coarser grid; −1 before there is one. A view paints outcome[standIn[k]].
   */
  standIn: Int32Array
}

export type MapStart = { ok: true; map: OutcomeMap } | { ok: false; problems: Problem[] }

function refineProblems({ refine }: MapWish): Problem[] {
  if (!refine) return []
  const problems: Problem[] = []
  if (!Number.isInteger(refine.coarse) || refine.coarse < 1 || refine.coarse > 200)
    problems.push({
      where: 'refine',
      message: `The first grid has steps of ${refine.coarse}. Permitted: whole numbers from 1 to 200.`,
    })
  if (refine.by !== undefined && !OUTPUTS.some(({ id }) => id === refine.by))
    problems.push({
      where: 'refine',
      message: `${JSON.stringify(refine.by)} is no output. There are: ${OUTPUTS.map(({ id }) => id).join(', ')}.`,
    })
  return problems
}

/** An empty map; problems if an axis is not one. */
export function emptyMap(wish: MapWish): MapStart {
  const { x, y, refine } = wish
  const problems = [...axisProblems('x', x), ...axisProblems('y', y), ...refineProblems(wish)]
  if (problems.length === 0 && x.key === y.key) {
    problems.push({ where: 'y', message: `Both axes are ${x.key}: choose two different keys.` })
  }
  if (problems.length > 0) return { ok: false, problems }
  const keys: [NumberKey, NumberKey] = [keyOf(x.key) as NumberKey, keyOf(y.key) as NumberKey]
  const total = x.count * y.count
  const nothing = () => new Float64Array(total).fill(Number.NaN)
  const map: OutcomeMap = {
    keys,
    x: valuesOf(x, keys[0].integer ?? false),
    y: valuesOf(y, keys[1].integer ?? false),
    outcome: new Array<PointState>(total).fill('unknown'),
    run: new Uint8Array(total),
    values: Object.fromEntries(OUTPUTS.map(({ id }) => [id, nothing()])),
    done: 0,
    total,
    share: 0,
    status: 'growing',
    coarse: refine?.coarse ?? 1,
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

/** First and last index that are nearest to `i` among the multiples of `step` below `n`; the last one takes the rest. */
const cellOf = (i: number, step: number, n: number): [number, number] => [
  Math.max(0, i - Math.floor((step - 1) / 2)),
  i + step >= n ? n - 1 : i + Math.floor(step / 2),
]

/** Lets point `index` stand for the points of its cell of the present grid that are not run yet. */
export function spread(map: OutcomeMap, index: number, step: number): void {
  const nx = map.x.length
  const ny = map.y.length
  const i0 = index % nx
  const j0 = (index - i0) / nx
  const [fromI, toI] = cellOf(i0, step, nx)
  const [fromJ, toJ] = cellOf(j0, step, ny)
  for (let j = fromJ; j <= toJ; j++) {
    for (let i = fromI; i <= toI; i++) {
      const k = j * nx + i
      if (map.run[k] !== RUN) map.standIn[k] = index
    }
  }
  map.standIn[index] = index
}

/** Index of each value of `fine` among those of `coarse`; −1 where it is not there. */
function placesIn(fine: Float64Array, coarse: Float64Array): number[] {
  const at = new Map(Array.from(coarse, (value, i) => [value, i]))
  return Array.from(fine, (value) => at.get(value) ?? -1)
}

/** Whether points of one map can be taken over into another: the same inputs from end to end. */
const sameEnds = (a: OutcomeMap, b: OutcomeMap): boolean =>
  a.keys.every(({ path }, i) => path === b.keys[i]!.path) &&
  (['x', 'y'] as const).every((axis) => a[axis][0] === b[axis][0] && a[axis].at(-1) === b[axis].at(-1))

/**
 * Takes over what `known` (of the same drop) knows of the points of `map`, which may be finer or coarser. Points of
 * another range are never taken, even where single values happen to agree. Gives the number of points taken.
 */
export function takeKnown(map: OutcomeMap, known: OutcomeMap): number {
  if (!sameEnds(map, known)) return 0
  const nx = map.x.length
  const across = placesIn(map.x, known.x)
  const up = placesIn(map.y, known.y)
  for (const { index, step } of coarseToFine(nx, map.y.length)) {
    const i = across[index % nx]!
    const j = up[Math.floor(index / nx)]!
    const from = j * known.x.length + i
    if (i < 0 || j < 0 || known.run[from] !== RUN) continue
    map.outcome[index] = known.outcome[from]!
    map.run[index] = RUN
    for (const [id, row] of Object.entries(map.values)) row[index] = known.values[id]?.[from] ?? Number.NaN
    map.done++
    spread(map, index, step)
  }
  return map.done
}
