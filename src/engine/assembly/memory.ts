// AssemblyScript: takes the place of ../memory.ts where the engine is compiled.

/** A row of real numbers: its address. */
@unmanaged
@final
export class Reals {
  @inline
  @operator('[]')
  private at(i: i32): f64 {
    return load<f64>(changetype<usize>(this) + ((<usize>i) << 3))
  }

  @inline
  @operator('[]=')
  private put(i: i32, x: f64): void {
    store<f64>(changetype<usize>(this) + ((<usize>i) << 3), x)
  }
}

/** Addresses of the rows made so far, for whoever looks at them from outside. */
const MOST: i32 = 256
const rows: usize = heap.alloc(<usize>MOST << 2)
let count: i32 = 0

export function reals(n: i32): Reals {
  // A pair may be read over the end of a row.
  const bytes: usize = (<usize>n + 2) << 3
  const at = heap.alloc(bytes)
  memory.fill(at, 0, bytes)
  if (count >= MOST) unreachable()
  store<i32>(rows + (<usize>count << 2), <i32>at)
  count++
  return changetype<Reals>(at)
}

/** Address of the row made as number k. */
export function rowAt(k: i32): usize {
  return <usize>load<i32>(rows + (<usize>k << 2))
}

@inline
function address(row: Reals, i: i32): usize {
  return changetype<usize>(row) + ((<usize>i) << 3)
}

/** Numbers of pivots for which elimination and products are written out: sizes of classes of bytes. */
@unmanaged
class Five {
  a: i8
  b: i8
  c: i8
  d: i8
  e: i8
}
@unmanaged
class Six {
  a: i8
  b: i8
  c: i8
  d: i8
  e: i8
  f: i8
}
@unmanaged
class Eight {
  a: i8
  b: i8
  c: i8
  d: i8
  e: i8
  f: i8
  g: i8
  h: i8
}

@inline
function real(at: usize, k: i32): f64 {
  return load<f64>(at + ((<usize>k) << 3))
}

export function eliminateRow(rows: Reals, row: i32, first: i32, next: i32, pivots: i32, reach: i32): void {
  const at = address(rows, row)
  const above = address(rows, first)
  const step = (<usize>next) << 3
  if (pivots == 6) return eliminate<Six>(at, above, step, reach)
  if (pivots == 8) return eliminate<Eight>(at, above, step, reach)
  if (pivots == 5) return eliminate<Five>(at, above, step, reach)
  eliminateAny(at, above, step, pivots, reach)
}

function eliminateAny(row: usize, above: usize, next: usize, pivots: i32, reach: i32): void {
  for (let j = 0; j < pivots; j++) {
    const pivot = above + (<usize>j) * next
    const f = real(row, j) * real(pivot, j)
    store<f64>(row + ((<usize>j) << 3), f)
    let c = j + 1
    const factor = f64x2.splat(f)
    for (; c + 1 < reach; c += 2) {
      const at = (<usize>c) << 3
      v128.store(row + at, f64x2.sub(v128.load(row + at), f64x2.mul(v128.load(pivot + at), factor)))
    }
    if (c < reach) store<f64>(row + ((<usize>c) << 3), real(row, c) - real(pivot, c) * f)
  }
}

/** The same with the multipliers in registers. */
function eliminate<Size>(row: usize, above: usize, next: usize, reach: i32): void {
  const size = <i32>offsetof<Size>()
  const p1 = above + next
  const p2 = p1 + next
  const p3 = p2 + next
  const p4 = p3 + next
  const p5 = p4 + next
  const p6 = p5 + next
  const p7 = p6 + next
  const f0 = real(row, 0) * real(above, 0)
  const f1 = (real(row, 1) - real(above, 1) * f0) * real(p1, 1)
  const f2 = (real(row, 2) - real(above, 2) * f0 - real(p1, 2) * f1) * real(p2, 2)
  const f3 = (real(row, 3) - real(above, 3) * f0 - real(p1, 3) * f1 - real(p2, 3) * f2) * real(p3, 3)
  const f4 =
    (real(row, 4) - real(above, 4) * f0 - real(p1, 4) * f1 - real(p2, 4) * f2 - real(p3, 4) * f3) * real(p4, 4)
  store<f64>(row, f0)
  store<f64>(row, f1, 8)
  store<f64>(row, f2, 16)
  store<f64>(row, f3, 24)
  store<f64>(row, f4, 32)
  let f5: f64 = 0
  let f6: f64 = 0
  let f7: f64 = 0
  if (size > 5) {
    f5 =
      (real(row, 5) -
        real(above, 5) * f0 -
        real(p1, 5) * f1 -
        real(p2, 5) * f2 -
        real(p3, 5) * f3 -
        real(p4, 5) * f4) *
      real(p5, 5)
    store<f64>(row, f5, 40)
  }
  if (size > 7) {
    f6 =
      (real(row, 6) -
        real(above, 6) * f0 -
        real(p1, 6) * f1 -
        real(p2, 6) * f2 -
        real(p3, 6) * f3 -
        real(p4, 6) * f4 -
        real(p5, 6) * f5) *
      real(p6, 6)
    f7 =
      (real(row, 7) -
        real(above, 7) * f0 -
        real(p1, 7) * f1 -
        real(p2, 7) * f2 -
        real(p3, 7) * f3 -
        real(p4, 7) * f4 -
        real(p5, 7) * f5 -
        real(p6, 7) * f6) *
      real(p7, 7)
    store<f64>(row, f6, 48)
    store<f64>(row, f7, 56)
  }
  const s0 = f64x2.splat(f0)
  const s1 = f64x2.splat(f1)
  const s2 = f64x2.splat(f2)
  const s3 = f64x2.splat(f3)
  const s4 = f64x2.splat(f4)
  const s5 = f64x2.splat(f5)
  const s6 = f64x2.splat(f6)
  const s7 = f64x2.splat(f7)
  let at = (<usize>size) << 3
  const end = (<usize>reach) << 3
  // The pivots' rows are empty beyond their reach, where a last pair may run over it.
  for (; at < end; at += 16) {
    let a = v128.load(row + at)
    a = f64x2.sub(a, f64x2.mul(v128.load(above + at), s0))
    a = f64x2.sub(a, f64x2.mul(v128.load(p1 + at), s1))
    a = f64x2.sub(a, f64x2.mul(v128.load(p2 + at), s2))
    a = f64x2.sub(a, f64x2.mul(v128.load(p3 + at), s3))
    a = f64x2.sub(a, f64x2.mul(v128.load(p4 + at), s4))
    if (size > 5) a = f64x2.sub(a, f64x2.mul(v128.load(p5 + at), s5))
    if (size > 7) {
      a = f64x2.sub(a, f64x2.mul(v128.load(p6 + at), s6))
      a = f64x2.sub(a, f64x2.mul(v128.load(p7 + at), s7))
    }
    if (at + 8 < end) v128.store(row + at, a)
    else store<f64>(row + at, f64x2.extract_lane(a, 0))
  }
}

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
  const target = address(to, at)
  const row = address(rows, first)
  const step = (<usize>next) << 3
  const factors = address(x, k)
  if (terms == 6) return products<Six>(target, count, row, step, factors)
  if (terms == 8) return products<Eight>(target, count, row, step, factors)
  productsAny(target, count, row, step, factors, terms)
}

