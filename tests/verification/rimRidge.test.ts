/**
 * A flat ridge at rest on deep oil, free on both sides: half width w, angle θ = √(−2S/γ_eff) at its edges.
 * Answer: varicose waves are neutral at kw tanh kw = 1, kw = 1.19968 (Rayleigh–Plateau of a ridge with moving edges:
 * the bulge and the edge's angle in balance; derived for this project). The fastest grows at 2.6/s at kw = 0.8 for
 * w 0.25 mm, S −0.2 mN/m, γ_eff 5 mN/m, η 2.5, ηo 50 mPa·s: from a prototype of this project, two digits.
 */
import { describe, expect, it } from 'vitest'
import { RimBase } from '../../src/rim/base.ts'
import { rimGeometry } from '../../src/rim/geometry.ts'
import { rimKernels } from '../../src/rim/kernels.ts'
import { RimMarch } from '../../src/rim/march.ts'
import { RimOperator } from '../../src/rim/operator.ts'
import { layState, stateSystem } from '../../src/rim/states.ts'
import { expectClose } from '../matchers.ts'
import { curves, problemWith } from './kernels.ts'

const w = 0.25e-3
const S = -0.2e-3
const gamma = 5e-3
/** So far from the axis that the ridge is straight, m. */
const R = 1
const angle = Math.sqrt((-2 * S) / gamma)

/** Growth rate, 1/s, at kw; `cells` over half the ridge, narrower towards the edge. `shift`: places, in w from the edge. */
function ridge(cells: number, shift: [number, number] = [0.8, 0.3]): (kw: number) => number {
  const faces = Float64Array.from({ length: cells + 1 }, (_, f) => {
    const x = 1 - f / cells
    return 1 - (w / R) * (0.5 * x + 0.5 * x * x)
  })
  faces[cells] = 1
  const problem = problemWith({
    oilViscosity: 0.05,
    coverage: 1e-12,
    closures: curves({ spreading: S, levelling: gamma, viscosity: 2.5e-3 }),
  })
  const sys = stateSystem(problem, faces)
  // At rest the pressure is even: slopes at the faces fall in proportion to the distance from the middle.
  const { s, gap } = sys.mesh
  const h = new Float64Array(cells)
  let height = 0
  for (let i = cells - 1; i >= 0; i--) {
    height += angle * ((s[i + 1]! - faces[0]!) / (1 - faces[0]!)) * gap[i + 1]! * R
    h[i] = height
  }
  layState(sys, sys.vector(), { R, h: (i) => h[i]!, psi: (i) => 0.5 * h[i]!, speed: () => 0 }, 1)
  const [low, high] = shift.map((x) => 1 - (x * w) / R) as [number, number]
  const geometry = rimGeometry(sys.mesh, { from: 0, inside: 'mirror', shift: { low, high } })
  const operator = new RimOperator(geometry)
  const base = new RimBase(geometry, sys)
  return (kw) => {
    operator.lay(base, rimKernels(geometry, (kw / w) * R))
    const march = new RimMarch(operator.size)
    for (let k = 0; k < 12; k++) march.step(operator, 1)
    const last = operator.size - 1
    let rate = 0
    for (let u = 0; u <= last; u++) rate += operator.matrix[last * operator.size + u]! * march.x[u]!
    return rate / march.x[last]!
  }
}

function neutral(rate: (kw: number) => number): number {
  let [low, high] = [1.1, 1.3]
  for (let k = 0; k < 8; k++) {
    const middle = (low + high) / 2
    if (rate(middle) > 0) low = middle
    else high = middle
  }
  return (low + high) / 2
}

describe('a free ridge', () => {
  it('the closed form: X tanh X = 1', () => expectClose(1.19968 * Math.tanh(1.19968), 1, { rtol: 1e-5 }))
  it.each([30, 60, 120])('is neutral where kw tanh kw = 1 (%d cells)', (cells) => {
    expectClose(neutral(ridge(cells)), 1.19968, { atol: 0.01 })
  })
  it('grows fastest at kw = 0.8, at 2.6/s', () => {
    const rate = ridge(60)
    const found = [0.6, 0.7, 0.8, 0.9, 1].map(rate)
    expect(found.indexOf(Math.max(...found))).toBe(2)
    expectClose(found[2]!, 2.6, { atol: 0.05 })
  })
  it('does not mind where the displaced frame comes to rest', () => {
    expectClose(ridge(60, [0.9, 0.5])(0.8), ridge(60)(0.8), { rtol: 0.01 })
  })
})
