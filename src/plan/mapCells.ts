/**
 * Which points of a refined map are run next. The first grid's cells are halved both ways wherever the points that were
 * run in and around them differ, or the chosen output bends; a cell is halved as soon as its middle points are known, so
 * that the tree of cells follows from the points alone and a map goes on from wherever it was left.
 *
 * At the end every point that was not run lies in a cell all of whose run points agree. Such a point can only be wrong as
 * part of an island: a connected piece of one outcome that no point that was run has touched. No island can hold a
 * corner of the first grid.
 */
import { AGREES, coarseToFine, OPEN, type OutcomeMap, RUN } from './mapGrid.ts'
import { onScale, spanOf } from './mapScale.ts'

/** The corners of a cell. */
interface Box {
  i0: number
  i1: number
  j0: number
  j1: number
}

/** A cell of the tree, and by how much the output is thought to bend in it, on its scale. */
interface Cell extends Box {
  bend: number
}

type Three = [number, number, number]

/** Part of an output's span by which it may stray from straight within a cell, as far as second differences tell. */
const MAY_BEND = 0.01

/** Lines of the first grid: every so many, and the last. */
const linesOf = (count: number, step: number): number[] => {
  const lines: number[] = []
  for (let i = 0; i < count - 1; i += step) lines.push(i)
  return [...lines, count - 1]
}

/** Ends and, unless these are neighbours, the middle between them. */
const halves = (from: number, to: number): number[] =>
  to - from > 1 ? [from, (from + to) >> 1, to] : [from, to]

/** Cells between lines, row by row. */
const boxesOf = (xs: readonly number[], ys: readonly number[]): Box[] =>
  ys.slice(1).flatMap((j1, q) => xs.slice(1).map((i1, p) => ({ i0: xs[p]!, i1, j0: ys[q]!, j1 })))

/** The larger of two numbers of which one may be NaN. */
const larger = (a: number, b: number): number => (a >= b || Number.isNaN(b) ? a : b)

/** What points are compared by: a number for each outcome (and whether the output is there), −1 for what was not run. */
function kindsOf(map: OutcomeMap, by: string | undefined): Int16Array {
  const names = new Map<string, number>()
  const values = by === undefined ? undefined : map.values[by]
  return Int16Array.from(map.outcome, (outcome, k) => {
    if (map.run[k] !== RUN) return -1
    const name = `${outcome} ${values ? Number.isFinite(values[k]!) : ''}`
    if (!names.has(name)) names.set(name, names.size)
    return names.get(name)!
  })
}

class Tree {
  private readonly nx: number
  private readonly kinds: Int16Array
  private readonly values: Float64Array | undefined
  private readonly mayBend: number

  constructor(
    private readonly map: OutcomeMap,
    by: string | undefined,
  ) {
    this.nx = map.x.length
    this.kinds = kindsOf(map, by)
    const values = by === undefined ? undefined : map.values[by]
    const span = values && spanOf(values)
    this.values = span ? values?.map((value) => onScale(value, span)) : undefined
    const width = span ? onScale(span.high, span) - onScale(span.low, span) : 0
    this.mayBend = width > 0 ? MAY_BEND * width : Number.POSITIVE_INFINITY
  }

  private at(i: number, j: number): number {
    return j * this.nx + i
  }

  /**
   * How far the output strays from straight in a cell of width `cell`, from three points of one row or column at
   * places a < m < b: the second difference, taken to that width. NaN where they cannot be compared.
   */
  private stray(across: boolean, line: number, a: number, m: number, b: number, cell: number): number {
    const { kinds, values } = this
    const [p, q, r] = [a, m, b].map((place) =>
      across ? this.at(place, line) : this.at(line, place),
    ) as Three
    if (!values || kinds[p]! < 0 || kinds[p] !== kinds[q] || kinds[q] !== kinds[r]) return Number.NaN
    const straight = values[p]! + ((values[r]! - values[p]!) * (m - a)) / (b - a)
    return (Math.abs(values[q]! - straight) * cell * cell) / (4 * (m - a) * (b - m))
  }

