/**
 * Products of small blocks, which the compiled engine does two numbers at a time: this is the plain form, as in `memory.ts`;
 * `assembly/blocks.ts` takes its place, with the same results to the last bit.
 */
import type { Reals } from './memory.ts'

/**
 * Takes the part of the first `pivots` rows (the first at `first`, `next` apart, with inverted pivots) out of a row of so many
 * columns: its entries at the pivots become the multipliers.
 */
export function eliminateRow(rows: Reals, row: i32, first: i32, next: i32, pivots: i32, reach: i32): void {
  for (let j = 0; j < pivots; j++) {
    const pivot = first + j * next
    const f = rows[row + j] * rows[pivot + j]
    rows[row + j] = f
    for (let c = j + 1; c < reach; c++) rows[row + c] -= rows[pivot + c] * f
  }
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
