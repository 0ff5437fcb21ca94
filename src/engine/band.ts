/**
 * LU factorisation without pivoting of a block-pentadiagonal matrix whose far blocks hold `far` columns only:
 * unknown (i, j), 0 ≤ j < size, couples to all unknowns of cells i−1, i, i+1 and to the first `far` unknowns of
 * cells i ± 2. Stored by rows as a band; entry (p, q) lies at data[p·width + half + q − p].
 */
import { eliminateRow, subtractProducts } from './blocks.ts'
import { clear, negate, type Reals, reals } from './memory.ts'
import { backward, forward } from './triangles.ts'

export class Band {
  readonly half: i32
  readonly width: i32
  /** Columns that a block's pivots reach, from the block's first. */
  readonly reach: i32
  /** The matrix as it is filled in; left as it is by the factorisation. */
  readonly data: Reals
  /** The factors, two empty blocks with unit pivots behind them, which spare every test for the end. */
  readonly factors: Reals
  /** Right-hand side and solution. */
  readonly vector: Reals
  /** To be added to the diagonal besides the shift. */
  readonly extraDiagonal: Reals

  constructor(
    readonly blocks: i32,
    readonly size: i32,
    readonly far: i32,
  ) {
    const half = 2 * size + far - 1
    this.half = half
    // One spare entry, so that a row is a whole number of pairs.
    const width = 2 * half + 2
    this.width = width
    this.reach = 2 * size + far
    const rows = blocks * size
    const all = rows + 2 * size
    const factors = reals(all * width)
    for (let p = rows; p < all; p++) factors[p * width + half] = 1
    this.factors = factors
    this.data = reals(rows * width)
    this.vector = reals(all)
    this.extraDiagonal = reals(rows)
  }
}

/** Forgets matrix, factors and vectors: after it a band is as new, whatever (NaN, too) was solved with it before. */
export function clearBand(b: Band): void {
  const width = b.width
  const rows = b.blocks * b.size
  const all = rows + 2 * b.size
  clear(b.data, 0, rows * width)
  clear(b.factors, 0, all * width)
  clear(b.vector, 0, all)
  clear(b.extraDiagonal, 0, rows)
  for (let p = rows; p < all; p++) b.factors[p * width + b.half] = 1
}

/**
 * Factors shift·1 + extraDiagonal − data.
 * @returns a sum of sizes, finite if all pivots are finite and none is zero
 */
export function factorBand(b: Band, shift: f64): f64 {
  const factors = b.factors
  const blocks = b.blocks
  const size = b.size
  const width = b.width
  const rows = blocks * size
  negate(factors, b.data, rows * width)
  const extra = b.extraDiagonal
  let diagonal = b.half
  for (let p = 0; p < rows; p++) {
    factors[diagonal] = factors[diagonal] + shift + extra[p]
    diagonal += width
  }
  let sum: f64 = 0
  for (let i = 0; i < blocks; i++) sum += factorBlock(b, i * size * width + b.half)
  return sum
}

/** Eliminates the pivots of the block whose first diagonal entry lies at `first`; the sum of their inverses' sizes. */
function factorBlock(b: Band, first: i32): f64 {
  const factors = b.factors
  const size = b.size
  const reach = b.reach
  // Entry (t, c) of the block lies at first + t·next + c.
  const next = b.width - 1
  let sum: f64 = 0
  for (let t = 0; t < size; t++) {
    const row = first + t * next
    eliminateRow(factors, row, first, next, t, reach)
    const inverse = 1 / factors[row + t]
    factors[row + t] = inverse
    sum += Math.abs(inverse)
  }
  for (let t = size; t < reach; t++) eliminateRow(factors, first + t * next, first, next, size, reach)
  return sum
}

/** Solves in place of `vector` with the last factors. */
export function solveBand(b: Band): void {
  const blocks = b.blocks
  const size = b.size
  const beyond = b.reach - size
  const factors = b.factors
  const vector = b.vector
  const next = b.width - 1
  const rows = size * b.width
  let first = b.half
  let at = 0
  for (let i = 0; i < blocks; i++) {
    forward(vector, at, factors, first, next, size)
    subtractProducts(vector, at + size, beyond, factors, first + size * next, next, vector, at, size)
    first += rows
    at += size
  }
  for (let i = 0; i < blocks; i++) {
    first -= rows
    at -= size
    subtractProducts(vector, at, size, factors, first + size, next, vector, at + size, beyond)
    backward(vector, at, factors, first, next, size)
  }
}
