/** Dense LU: the residual of solved systems is rounding (Golub & Van Loan, Matrix Computations, theorem 3.4.1). */
import { describe, expect, it } from 'vitest'
import { DenseLU } from '../../src/numerics/luSolve.ts'

/** Numbers in (−1, 1) from a multiplicative generator (Park & Miller), the same in every run. */
function chance(seed: number): () => number {
  let state = seed
  return () => {
    state = (48271 * state) % 2147483647
    return (2 * state) / 2147483647 - 1
  }
}

describe('dense LU', () => {
  it.each([1, 2, 3, 4, 5, 7, 8, 31, 32, 127])('solves %d equations to rounding', (n) => {
    const draw = chance(n + 11)
    const a = Float64Array.from({ length: n * n }, draw)
    // The natural order of rows would divide by nothing.
    if (n > 1) a[0] = 0
    const x = Float64Array.from({ length: n }, draw)
    const b = Float64Array.from({ length: n }, (_, i) => x.reduce((sum, v, j) => sum + a[i * n + j]! * v, 0))
    const lu = new DenseLU(n)
    lu.a.set(a)
    expect(lu.factor()).toBe(true)
    const found = b.slice()
    lu.solve(found)
    const residual = b.map((v, i) => Math.abs(v - found.reduce((sum, y, j) => sum + a[i * n + j]! * y, 0)))
    const size = Math.max(...found.map(Math.abs), 1) * n
    expect(Math.max(...residual)).toBeLessThan(1e-14 * size)
  })
  it('finds a singular matrix', () => {
    const lu = new DenseLU(3, Float64Array.of(1, 2, 3, 2, 4, 6, 1, 1, 1))
    expect(lu.factor()).toBe(false)
    expect(new DenseLU(2, Float64Array.of(Number.NaN, 1, 1, 1)).factor()).toBe(false)
  })
})
