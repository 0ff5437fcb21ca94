/**
 * Rows of real numbers and the loops over them that the compiled engine does two at a time. This is the plain form;
 * `assembly/memory.ts` takes its place where the engine is compiled, with the same results to the last bit.
 */

export type Reals = Float64Array

const apart = (n: number): Float64Array => new Float64Array(n)
let place = apart

/** A row of n zeros. */
export function reals(n: i32): Reals {
  return place(n)
}

/** What `make` makes, its rows being those that `from` gives, in the order in which they are asked for. */
export function made<T>(make: () => T, from: (n: number) => Float64Array): T {
  place = from
  try {
    return make()
  } finally {
    place = apart
  }
}

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

/** to ← from + Σ_j weight[j]·parts[j·stride + p], j < terms in this order, weights of zero left out; p < count. */
export function combine(
  to: Reals,
  from: Reals,
  weight: Reals,
  terms: i32,
  parts: Reals,
  stride: i32,
  count: i32,
): void {
  for (let p = 0; p < count; p++) {
    let sum = from[p]
    for (let j = 0; j < terms; j++) if (weight[j] !== 0) sum += weight[j] * parts[j * stride + p]
    to[p] = sum
  }
}

/** to ← −from, count entries. */
export function negate(to: Reals, from: Reals, count: i32): void {
  for (let p = 0; p < count; p++) to[p] = -from[p]
}

/** row ← 0, from place `first`, count entries. */
export function clear(row: Reals, first: i32, count: i32): void {
  row.fill(0, first, first + count)
}

/** to ← from, count entries. */
export function copy(to: Reals, from: Reals, count: i32): void {
  for (let p = 0; p < count; p++) to[p] = from[p]
}
