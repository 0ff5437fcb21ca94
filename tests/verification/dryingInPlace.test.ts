/**
 * A film at rest loses alcohol at the rate j φ and no water.
 * Answer: the water h − ψ stays; ψ' = −jψ/h with h = ψ + W, hence ψ + W ln ψ = const − jt.
 * Source: the two budgets with nothing flowing; derived for this project.
 */
import { describe, it } from 'vitest'
import { NO_FIELDS } from '../../src/model/bathFields.ts'
import { RODAS4 } from '../../src/numerics/rosenbrock.ts'
import { expectClose } from '../matchers.ts'
import { bench, curves, problemWith, uniform } from './kernels.ts'

const h0 = 1e-3
const phi0 = 0.6
const rate = 1e-6

/** ψ at time t by Newton's method on ln ψ. */
function alcohol(t: number): number {
  const W = h0 * (1 - phi0)
  const start = h0 * phi0
  const goal = start + W * Math.log(start) - rate * t
  let x = Math.log(start) - (rate * t) / h0
  for (let n = 0; n < 100; n++) x -= (Math.exp(x) + W * x - goal) / (Math.exp(x) + W)
  return Math.exp(x)
}

describe('film that dries where it lies', () => {
  it('keeps its water and loses its alcohol as the closed form, to 1e-10', () => {
    const problem = problemWith({
      fields: NO_FIELDS,
      edge: 'wall',
      phi0,
      evaporation: { kind: 'uniform', alcoholSpeed: rate, waterSpeed: 0 },
      evaporationCutoff: 0,
      closures: curves({ alcoholLoss: (phi) => phi }),
    })
    const setting = { cells: 8, outer: 4, faces: uniform(8), rtol: 1e-11, floor: 1e-17, method: RODAS4 }
    const b = bench(problem, setting, () => h0)
    for (const t of [100, 300, 600]) {
      b.to(t)
      for (let i = 0; i < 8; i++) {
        const { h, psi } = b.sys
        expectClose((h[i]! - psi[i]!) / h0, 1 - phi0, { atol: 1e-10 }, `water at ${t} s`)
        expectClose(psi[i]! / h0, alcohol(t) / h0, { atol: 1e-10 }, `alcohol at ${t} s`)
      }
    }
  })
})
