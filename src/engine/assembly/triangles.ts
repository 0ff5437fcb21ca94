// AssemblyScript: takes the place of ../triangles.ts where the engine is compiled.
import { address, real, Reals } from './memory.ts'
import { Eight, Five, Six } from './sizes.ts'

export function forward(x: Reals, at: i32, rows: Reals, first: i32, next: i32, size: i32): void {
  const target = address(x, at)
  const step = (<usize>next) << 3
  let row = address(rows, first)
  if (size == 8) return lower<Eight>(target, row, step)
  if (size == 5) return lower<Five>(target, row, step)
  if (size == 6) return lower<Six>(target, row, step)
  for (let t = 1; t < size; t++) {
    row += step
    let value = real(target, t)
    for (let j = 0; j < t; j++) value -= real(row, j) * real(target, j)
    store<f64>(target + ((<usize>t) << 3), value)
  }
}

/** The same with the vector in registers. */
function lower<Size>(x: usize, row: usize, next: usize): void {
  const size = <i32>offsetof<Size>()
  const x0 = real(x, 0)
  let x1: f64 = 0
  let x2: f64 = 0
  let x3: f64 = 0
  let x4: f64 = 0
  let x5: f64 = 0
  let x6: f64 = 0
  let x7: f64 = 0
  if (size > 1) {
    row += next
    x1 = real(x, 1) - real(row, 0) * x0
    store<f64>(x, x1, 8)
  }
  if (size > 2) {
    row += next
    x2 = real(x, 2) - real(row, 0) * x0 - real(row, 1) * x1
    store<f64>(x, x2, 16)
  }
  if (size > 3) {
    row += next
    x3 = real(x, 3) - real(row, 0) * x0 - real(row, 1) * x1 - real(row, 2) * x2
    store<f64>(x, x3, 24)
  }
  if (size > 4) {
    row += next
    x4 = real(x, 4) - real(row, 0) * x0 - real(row, 1) * x1 - real(row, 2) * x2 - real(row, 3) * x3
    store<f64>(x, x4, 32)
  }
  if (size > 5) {
    row += next
    x5 = real(x, 5) - real(row, 0) * x0 - real(row, 1) * x1 - real(row, 2) * x2 - real(row, 3) * x3 - real(row, 4) * x4
    store<f64>(x, x5, 40)
  }
  if (size > 6) {
    row += next
    x6 = real(x, 6) - real(row, 0) * x0 - real(row, 1) * x1 - real(row, 2) * x2 - real(row, 3) * x3 - real(row, 4) * x4 - real(row, 5) * x5
    store<f64>(x, x6, 48)
  }
  if (size > 7) {
    row += next
    x7 = real(x, 7) - real(row, 0) * x0 - real(row, 1) * x1 - real(row, 2) * x2 - real(row, 3) * x3 - real(row, 4) * x4 - real(row, 5) * x5 - real(row, 6) * x6
    store<f64>(x, x7, 56)
  }
}

export function backward(x: Reals, at: i32, rows: Reals, first: i32, next: i32, size: i32): void {
  const target = address(x, at)
  const step = (<usize>next) << 3
  let row = address(rows, first) + (<usize>size) * step
  if (size == 8) return upper<Eight>(target, row, step)
  if (size == 5) return upper<Five>(target, row, step)
  if (size == 6) return upper<Six>(target, row, step)
  for (let t = size - 1; t >= 0; t--) {
    row -= step
    let value = real(target, t)
    for (let j = t + 1; j < size; j++) value -= real(row, j) * real(target, j)
    store<f64>(target + ((<usize>t) << 3), value * real(row, t))
  }
}

/** The same with the vector in registers; `row` lies behind the last. */
function upper<Size>(x: usize, row: usize, next: usize): void {
  const size = <i32>offsetof<Size>()
  let x0: f64 = 0
  let x1: f64 = 0
  let x2: f64 = 0
  let x3: f64 = 0
  let x4: f64 = 0
  let x5: f64 = 0
  let x6: f64 = 0
  let x7: f64 = 0
  if (size > 7) {
    row -= next
    let value = real(x, 7)
    x7 = value * real(row, 7)
    store<f64>(x, x7, 56)
  }
  if (size > 6) {
    row -= next
    let value = real(x, 6)
    if (size > 7) value -= real(row, 7) * x7
    x6 = value * real(row, 6)
    store<f64>(x, x6, 48)
  }
  if (size > 5) {
    row -= next
    let value = real(x, 5)
    if (size > 6) value -= real(row, 6) * x6
    if (size > 7) value -= real(row, 7) * x7
    x5 = value * real(row, 5)
    store<f64>(x, x5, 40)
  }
  if (size > 4) {
    row -= next
    let value = real(x, 4)
    if (size > 5) value -= real(row, 5) * x5
    if (size > 6) value -= real(row, 6) * x6
    if (size > 7) value -= real(row, 7) * x7
    x4 = value * real(row, 4)
    store<f64>(x, x4, 32)
  }
  if (size > 3) {
    row -= next
    let value = real(x, 3)
    if (size > 4) value -= real(row, 4) * x4
    if (size > 5) value -= real(row, 5) * x5
    if (size > 6) value -= real(row, 6) * x6
    if (size > 7) value -= real(row, 7) * x7
    x3 = value * real(row, 3)
    store<f64>(x, x3, 24)
  }
  if (size > 2) {
    row -= next
    let value = real(x, 2)
    if (size > 3) value -= real(row, 3) * x3
    if (size > 4) value -= real(row, 4) * x4
    if (size > 5) value -= real(row, 5) * x5
    if (size > 6) value -= real(row, 6) * x6
    if (size > 7) value -= real(row, 7) * x7
    x2 = value * real(row, 2)
    store<f64>(x, x2, 16)
  }
  if (size > 1) {
    row -= next
    let value = real(x, 1)
    if (size > 2) value -= real(row, 2) * x2
    if (size > 3) value -= real(row, 3) * x3
    if (size > 4) value -= real(row, 4) * x4
    if (size > 5) value -= real(row, 5) * x5
    if (size > 6) value -= real(row, 6) * x6
    if (size > 7) value -= real(row, 7) * x7
    x1 = value * real(row, 1)
    store<f64>(x, x1, 8)
  }
  if (size > 0) {
    row -= next
    let value = real(x, 0)
    if (size > 1) value -= real(row, 1) * x1
    if (size > 2) value -= real(row, 2) * x2
    if (size > 3) value -= real(row, 3) * x3
    if (size > 4) value -= real(row, 4) * x4
    if (size > 5) value -= real(row, 5) * x5
    if (size > 6) value -= real(row, 6) * x6
    if (size > 7) value -= real(row, 7) * x7
    x0 = value * real(row, 0)
    store<f64>(x, x0, 0)
  }
}
