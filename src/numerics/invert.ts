/**
 * Inverts the size × size matrix that stands row by row in `a` from `at`, in place, by Gauss–Jordan without exchange of
 * rows: for matrices whose leading minors are known to be far from zero.
 */
export function invert(a: Float64Array, at: number, size: number): void {
  for (let p = 0; p < size; p++) {
    const row = at + p * size
    const pivot = 1 / a[row + p]
    a[row + p] = 1
    for (let j = 0; j < size; j++) a[row + j] *= pivot
    for (let i = 0; i < size; i++) {
      if (i === p) continue
      const other = at + i * size
      const factor = a[other + p]
      a[other + p] = 0
      for (let j = 0; j < size; j++) a[other + j] -= factor * a[row + j]
    }
  }
}
