/**
 * Triangles of small blocks, written out in the compiled engine (`assembly/triangles.ts`), with the same results to the last bit.
 */
import type { Reals } from './memory.ts'

/** x ← L⁻¹x for the unit lower triangle of a block (rows at `first`, `next` apart), x having `size` numbers from place `at`. */
export function forward(x: Reals, at: i32, rows: Reals, first: i32, next: i32, size: i32): void {
  for (let t = 1; t < size; t++) {
    const row = first + t * next
    let value = x[at + t]
    for (let j = 0; j < t; j++) value -= rows[row + j] * x[at + j]
    x[at + t] = value
  }
}

/** x ← U⁻¹x for the upper triangle of a block, on whose diagonal stand the inverted pivots. */
export function backward(x: Reals, at: i32, rows: Reals, first: i32, next: i32, size: i32): void {
  for (let t = size - 1; t >= 0; t--) {
    const row = first + t * next
    let value = x[at + t]
    for (let j = t + 1; j < size; j++) value -= rows[row + j] * x[at + j]
    x[at + t] = value * rows[row + t]
  }
}
