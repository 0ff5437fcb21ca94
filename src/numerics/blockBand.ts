import { Body, type FunctionSpec, instantiate } from './wasmModule.ts'

/**
 * LU factorisation without pivoting of a block-pentadiagonal matrix whose far blocks hold `far` columns only:
 * unknown (i, j), 0 ≤ j < size, couples to all unknowns of cells i−1, i, i+1 and to the first `far` unknowns of
 * cells i ± 2. Stored by rows as a band; entry (p, q) lies at data[p·width + half + q − p].
 *
 * The kernels are straight-line WebAssembly made for the block size: per block one pass over the rows that its pivots
 * reach, each row held in registers. Two empty blocks behind the last spare every test for the end.
 */
export class BlockBand {
  readonly half: number
  readonly width: number
  /** The matrix as it is filled in; left as it is by `factor`. */
  readonly data: Float64Array
  /** Right-hand side and solution. */
  readonly vector: Float64Array
  /** To be added to the diagonal in `factor` besides the shift. */
  readonly extraDiagonal: Float64Array
  private readonly kernel: Record<string, (...args: number[]) => number>
  /** All that the kernels read and write. */
  private readonly room: Float64Array
  /** Places in `room` of the unit pivots of the two empty blocks. */
  private readonly units: number[]

  constructor(
    readonly blocks: number,
    readonly size: number,
    readonly far: number,
  ) {
    const layout = layoutOf(blocks, size, far)
    this.half = layout.half
    this.width = layout.width
    const functions = [factorKernel(layout), solveKernel(layout)]
    const { memory, call } = instantiate(functions, layout.bytes)
    this.kernel = call
    const rows = blocks * size
    this.data = new Float64Array(memory.buffer, layout.dataAt, rows * layout.width)
    this.vector = new Float64Array(memory.buffer, layout.vectorAt, rows)
    this.extraDiagonal = new Float64Array(memory.buffer, layout.diagonalAt, rows)
    this.room = new Float64Array(memory.buffer)
    this.units = Array.from(
      { length: 2 * size },
      (_, k) => layout.factorsAt / 8 + (rows + k) * layout.width + layout.half,
    )
    this.clear()
  }

  /** Forgets matrix, factors and vectors: after it a band is as new, whatever (NaN, too) was solved with it before. */
  clear(): void {
    this.room.fill(0)
    for (const at of this.units) this.room[at] = 1
  }

  /**
   * Factors shift·1 + extraDiagonal − data.
   * @returns false at a zero or non-finite pivot
   */
  factor(shift: number): boolean {
    return Number.isFinite(this.kernel.factor(shift))
  }

  /** Solves in place of `vector` with the last factors. */
  solve(): void {
    this.kernel.solve()
  }
}

interface Layout {
  blocks: number
  size: number
  far: number
  half: number
  width: number
  /** Columns that a block's pivots reach, from the block's first. */
  reach: number
  dataAt: number
  factorsAt: number
  vectorAt: number
  diagonalAt: number
  bytes: number
}

function layoutOf(blocks: number, size: number, far: number): Layout {
  const half = 2 * size + far - 1
  // One spare entry, so that pairs may run over the end of a row.
  const width = 2 * half + 2
  const rows = (blocks + 2) * size
  const dataAt = 16
  const factorsAt = dataAt + rows * width * 8 + 64
  const vectorAt = factorsAt + rows * width * 8 + 64
  const diagonalAt = vectorAt + rows * 8 + 64
  return {
    blocks,
    size,
    far,
    half,
    width,
    reach: 2 * size + far,
    dataAt,
    factorsAt,
    vectorAt,
    diagonalAt,
    bytes: diagonalAt + rows * 8 + 64,
  }
}

/** Byte offset, from the block's first row, of row t at the block's column c. */
const entry = (l: Layout, t: number, c: number): number => (t * l.width + l.half + c - t) * 8

