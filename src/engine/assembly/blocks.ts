// AssemblyScript: takes the place of ../blocks.ts where the engine is compiled.
import { address, real, Reals } from './memory.ts'
import { Eight, Five, Four, One, Seven, Six, Three, Two } from './sizes.ts'

export function eliminateRow(rows: Reals, row: i32, first: i32, next: i32, pivots: i32, reach: i32): void {
  const at = address(rows, row)
  const above = address(rows, first)
  const step = (<usize>next) << 3
  if (pivots == 8) return eliminate<Eight>(at, above, step, reach)
  if (pivots == 6) return eliminate<Six>(at, above, step, reach)
  if (pivots == 5) return eliminate<Five>(at, above, step, reach)
  if (pivots == 1) return eliminate<One>(at, above, step, reach)
  if (pivots == 2) return eliminate<Two>(at, above, step, reach)
  if (pivots == 3) return eliminate<Three>(at, above, step, reach)
  if (pivots == 4) return eliminate<Four>(at, above, step, reach)
  if (pivots == 7) return eliminate<Seven>(at, above, step, reach)
  eliminateAny(at, above, step, pivots, reach)
}

function eliminateAny(row: usize, above: usize, next: usize, pivots: i32, reach: i32): void {
  for (let j = 0; j < pivots; j++) {
    const pivot = above + (<usize>j) * next
    const f = real(row, j) * real(pivot, j)
    store<f64>(row + ((<usize>j) << 3), f)
    for (let c = j + 1; c < reach; c++) {
      store<f64>(row + ((<usize>c) << 3), real(row, c) - real(pivot, c) * f)
    }
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
  store<f64>(row, f0)
  let f1: f64 = 0
  let f2: f64 = 0
  let f3: f64 = 0
  let f4: f64 = 0
  let f5: f64 = 0
  let f6: f64 = 0
  let f7: f64 = 0
  if (size > 1) {
    f1 = (real(row, 1) - real(above, 1) * f0) * real(p1, 1)
    store<f64>(row, f1, 8)
  }
  if (size > 2) {
    f2 = (real(row, 2) - real(above, 2) * f0 - real(p1, 2) * f1) * real(p2, 2)
    store<f64>(row, f2, 16)
  }
  if (size > 3) {
    f3 = (real(row, 3) - real(above, 3) * f0 - real(p1, 3) * f1 - real(p2, 3) * f2) * real(p3, 3)
    store<f64>(row, f3, 24)
  }
  if (size > 4) {
    f4 = (real(row, 4) - real(above, 4) * f0 - real(p1, 4) * f1 - real(p2, 4) * f2 - real(p3, 4) * f3) * real(p4, 4)
    store<f64>(row, f4, 32)
  }
  if (size > 5) {
    f5 = (real(row, 5) - real(above, 5) * f0 - real(p1, 5) * f1 - real(p2, 5) * f2 - real(p3, 5) * f3 - real(p4, 5) * f4) * real(p5, 5)
    store<f64>(row, f5, 40)
  }
  if (size > 6) {
    f6 = (real(row, 6) - real(above, 6) * f0 - real(p1, 6) * f1 - real(p2, 6) * f2 - real(p3, 6) * f3 - real(p4, 6) * f4 - real(p5, 6) * f5) * real(p6, 6)
    store<f64>(row, f6, 48)
  }
  if (size > 7) {
    f7 = (real(row, 7) - real(above, 7) * f0 - real(p1, 7) * f1 - real(p2, 7) * f2 - real(p3, 7) * f3 - real(p4, 7) * f4 - real(p5, 7) * f5 - real(p6, 7) * f6) * real(p7, 7)
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
    if (size > 1) a = f64x2.sub(a, f64x2.mul(v128.load(p1 + at), s1))
    if (size > 2) a = f64x2.sub(a, f64x2.mul(v128.load(p2 + at), s2))
    if (size > 3) a = f64x2.sub(a, f64x2.mul(v128.load(p3 + at), s3))
    if (size > 4) a = f64x2.sub(a, f64x2.mul(v128.load(p4 + at), s4))
    if (size > 5) a = f64x2.sub(a, f64x2.mul(v128.load(p5 + at), s5))
    if (size > 6) a = f64x2.sub(a, f64x2.mul(v128.load(p6 + at), s6))
    if (size > 7) a = f64x2.sub(a, f64x2.mul(v128.load(p7 + at), s7))
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
  const given = address(x, k)
  if (terms == 6) return products<Six>(target, count, row, step, given)
  if (terms == 8) return products<Eight>(target, count, row, step, given)
  if (terms == 5) return products<Five>(target, count, row, step, given)
  productsAny(target, count, row, step, given, terms)
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
  const x2 = size > 5 ? v128.load(x, 32) : x1
  const x3 = size > 6 ? v128.load(x, 48) : x2
  const last = size == 5 ? load<f64>(x, 32) : 0
  const zero = f64x2.splat(0)
  const end = to + ((<usize>count) << 3)
  for (; to < end; to += 8) {
    let sum = f64x2.add(zero, f64x2.mul(v128.load(row), x0))
    sum = f64x2.add(sum, f64x2.mul(v128.load(row, 16), x1))
    if (size > 5) sum = f64x2.add(sum, f64x2.mul(v128.load(row, 32), x2))
    if (size > 6) sum = f64x2.add(sum, f64x2.mul(v128.load(row, 48), x3))
    let even = f64x2.extract_lane(sum, 0)
    if (size == 5) even += load<f64>(row, 32) * last
    store<f64>(to, load<f64>(to) - (even + f64x2.extract_lane(sum, 1)))
    row += next
  }
}
