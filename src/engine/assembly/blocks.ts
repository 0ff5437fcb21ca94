// AssemblyScript: takes the place of ../blocks.ts where the engine is compiled.
import { address, Reals } from './memory.ts'

/** Sizes of blocks that are written out: those of classes of bytes. */
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

/** Room for a row of multipliers. */
const factors: usize = heap.alloc(16 << 3)

export function invert(
  to: Reals,
  at: i32,
  width: i32,
  size: i32,
  rows: Reals,
  first: i32,
  next: i32,
): f64 {
  const target = address(to, at)
  const source = address(rows, first)
  const step = (<usize>next) << 3
  for (let t: usize = 0; t < <usize>size; t++) {
    memory.copy(target + t * ((<usize>width) << 3), source + t * step, (<usize>size) << 3)
  }
  if (size == 8) return gaussJordan<Eight>(target)
  if (size == 6) return gaussJordan<Six>(target)
  if (size == 5) return gaussJordan<Five>(target)
  return gaussJordanAny(target, size, width)
}

function gaussJordanAny(at: usize, size: i32, width: i32): f64 {
  const step = (<usize>width) << 3
  const end = (<usize>size) << 3
  let sum: f64 = 0
  for (let k: usize = 0; k < end; k += 8) {
    const pivot = at + (k >> 3) * step
    const inverse = 1 / load<f64>(pivot + k)
    sum += Math.abs(inverse)
    store<f64>(pivot + k, 1)
    for (let c: usize = 0; c < end; c += 8) store<f64>(pivot + c, load<f64>(pivot + c) * inverse)
    for (let t = 0; t < size; t++) {
      const row = at + (<usize>t) * step
      if (row == pivot) continue
      const f = load<f64>(row + k)
      store<f64>(row + k, 0)
      for (let c: usize = 0; c < end; c += 8) {
        store<f64>(row + c, load<f64>(row + c) - load<f64>(pivot + c) * f)
      }
    }
  }
  return sum
}

/** The same by pairs of columns; the pad of an odd number of columns is carried along. */
function gaussJordan<Size>(at: usize): f64 {
  const size = <i32>offsetof<Size>()
  let sum: f64 = 0
  for (let k = 0; k < size; k += 2) {
    sum += pivotOf<Size>(at, k, 0)
    if (k + 1 < size) sum += pivotOf<Size>(at, k, 1)
  }
  return sum
}