/** factors ← shift·1 + extra − data, then LU by blocks; returns a sum that is finite if all pivots are. */
function factorKernel(l: Layout): FunctionSpec {
  const b = new Body(['f64'])
  copyShifted(b, l)
  const base = b.local('i32')
  const sum = b.local('f64')
  const factor = b.local('f64')
  const spread = b.local('v128')
  const inverse = Array.from({ length: l.size }, () => b.local('f64'))
  const pairs = Math.ceil(l.reach / 2)
  const row = Array.from({ length: pairs }, () => b.local('v128'))
  const eliminate = (j: number) => {
    const own = j >> 1
    b.get(row[own])
      .extract(j & 1)
      .get(inverse[j])
      .mul()
      .set(factor)
    b.get(factor).splat().set(spread)
    for (let c = j & 1 ? own + 1 : own; c < pairs; c++) {
      b.get(row[c])
        .get(base)
        .loadPair(l.factorsAt + entry(l, j, 2 * c))
        .get(spread)
        .mulPair()
        .subPair()
        .set(row[c])
    }
    b.get(row[own])
      .get(factor)
      .replace(j & 1)
      .set(row[own])
  }
  const end = l.blocks * l.size * l.width * 8
  b.loop(() => {
    for (let t = 0; t < l.reach; t++) {
      for (let c = 0; c < pairs; c++)
        b.get(base)
          .loadPair(l.factorsAt + entry(l, t, 2 * c))
          .set(row[c])
      for (let j = 0; j < Math.min(t, l.size); j++) eliminate(j)
      if (t < l.size) {
        b.real(1)
          .get(row[t >> 1])
          .extract(t & 1)
          .div()
          .set(inverse[t])
        b.get(row[t >> 1])
          .get(inverse[t])
          .replace(t & 1)
          .set(row[t >> 1])
        b.get(sum).get(inverse[t]).abs().add().set(sum)
      }
      for (let c = 0; c < pairs; c++)
        b.get(base)
          .get(row[c])
          .storePair(l.factorsAt + entry(l, t, 2 * c))
    }
    b.get(base)
      .int(l.size * l.width * 8)
      .addInt()
      .set(base)
    b.get(base).int(end).less()
  })
  b.get(sum)
  return { name: 'factor', parameters: ['f64'], results: ['f64'], body: b }
}

function copyShifted(b: Body, l: Layout): void {
  const at = b.local('i32')
  const bytes = l.blocks * l.size * l.width * 8
  b.loop(() => {
    for (let k = 0; k < 2; k++)
      b.get(at)
        .get(at)
        .loadPair(l.dataAt + 16 * k)
        .negPair()
        .storePair(l.factorsAt + 16 * k)
    b.get(at).int(32).addInt().set(at)
    b.get(at).int(bytes).less()
  })
  const row = b.local('i32')
  const diagonal = b.local('i32')
  const entryAt = l.factorsAt + l.half * 8
  b.loop(() => {
    b.get(row).get(row).load(entryAt).get(0).add().get(diagonal).load(l.diagonalAt).add().store(entryAt)
    b.get(row)
      .int(l.width * 8)
      .addInt()
      .set(row)
    b.get(diagonal).int(8).addInt().set(diagonal)
    b.get(row).int(bytes).less()
  })
}

function solveKernel(l: Layout): FunctionSpec {
  const b = new Body([])
  const base = b.local('i32')
  const vector = b.local('i32')
  const value = Array.from({ length: l.size }, () => b.local('f64'))
  const acc = b.local('v128')
  const pairs = Math.ceil(l.reach / 2)
  const x = Array.from({ length: pairs }, () => b.local('v128'))
  const ownPairs = Math.ceil(l.size / 2)
  const stepRows = l.size * l.width * 8
  const stepVector = l.size * 8
  forwardPass(b, l, { base, vector, value, acc, x, ownPairs, stepRows, stepVector })
  b.int((l.blocks - 1) * stepRows).set(base)
  b.int((l.blocks - 1) * stepVector).set(vector)
  backwardPass(b, l, { base, vector, value, acc, x, ownPairs, stepRows, stepVector })
  return { name: 'solve', parameters: [], results: [], body: b }
}

