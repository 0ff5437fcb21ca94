/**
 * Block LU factorisation, without exchange of rows, of a block-pentadiagonal matrix whose far blocks hold `far` columns only:
 * unknown (i, j), 0 ≤ j < size, couples to all unknowns of cells i−1, i, i+1 and to the first `far` unknowns of
 * cells i ± 2. Stored by rows as a band; entry (p, q) lies at data[p·width + half + q − p].
 */
import { eliminateRow, invert, multiply, subtractProducts } from './blocks.ts'
import { clear, negate, type Reals, reals } from './memory.ts'

export class Band {
  readonly half: i32
  readonly width: i32
  /** Columns that a block's pivots reach, from the block's first. */
  readonly reach: i32
  /** The matrix as it is filled in; left as it is by the factorisation. */
  readonly data: Reals
  /** The factors, two empty blocks with unit pivots behind them, which spare every test for the end. */
  readonly factors: Reals
  /** The inverses of the blocks on the diagonal, by rows of a whole number of pairs. */
  readonly inverses: Reals
  readonly inverseWidth: i32
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
    const inverseWidth = size + (size & 1)
    this.inverseWidth = inverseWidth
    this.inverses = reals(blocks * size * inverseWidth)
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
  clear(b.inverses, 0, rows * b.inverseWidth)
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
  for (let i = 0; i < blocks; i++) sum += factorBlock(b, i, i * size * width + b.half)
  return sum
}

/**
 * Inverts block i, whose first diagonal entry lies at `first`, and takes it out of the rows below: of those the entries under
 * the block become multipliers. An inverse costs more products than triangles do, but these wait for each other.
 * @returns the sum of the inverse pivots' sizes
 */
function factorBlock(b: Band, i: i32, first: i32): f64 {
  const factors = b.factors
  const inverses = b.inverses
  const size = b.size
  const reach = b.reach
  // Entry (t, c) of the block lies at first + t·next + c.
  const next = b.width - 1
  const inverse = i * size * b.inverseWidth
  const sum = invert(inverses, inverse, b.inverseWidth, size, factors, first, next)
  for (let t = size; t < reach; t++)
    eliminateRow(factors, first + t * next, first, next, inverses, inverse, size, reach)
  return sum
}

/** Solves in place of `vector` with the last factors. */
export function solveBand(b: Band): void {
  const blocks = b.blocks
  const size = b.size
  const reach = b.reach
  const factors = b.factors
  const vector = b.vector
  const next = b.width - 1
  const rows = size * b.width
  let first = b.half
  let at = 0
  for (let i = 0; i < blocks; i++) {
    subtractProducts(vector, at + size, reach - size, factors, first + size * next, next, vector, at, size)
    first += rows
    at += size
  }
  const inverse = size * b.inverseWidth
  for (let i = blocks - 1; i >= 0; i--) {
    first -= rows
    at -= size
    subtractProducts(vector, at, size, factors, first + size, next, vector, at + size, reach - size)
    multiply(vector, at, size, b.inverses, i * inverse, b.inverseWidth)
  }
}