function productsAny(to: usize, count: i32, row: usize, next: usize, x: usize, terms: i32): void {
  for (let t = 0; t < count; t++) {
    let sum = f64x2.splat(0)
    let c = 0
    for (; c + 1 < terms; c += 2) {
      const at = (<usize>c) << 3
      sum = f64x2.add(sum, f64x2.mul(v128.load(row + at), v128.load(x + at)))
    }
    let even = f64x2.extract_lane(sum, 0)
    if (c < terms) even += real(row, c) * real(x, c)
    const place = to + ((<usize>t) << 3)
    store<f64>(place, load<f64>(place) - (even + f64x2.extract_lane(sum, 1)))
    row += next
  }
}

/** The same with the factors in registers. */
function products<Size>(to: usize, count: i32, row: usize, next: usize, x: usize): void {
  const size = <i32>offsetof<Size>()
  const x0 = v128.load(x)
  const x1 = v128.load(x, 16)
  const x2 = v128.load(x, 32)
  const x3 = size > 7 ? v128.load(x, 48) : x2
  const zero = f64x2.splat(0)
  const end = to + ((<usize>count) << 3)
  for (; to < end; to += 8) {
    let sum = f64x2.add(zero, f64x2.mul(v128.load(row), x0))
    sum = f64x2.add(sum, f64x2.mul(v128.load(row, 16), x1))
    sum = f64x2.add(sum, f64x2.mul(v128.load(row, 32), x2))
    if (size > 7) sum = f64x2.add(sum, f64x2.mul(v128.load(row, 48), x3))
    store<f64>(to, load<f64>(to) - (f64x2.extract_lane(sum, 0) + f64x2.extract_lane(sum, 1)))
    row += next
  }
}

export function combine(
  to: Reals,
  from: Reals,
  weight: Reals,
  terms: i32,
  parts: Reals,
  stride: i32,
  count: i32,
): void {
  const weights = changetype<usize>(weight)
  const end = weights + ((<usize>terms) << 3)
  const next = (<usize>stride) << 3
  let target = changetype<usize>(to)
  let source = changetype<usize>(from)
  let part = changetype<usize>(parts)
  // Rows have room for a pair beyond their end.
  for (let left = count; left > 0; left -= 2) {
    let sum = v128.load(source)
    let other = part
    for (let w = weights; w < end; w += 8) {
      if (load<f64>(w) != 0) sum = f64x2.add(sum, f64x2.mul(v128.load64_splat(w), v128.load(other)))
      other += next
    }
    if (left > 1) v128.store(target, sum)
    else store<f64>(target, f64x2.extract_lane(sum, 0))
    target += 16
    source += 16
    part += 16
  }
}

export function negate(to: Reals, from: Reals, count: i32): void {
  let target = changetype<usize>(to)
  let source = changetype<usize>(from)
  let left = count
  for (; left >= 2; left -= 2) {
    v128.store(target, f64x2.neg(v128.load(source)))
    target += 16
    source += 16
  }
  if (left > 0) store<f64>(target, -load<f64>(source))
}

export function clear(row: Reals, first: i32, count: i32): void {
  memory.fill(address(row, first), 0, (<usize>count) << 3)
}

export function copy(to: Reals, from: Reals, count: i32): void {
  memory.copy(changetype<usize>(to), changetype<usize>(from), (<usize>count) << 3)
}
