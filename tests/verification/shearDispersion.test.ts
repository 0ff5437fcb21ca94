/** What the shear in a film adds to the diffusion along it: Taylor (1953), Aris (1956); see fixtures/aris.ts. */
import { describe, expect, it } from 'vitest'
import { CLOSURE, CLOSURE_COUNT } from '../../src/model/problem.ts'
import { stirred } from '../fixtures/aris.ts'
import { expectClose } from '../matchers.ts'
import { bench } from './kernels.ts'
import { referenceProblem } from './reference.ts'

describe('the two flows of a film', () => {
  // Textbook values: linear shear 1/30; half parabola 2/105 by its mean speed (8/945 by its largest). At rest 1/420.
  it('stir by the factors of the textbooks', () => {
    expectClose(stirred(1, 0), 1 / 30, { rtol: 1e-5 })
    expectClose(stirred(0, 1), 2 / 105, { rtol: 1e-5 })
    expectClose(stirred(1, -1), 1 / 420, { rtol: 1e-4 })
  })

  // From a film that the tension pulls outward to one that its own pressure spreads.
  it.each([
    ['a flat film with an even gradient', 0, 0.3],
    ['a cap of one composition', 1, 0],
    ['a cap whose tension pulls outward', 1, 0.3],
    ['a cap whose tension pulls inward', 1, -0.3],
  ])('stir as their sum does: %s', (_, curved, slope) => {
    const problem = referenceProblem(0.5, { coverage: 1e-12, dispersion: null })
    const { sys, stepper } = bench(
      problem,
      { cells: 24, outer: 6, rtol: 1e-3 },
      (s) => 1e-4 * (1 - 0.8 * curved * s * s),
      (s) => 0.5 - slope * s * s,
    )
    sys.evaluate(stepper.y)
    const { state, mesh } = sys
    const closure = (i: number, k: number) => sys.closure[i * 2 * CLOSURE_COUNT + k]!
    let most = 0
    for (let f = 1; f < mesh.cells; f++) {
      const across = sys.R * mesh.gap[f]!
      const depth = Math.sqrt(sys.h[f - 1]! * sys.h[f]!)
      const pull = (closure(f, CLOSURE.gammaA) - closure(f - 1, CLOSURE.gammaA)) / across
      const viscosity = (closure(f, CLOSURE.viscosity) + closure(f - 1, CLOSURE.viscosity)) / 2
      const pulled = (depth * depth * pull) / (2 * viscosity)
      const whole = state.filmFlux[f]! / (sys.R * mesh.s[f]!)
      const wanted = Math.sqrt(stirred(pulled, whole - pulled))
      expectClose(state.stirring[f]!, wanted, { rtol: 1e-4, atol: 1e-18 })
      most = Math.max(most, wanted)
    }
    expect(most).toBeGreaterThan(1e-9)
  })
})