interface SolveLocals {
  base: number
  vector: number
  value: number[]
  acc: number
  x: number[]
  ownPairs: number
  stepRows: number
  stepVector: number
}

function forwardPass(b: Body, l: Layout, s: SolveLocals): void {
  const { base, vector, value, acc, x } = s
  const zeroTail = l.size % 2 === 1
  b.loop(() => {
    for (let t = 0; t < l.size; t++) {
      b.get(vector).load(l.vectorAt + 8 * t)
      for (let j = 0; j < t; j++)
        b.get(base)
          .load(l.factorsAt + entry(l, t, j))
          .get(value[j])
          .mul()
          .sub()
      b.set(value[t])
      b.get(vector)
        .get(value[t])
        .store(l.vectorAt + 8 * t)
    }
    for (let c = 0; c < s.ownPairs; c++) {
      b.get(value[2 * c]).splat()
      if (2 * c + 1 < l.size) b.get(value[2 * c + 1]).replace(1)
      else if (zeroTail) b.real(0).replace(1)
      b.set(x[c])
    }
    for (let t = l.size; t < l.reach; t++) {
      b.get(base)
        .loadPair(l.factorsAt + entry(l, t, 0))
        .get(x[0])
        .mulPair()
      for (let c = 1; c < s.ownPairs; c++)
        b.get(base)
          .loadPair(l.factorsAt + entry(l, t, 2 * c))
          .get(x[c])
          .mulPair()
          .addPair()
      b.set(acc)
      b.get(vector)
        .get(vector)
        .load(l.vectorAt + 8 * t)
      b.get(acc).extract(0).get(acc).extract(1).add().sub()
      b.store(l.vectorAt + 8 * t)
    }
    b.get(base).int(s.stepRows).addInt().set(base)
    b.get(vector).int(s.stepVector).addInt().set(vector)
    b.get(base)
      .int(l.blocks * s.stepRows)
      .less()
  })
}

function backwardPass(b: Body, l: Layout, s: SolveLocals): void {
  const { base, vector, value, acc, x } = s
  const pairs = x.length
  const first = l.size >> 1
  b.loop(() => {
    for (let c = first; c < pairs; c++) {
      b.get(vector).loadPair(l.vectorAt + 16 * c)
      if (2 * c < l.size) b.real(0).replace(0)
      if (2 * c + 1 >= l.reach) b.real(0).replace(1)
      b.set(x[c])
    }
    for (let t = l.size - 1; t >= 0; t--) {
      b.get(base)
        .loadPair(l.factorsAt + entry(l, t, 2 * first))
        .get(x[first])
        .mulPair()
      for (let c = first + 1; c < pairs; c++) {
        b.get(base)
          .loadPair(l.factorsAt + entry(l, t, 2 * c))
          .get(x[c])
          .mulPair()
          .addPair()
      }
      b.set(acc)
      b.get(vector)
        .load(l.vectorAt + 8 * t)
        .get(acc)
        .extract(0)
        .get(acc)
        .extract(1)
        .add()
        .sub()
      for (let j = t + 1; j < l.size; j++)
        b.get(base)
          .load(l.factorsAt + entry(l, t, j))
          .get(value[j])
          .mul()
          .sub()
      b.get(base)
        .load(l.factorsAt + entry(l, t, t))
        .mul()
        .set(value[t])
      b.get(vector)
        .get(value[t])
        .store(l.vectorAt + 8 * t)
    }
    b.get(base).int(-s.stepRows).addInt().set(base)
    b.get(vector).int(-s.stepVector).addInt().set(vector)
    b.get(base).int(0).atLeast()
  })
}