  /** The next point on a row or column that was run, from `from` on; −1 if there is none. */
  private nextRun(across: boolean, line: number, from: number, step: 1 | -1): number {
    const end = across ? this.nx : this.map.y.length
    for (let place = from + step; place >= 0 && place < end; place += step)
      if (this.kinds[across ? this.at(place, line) : this.at(line, place)]! >= 0) return place
    return -1
  }

  /** How far the output strays from straight between a and b, told by the next points on both sides of them. */
  private besides(across: boolean, lines: readonly number[], a: number, b: number): number {
    let most = 0
    for (const line of lines) {
      const before = this.nextRun(across, line, a, -1)
      const after = this.nextRun(across, line, b, 1)
      if (before >= 0) most = larger(most, this.stray(across, line, before, a, b, b - a))
      if (after >= 0) most = larger(most, this.stray(across, line, a, b, after, b - a))
    }
    return most
  }

  private bendOf({ i0, i1, j0, j1 }: Box): number {
    return this.besides(true, [j0, j1], i0, i1) + this.besides(false, [i0, i1], j0, j1)
  }

  /** Cells of the first grid. */
  *roots(): Generator<Cell> {
    const xs = linesOf(this.nx, this.map.coarse)
    const ys = linesOf(this.map.y.length, this.map.coarse)
    for (const box of boxesOf(xs, ys)) yield { ...box, bend: this.values ? this.bendOf(box) : 0 }
  }

  /** Points that halve a cell; none where it is of the finest size. */
  splitPoints({ i0, i1, j0, j1 }: Box): number[] {
    const xs = halves(i0, i1)
    const ys = halves(j0, j1)
    const corner = (i: number, j: number) => (i === i0 || i === i1) && (j === j0 || j === j1)
    return ys.flatMap((j) => xs.filter((i) => !corner(i, j)).map((i) => this.at(i, j)))
  }

  /** The largest stray along some rows or columns of a cell that has been halved, in its halves; NaN if none can be told. */
  private halved(across: boolean, lines: readonly number[], places: readonly number[]): number {
    const [a, m, b] = places as Three
    if (b === undefined) return 0
    return lines.reduce((most, line) => larger(most, this.stray(across, line, a, m, b, m - a)), Number.NaN)
  }

  private children({ i0, i1, j0, j1 }: Cell): Cell[] {
    const xs = halves(i0, i1)
    const ys = halves(j0, j1)
    const bend = this.values ? this.halved(true, ys, xs) + this.halved(false, xs, ys) : 0
    return boxesOf(xs, ys).map((box) => ({ ...box, bend: Number.isNaN(bend) ? this.bendOf(box) : bend }))
  }

  /** Cells that are not halved yet. */
  *leaves(): Generator<Cell> {
    const waiting = [...this.roots()].reverse()
    for (let cell = waiting.pop(); cell; cell = waiting.pop()) {
      const middle = this.splitPoints(cell)
      if (middle.length > 0 && middle.every((k) => this.map.run[k] === RUN))
        waiting.push(...this.children(cell).reverse())
      else yield cell
    }
  }

  /** Whether the points that were run in a cell, its border included, are all of one kind. */
  private isEven({ i0, i1, j0, j1 }: Cell): boolean {
    const kind = this.kinds[this.at(i0, j0)]!
    for (let j = j0; j <= j1; j++) {
      for (let i = i0; i <= i1; i++) {
        const other = this.kinds[this.at(i, j)]!
        if (other >= 0 && other !== kind) return false
      }
    }
    return true
  }

  /** Whether a cell is to be halved. */
  asks(cell: Cell): boolean {
    if (cell.i1 - cell.i0 <= 1 && cell.j1 - cell.j0 <= 1) return false
    return cell.bend > this.mayBend || !this.isEven(cell)
  }
}

const sizeOf = ({ i0, i1, j0, j1 }: Cell): number => Math.max(i1 - i0, j1 - j0)

/** A point that is to be run, and how far its result stands for others meanwhile. */
export interface NextPoint {
  index: number
  step: number
}

