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
export function address(row: Reals, i: i32): usize {
  return changetype<usize>(row) + ((<usize>i) << 3)
}

@inline
export function real(at: usize, k: i32): f64 {
  return load<f64>(at + ((<usize>k) << 3))
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