/** Column k + odd, k even. Loads are not of what was just stored in part: the machine would wait for that. */
@inline
function pivotOf<Size>(at: usize, k: i32, odd: i32): f64 {
  const size = <i32>offsetof<Size>()
  const width: usize = size > 6 ? 64 : 48
  const pair = k >> 1
  const pivot = at + <usize>(k + odd) * width
  let p0 = v128.load(pivot)
  let p1 = v128.load(pivot, 16)
  let p2 = v128.load(pivot, 32)
  let p3 = size > 6 ? v128.load(pivot, 48) : p2
  const own = v128.load(pivot + ((<usize>pair) << 4))
  const inverse = 1 / (odd ? f64x2.extract_lane(own, 1) : f64x2.extract_lane(own, 0))
  if (pair == 0) p0 = odd ? f64x2.replace_lane(p0, 1, 1) : f64x2.replace_lane(p0, 0, 1)
  if (pair == 1) p1 = odd ? f64x2.replace_lane(p1, 1, 1) : f64x2.replace_lane(p1, 0, 1)
  if (pair == 2) p2 = odd ? f64x2.replace_lane(p2, 1, 1) : f64x2.replace_lane(p2, 0, 1)
  if (size > 6 && pair == 3) p3 = odd ? f64x2.replace_lane(p3, 1, 1) : f64x2.replace_lane(p3, 0, 1)
  const s = f64x2.splat(inverse)
  p0 = f64x2.mul(p0, s)
  p1 = f64x2.mul(p1, s)
  p2 = f64x2.mul(p2, s)
  if (size > 6) p3 = f64x2.mul(p3, s)
  let row = at
  for (let t = 0; t < size; t++) {
    if (row == pivot) {
      v128.store(row, p0)
      v128.store(row, p1, 16)
      v128.store(row, p2, 32)
      if (size > 6) v128.store(row, p3, 48)
    } else {
      let a0 = v128.load(row)
      let a1 = v128.load(row, 16)
      let a2 = v128.load(row, 32)
      let a3 = size > 6 ? v128.load(row, 48) : a2
      let f: f64
      if (pair == 0) {
        f = odd ? f64x2.extract_lane(a0, 1) : f64x2.extract_lane(a0, 0)
        a0 = odd ? f64x2.replace_lane(a0, 1, 0) : f64x2.replace_lane(a0, 0, 0)
      } else if (pair == 1) {
        f = odd ? f64x2.extract_lane(a1, 1) : f64x2.extract_lane(a1, 0)
        a1 = odd ? f64x2.replace_lane(a1, 1, 0) : f64x2.replace_lane(a1, 0, 0)
      } else if (pair == 2) {
        f = odd ? f64x2.extract_lane(a2, 1) : f64x2.extract_lane(a2, 0)
        a2 = odd ? f64x2.replace_lane(a2, 1, 0) : f64x2.replace_lane(a2, 0, 0)
      } else {
        f = odd ? f64x2.extract_lane(a3, 1) : f64x2.extract_lane(a3, 0)
        a3 = odd ? f64x2.replace_lane(a3, 1, 0) : f64x2.replace_lane(a3, 0, 0)
      }
      const m = f64x2.splat(f)
      v128.store(row, f64x2.sub(a0, f64x2.mul(p0, m)))
      v128.store(row, f64x2.sub(a1, f64x2.mul(p1, m)), 16)
      v128.store(row, f64x2.sub(a2, f64x2.mul(p2, m)), 32)
      if (size > 6) v128.store(row, f64x2.sub(a3, f64x2.mul(p3, m)), 48)
    }
    row += width
  }
  return Math.abs(inverse)
}

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
  const target = address(rows, row)
  const above = address(rows, first)
  const step = (<usize>next) << 3
  const block = address(inverse, at)
  if (size == 8) return eliminate<Eight>(target, above, step, block, reach)
  if (size == 6) return eliminate<Six>(target, above, step, block, reach)
  if (size == 5) return eliminate<Five>(target, above, step, block, reach)
  eliminateAny(target, above, step, block, size, reach)
}

function eliminateAny(row: usize, above: usize, next: usize, block: usize, size: i32, reach: i32): void {
  const width = (<usize>(size + (size & 1))) << 3
  for (let c = 0; c < size; c++) {
    let sum = real(row, 0) * real(block, c)
    for (let k = 1; k < size; k++) sum += real(row, k) * real(block + <usize>k * width, c)
    store<f64>(factors + ((<usize>c) << 3), sum)
  }
  for (let k = 0; k < size; k++) {
    const f = real(factors, k)
    store<f64>(row + ((<usize>k) << 3), f)
    const pivot = above + <usize>k * next
    for (let c = size; c < reach; c++) {
      store<f64>(row + ((<usize>c) << 3), real(row, c) - real(pivot, c) * f)
    }
  }
}

