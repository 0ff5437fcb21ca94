/**
 * A small drop that wets completely spreads over a rigid floor by its own tension.
 * Answer: R ∝ t^(1/10) and h(0) ∝ t^(−1/5), up to a slowly varying logarithm of the ratio of drop to precursor film.
 * Source: L. H. Tanner, J. Phys. D 12, 1473 (1979), from memory; exponents also in arXiv:1201.4005.
 */
import { describe, it } from 'vitest'
import { NO_FIELDS } from '../../src/model/bathFields.ts'
import { expectClose } from '../matchers.ts'
import { bench, curves, lineSlope, problemWith, radiusAt, uniform } from './kernels.ts'

/** Exponents of R (at half height) and h(0) over three decades of time. */
function exponents(cells: number): { radius: number; height: number } {
  const wall = 0.02
  const small = 2e-3
  const volume = 1e-9
  const top = (2 * volume) / (Math.PI * small ** 2)
  const problem = problemWith({
    fields: NO_FIELDS,
    edge: 'wall',
    startRadius: wall,
    dishRadius: 0.03,
    volume,
    closures: curves({ viscosity: 1e-3, levelling: 0.02 }),
  })
  const shape = (s: number) => top * (1e-4 + Math.max(0, 1 - ((s * wall) / small) ** 2))
  const b = bench(problem, { cells, faces: uniform(cells), rtol: 1e-3, floor: 1e-9 }, shape)
  const [time, radius, height]: [number[], number[], number[]] = [[], [], []]
  for (let t = 100; t < 1.3e5; t *= 2) {
    b.to(t)
    time.push(Math.log(t))
    radius.push(Math.log(radiusAt(b, 0.5 * b.sys.h[0]!)))
    height.push(Math.log(b.sys.h[0]!))
  }
  return { radius: lineSlope(time, radius), height: lineSlope(time, height) }
}

describe('spreading of a completely wetting drop on a rigid floor', () => {
  for (const cells of [200, 400]) {
    it(`has the exponents 1/10 and −1/5 within 0.003 (${cells} cells)`, () => {
      const { radius, height } = exponents(cells)
      expectClose(radius, 0.1, { atol: 3e-3 })
      expectClose(height, -0.2, { atol: 3e-3 })
    })
  }
})
