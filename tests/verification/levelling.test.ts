/**
 * A film of thickness h0 on a rigid floor, disturbed by ε J0(kr) in a round dish of radius L (no flux through the wall:
 * kL a zero of J1), levels under its tension γ and weight ρg.
 * Answer (linear lubrication theory): the disturbance decays as exp(−λt), λ = h0³ k² (ρg + γk²)/(3η).
 * Source: lubrication theory, e.g. A. Oron, S. H. Davis & S. G. Bankoff, Rev. Mod. Phys. 69, 931 (1997), from memory;
 * derived again for this project from ∂t h = div(h³/3η ∇(ρg h − γ∇²h)).
 */
import { describe, it } from 'vitest'
import { NO_FIELDS } from '../../src/model/bathFields.ts'
import { expectClose } from '../matchers.ts'
import { bench, besselJ, curves, J1_ZEROS, problemWith, uniform } from './kernels.ts'

const L = 5e-3
const h0 = 1e-4
const viscosity = 2e-3
const tension = 0.03

function decayRate(zero: number, weight: number, cells: number): { found: number; wanted: number } {
  const k = zero / L
  const problem = problemWith({
    fields: NO_FIELDS,
    edge: 'wall',
    startRadius: L,
    dishRadius: 2 * L,
    buoyancy: weight,
    closures: curves({ viscosity, levelling: tension }),
  })
  const wanted = (h0 ** 3 * k * k * (weight + tension * k * k)) / (3 * viscosity)
  const shape = (s: number) => h0 * (1 + 1e-4 * besselJ(0, zero * s))
  const b = bench(problem, { cells, faces: uniform(cells), rtol: 1e-9, floor: 1e-14 }, shape)
  const amplitude = () => b.sys.h[0]! - h0
  b.to(0.2 / Math.abs(wanted))
  const before = amplitude()
  b.to(1.2 / Math.abs(wanted))
  return { found: Math.log(before / amplitude()) * Math.abs(wanted), wanted }
}

describe('levelling of a film on a rigid floor', () => {
  for (const n of [0, 1, 2, 4]) {
    for (const weight of [0, 9e3]) {
      it(`decays at the linear rate within 1 %: zero ${n + 1} of J1, weight ${weight} N/m³`, () => {
        const { found, wanted } = decayRate(J1_ZEROS[n]!, weight, 160)
        expectClose(found, wanted, { rtol: 0.01 })
      })
    }
  }
  it('a lighter film under a heavier one grows where weight overcomes tension', () => {
    const k = J1_ZEROS[0] / L
    const { found, wanted } = decayRate(J1_ZEROS[0], -1.5 * tension * k * k, 160)
    expectClose(found, wanted, { rtol: 0.01 })
  })
})