/** The same with the multipliers in registers. */
function eliminate<Size>(row: usize, above: usize, next: usize, block: usize, reach: i32): void {
  const size = <i32>offsetof<Size>()
  const width: usize = size > 6 ? 64 : 48
  let b = v128.load64_splat(row)
  let f0 = f64x2.mul(b, v128.load(block))
  let f1 = f64x2.mul(b, v128.load(block, 16))
  let f2 = f64x2.mul(b, v128.load(block, 32))
  let f3 = size > 6 ? f64x2.mul(b, v128.load(block, 48)) : f2
  let line = block
  for (let k = 8; k < size << 3; k += 8) {
    line += width
    b = v128.load64_splat(row + <usize>k)
    f0 = f64x2.add(f0, f64x2.mul(b, v128.load(line)))
    f1 = f64x2.add(f1, f64x2.mul(b, v128.load(line, 16)))
    f2 = f64x2.add(f2, f64x2.mul(b, v128.load(line, 32)))
    if (size > 6) f3 = f64x2.add(f3, f64x2.mul(b, v128.load(line, 48)))
  }
  v128.store(row, f0)
  v128.store(row, f1, 16)
  if (size > 5) v128.store(row, f2, 32)
  else store<f64>(row, f64x2.extract_lane(f2, 0), 32)
  if (size > 6) v128.store(row, f3, 48)
  const s0 = f64x2.splat(f64x2.extract_lane(f0, 0))
  const s1 = f64x2.splat(f64x2.extract_lane(f0, 1))
  const s2 = f64x2.splat(f64x2.extract_lane(f1, 0))
  const s3 = f64x2.splat(f64x2.extract_lane(f1, 1))
  const s4 = f64x2.splat(f64x2.extract_lane(f2, 0))
  const s5 = f64x2.splat(f64x2.extract_lane(f2, 1))
  const s6 = f64x2.splat(f64x2.extract_lane(f3, 0))
  const s7 = f64x2.splat(f64x2.extract_lane(f3, 1))
  const p1 = above + next
  const p2 = p1 + next
  const p3 = p2 + next
  const p4 = p3 + next
  const p5 = p4 + next
  const p6 = p5 + next
  const p7 = p6 + next
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
    if (size > 6) {
      a = f64x2.sub(a, f64x2.mul(v128.load(p6 + at), s6))
      a = f64x2.sub(a, f64x2.mul(v128.load(p7 + at), s7))
    }
    if (at + 8 < end) v128.store(row + at, a)
    else store<f64>(row + at, f64x2.extract_lane(a, 0))
  }
}

export function multiply(x: Reals, k: i32, size: i32, inverse: Reals, at: i32, width: i32): void {
  const target = address(x, k)
  let block = address(inverse, at)
  const step = (<usize>width) << 3
  if (size == 8) return rotate<Eight>(target, block)
  if (size == 6) return rotate<Six>(target, block)
  if (size == 5) return rotate<Five>(target, block)
  for (let t = 0; t < size; t++) {
    let even: f64 = 0
    let odd: f64 = 0
    let c = 0
    for (; c + 1 < size; c += 2) {
      even += real(block, c) * real(target, c)
      odd += real(block, c + 1) * real(target, c + 1)
    }
    if (c < size) even += real(block, c) * real(target, c)
    store<f64>(factors + ((<usize>t) << 3), even + odd)
    block += step
  }
  memory.copy(target, factors, (<usize>size) << 3)
}

/** The same with the vector in registers. */
function rotate<Size>(x: usize, block: usize): void {
  const size = <i32>offsetof<Size>()
  const width: usize = size > 6 ? 64 : 48
  const x0 = v128.load(x)
  const x1 = v128.load(x, 16)
  const x2 = size > 5 ? v128.load(x, 32) : x1
  const x3 = size > 6 ? v128.load(x, 48) : x2
  const last = size == 5 ? load<f64>(x, 32) : 0
  const zero = f64x2.splat(0)
  const end = x + ((<usize>size) << 3)
  for (let to = x; to < end; to += 8) {
    let sum = f64x2.add(zero, f64x2.mul(v128.load(block), x0))
    sum = f64x2.add(sum, f64x2.mul(v128.load(block, 16), x1))
    if (size > 5) sum = f64x2.add(sum, f64x2.mul(v128.load(block, 32), x2))
    if (size > 6) sum = f64x2.add(sum, f64x2.mul(v128.load(block, 48), x3))
    let even = f64x2.extract_lane(sum, 0)
    if (size == 5) even += load<f64>(block, 32) * last
    store<f64>(to, even + f64x2.extract_lane(sum, 1))
    block += width
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
