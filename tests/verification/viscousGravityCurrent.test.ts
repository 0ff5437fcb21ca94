/**
 * A fixed volume V of heavy liquid spreads over a rigid floor under its own weight (h ≪ r, viscous):
 *   ∂t h = (g/3ν) (1/r) ∂r(r h³ ∂r h).
 * Answer (similarity solution): r_N = ξ (gV³/3ν)^(1/8) t^(1/8), ξ = (1024/81π³)^(1/8),
 *   h = ξ^(2/3) (3νV/g)^(1/4) t^(−1/4) (3/16)^(1/3) (1 − s²)^(1/3), s = r/r_N.
 * Source: H. E. Huppert, J. Fluid Mech. 121, 43 (1982); the constants are derived for this project
 * (V = ∫ h 2πr dr fixes ξ).
 */
import { describe, expect, it } from 'vitest'
import { NO_FIELDS } from '../../src/model/bathFields.ts'
import { expectClose } from '../matchers.ts'
import { bench, curves, problemWith, radiusAt, uniform } from './kernels.ts'

const g = 9.81
const nu = 1e-3
const V = 1e-5
const xi = (1024 / (81 * Math.PI ** 3)) ** 0.125
const front = (t: number) => xi * ((g * V ** 3) / (3 * nu)) ** 0.125 * t ** 0.125
const top = (t: number) => xi ** (2 / 3) * ((3 * nu * V) / g) ** 0.25 * t ** -0.25 * (3 / 16) ** (1 / 3)

/** Density 1000: viscosity 1 Pa·s, weight 9810 N/m³; a film of 1 µm lies before the front. */
function current(cells: number) {
  const wall = 0.07
  const early = 0.01
  const problem = problemWith({
    fields: NO_FIELDS,
    edge: 'wall',
    startRadius: wall,
    dishRadius: 0.08,
    volume: V,
    buoyancy: 1000 * g,
    closures: curves({ viscosity: 1000 * nu, levelling: 1e-12 }),
  })
  const shape = (s: number) => {
    const x = (s * wall) / front(early)
    return 1e-6 + (x < 1 ? top(early) * (1 - x * x) ** (1 / 3) : 0)
  }
  return bench(problem, { cells, faces: uniform(cells), rtol: 1e-3, floor: 1e-9, start: early }, shape)
}

describe('viscous gravity current on a rigid floor', () => {
  it('has the tabulated front and height at 1, 10 and 100 s', () => {
    expectClose(xi, 0.8939138, { atol: 1e-7 })
    expect([1, 10, 100].map((t) => Number(front(t).toFixed(7)))).toEqual([0.0327804, 0.0437134, 0.0582927])
    expect([1, 10, 100].map((t) => Number((1e3 * top(t)).toFixed(5)))).toEqual([3.94967, 2.22106, 1.24899])
  })
  it('is met within 0.5 % in front, profile and height', () => {
    const b = current(400)
    for (const t of [1, 10, 100]) {
      b.to(t)
      const middle = b.sys.h[0]!
      expectClose(middle, top(t), { rtol: 5e-3 }, `h(0) at ${t} s`)
      expectClose(radiusAt(b, 0.05 * middle), front(t), { rtol: 5e-3 }, `front at ${t} s`)
      // (1 − s²)^(1/3) = ½ at s² = 7/8
      expectClose(
        radiusAt(b, 0.5 * middle),
        Math.sqrt(7 / 8) * front(t),
        { rtol: 5e-3 },
        `half height at ${t} s`,
      )
    }
  })
})