/** Points of the first grid that are not known, coarse to fine. */
function firstGrid(map: OutcomeMap): NextPoint[] {
  const xs = linesOf(map.x.length, map.coarse)
  const ys = linesOf(map.y.length, map.coarse)
  return coarseToFine(xs.length, ys.length)
    .map(({ index, step }) => ({
      index: ys[Math.floor(index / xs.length)]! * map.x.length + xs[index % xs.length]!,
      step: step * map.coarse,
    }))
    .filter(({ index }) => map.run[index] !== RUN)
}

/** What is to be run next, the largest cells first; none when the map is whole. `share`: part of the work behind it. */
export interface NextPoints {
  points: NextPoint[]
  share: number
}

/** The next points of a refined map. */
export function nextPoints(map: OutcomeMap, by: string | undefined): NextPoints {
  const levels = Math.ceil(Math.log2(Math.max(2, map.coarse))) + 1
  const first = firstGrid(map)
  if (first.length > 0) return { points: first, share: 0 }
  const tree = new Tree(map, by)
  const asking = [...tree.leaves()].filter((cell) => tree.asks(cell))
  const largest = Math.max(0, ...asking.map(sizeOf))
  const points = new Map<number, NextPoint>()
  for (const cell of asking) {
    if (sizeOf(cell) < largest) continue
    for (const index of tree.splitPoints(cell)) {
      if (map.run[index] !== RUN) points.set(index, { index, step: Math.max(1, largest >> 1) })
    }
  }
  const order = [...points.values()].sort((a, b) => a.index - b.index)
  const share = largest > 1 ? (levels - Math.ceil(Math.log2(largest))) / levels : 1
  return { points: order, share: Math.min(1, Math.max(0, share)) }
}

/** Notes which points that were not run have agreeing neighbours; their outcome is that of these. */
export function noteAgreement(map: OutcomeMap, by: string | undefined): void {
  for (let k = 0; k < map.total; k++) {
    if (map.run[k] === RUN) continue
    map.run[k] = OPEN
    map.outcome[k] = 'unknown'
  }
  if (map.coarse <= 1 || firstGrid(map).length > 0) return
  const tree = new Tree(map, by)
  const asking: Cell[] = []
  for (const cell of tree.leaves()) {
    if (tree.asks(cell)) asking.push(cell)
    else mark(map, cell, AGREES)
  }
  for (const cell of asking) mark(map, cell, OPEN)
}

function mark(map: OutcomeMap, { i0, i1, j0, j1 }: Cell, how: number): void {
  const nx = map.x.length
  const outcome = how === AGREES ? map.outcome[j0 * nx + i0]! : 'unknown'
  for (let j = j0; j <= j1; j++) {
    for (let i = i0; i <= i1; i++) {
      const k = j * nx + i
      if (map.run[k] === RUN) continue
      map.run[k] = how
      map.outcome[k] = outcome
    }
  }
}

/**
 * An output at every point: that of its own life, else between the corners of its cell (their mean by distance), else
 * that of the point that stands for it. NaN where there is none.
 */
export function shownValues(map: OutcomeMap, by: string): Float64Array {
  const own = map.values[by]!
  const shown = Float64Array.from(own, (value, k) =>
    map.run[k] === RUN ? value : (own[map.standIn[k]!] ?? Number.NaN),
  )
  if (map.coarse <= 1 || firstGrid(map).length > 0) return shown
  const nx = map.x.length
  for (const { i0, i1, j0, j1 } of new Tree(map, undefined).leaves()) {
    const [a, b, c, d] = [own[j0 * nx + i0]!, own[j0 * nx + i1]!, own[j1 * nx + i0]!, own[j1 * nx + i1]!]
    if (!Number.isFinite(a + b + c + d)) continue
    for (let j = j0; j <= j1; j++) {
      for (let i = i0; i <= i1; i++) {
        const k = j * nx + i
        if (map.run[k] !== AGREES) continue
        const [u, v] = [(i - i0) / (i1 - i0), (j - j0) / (j1 - j0)]
        shown[k] = (1 - v) * ((1 - u) * a + u * b) + v * ((1 - u) * c + u * d)
      }
    }
  }
  return shown
}
