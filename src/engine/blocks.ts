/**
 * Products of small blocks, which the compiled engine does two numbers at a time: this is the plain form, as in `memory.ts`;
 * `assembly/blocks.ts` takes its place, with the same results to the last bit.
 */
import type { Reals } from './memory.ts'

/**
 * Inverse of a block of size × size numbers, its rows at `first`, `next` apart, into rows at `at`, `width` apart, by
 * Gauss and Jordan without exchange of rows.
 * @returns the sum of the inverse pivots' sizes
 */
export function invert(to: Reals, at: i32, width: i32, size: i32, rows: Reals, first: i32, next: i32): f64 {
  for (let t = 0; t < size; t++) {
    for (let c = 0; c < size; c++) to[at + t * width + c] = rows[first + t * next + c]
  }
  let sum: f64 = 0
  for (let k = 0; k < size; k++) {
    const pivot = at + k * width
    const inverse = 1 / to[pivot + k]
    sum += Math.abs(inverse)
    to[pivot + k] = 1
    for (let c = 0; c < size; c++) to[pivot + c] *= inverse
    for (let t = 0; t < size; t++) {
      if (t === k) continue
      const row = at + t * width
      const f = to[row + k]
      to[row + k] = 0
      for (let c = 0; c < size; c++) to[row + c] -= to[pivot + c] * f
    }
  }
  return sum
}

/** Multipliers of a row, for a moment. */
const factors = new Float64Array(16)

/**
 * Takes a block (rows at `first`, `next` apart) out of a row of `reach` columns: its entries under the block become the
 * multipliers, which are they times the block's inverse (size × size, its rows as `invert` lays them).
 */
export function eliminateRow(
  rows: Reals,
  row: i32,
  first: i32,
  next: i32,
  inverse: Reals,
  at: i32,
  size: i32,
  reach: i32,
): void {
  const width = size + (size & 1)
  for (let c = 0; c < size; c++) {
    let sum = rows[row] * inverse[at + c]
    for (let k = 1; k < size; k++) sum += rows[row + k] * inverse[at + k * width + c]
    factors[c] = sum
  }
  for (let k = 0; k < size; k++) {
    const f = factors[k]
    rows[row + k] = f
    const pivot = first + k * next
    for (let c = size; c < reach; c++) rows[row + c] -= rows[pivot + c] * f
  }
}

/** x ← inverse·x, x having `size` numbers from place `k`: the even and the odd products added apart. */
export function multiply(x: Reals, k: i32, size: i32, inverse: Reals, at: i32, width: i32): void {
  const pairs = size & ~1
  for (let t = 0; t < size; t++) {
    const row = at + t * width
    let even: f64 = 0
    let odd: f64 = 0
    for (let c = 0; c < pairs; c += 2) {
      even += inverse[row + c] * x[k + c]
      odd += inverse[row + c + 1] * x[k + c + 1]
    }
    if (pairs < size) even += inverse[row + pairs] * x[k + pairs]
    factors[t] = even + odd
  }
  for (let t = 0; t < size; t++) x[k + t] = factors[t]
}

/** to[at + t] −= Σ_c rows[first + t·next + c]·x[k + c], t < count, c < terms: the even and the odd ones added apart. */
export function subtractProducts(
  to: Reals,
  at: i32,
  count: i32,
  rows: Reals,
  first: i32,
  next: i32,
  x: Reals,
  k: i32,
  terms: i32,
): void {
  const pairs = terms & ~1
  for (let t = 0; t < count; t++) {
    const row = first + t * next
    let even: f64 = 0
    let odd: f64 = 0
    for (let c = 0; c < pairs; c += 2) {
      even += rows[row + c] * x[k + c]
      odd += rows[row + c + 1] * x[k + c + 1]
    }
    if (pairs < terms) even += rows[row + pairs] * x[k + pairs]
    to[at + t] -= even + odd
  }
}
