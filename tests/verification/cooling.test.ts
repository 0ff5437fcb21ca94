/** Cooling of the film by evaporation, against heat conduction into a half space and against the slopes it is made from. */
import { describe, expect, it } from 'vitest'
import { heatOfEvaporation } from '../../src/liquids/oilHeat.ts'
import { mixtures, water } from '../../src/liquids/registry.ts'
import { CLOSURE } from '../../src/model/problem.ts'
import { expectClose } from '../matchers.ts'
import { bench, curves, problemWith } from './kernels.ts'

const law = {
  diffusivity: 9e-8,
  alcoholHeat: 400,
  waterHeat: 1300,
  alcoholFall: 0,
  waterFall: 0,
  ambientWater: 0,
  tensionRise: 0,
}
const resting = { cells: 24, rtol: 1e-3 }

describe('cooling by evaporation', () => {
  it('follows 2 q √(t/πκ)/(ρc) under an even flux q into a half space at rest (Carslaw & Jaeger, section 2.9)', () => {
    const problem = problemWith({
      evaporation: { kind: 'uniform', alcoholSpeed: 4e-7, waterSpeed: 2e-7 },
      evaporationCutoff: 1e-12,
      closures: curves({ alcoholLoss: 1, waterLoss: 1 }),
      edge: 'wall',
      cooling: law,
    })
    const b = bench(problem, resting, () => 1e-3)
    // Steps as short as a life's: a step's temperature is that of its middle.
    for (let t = 1e-4; t < 4; t *= 1.02) {
      b.to(t)
      if (t < 0.02) continue
      const flux = 400 * 4e-7 + 1300 * 2e-7
      const exact = 2 * flux * Math.sqrt(t / (Math.PI * law.diffusivity))
      for (const chill of b.sys.cooling.chill) expectClose(chill, exact, { rtol: 0.015 })
    }
  })

  it('lowers the vapour pressures by their slopes and raises the tension, derivatives included', () => {
    const cooling = { ...law, alcoholFall: 0.06, waterFall: 0.065, ambientWater: 0.4, tensionRise: 1e-4 }
    const set = curves({ alcoholLoss: (phi) => phi, waterLoss: (phi) => 1 - phi - 0.4, gammaA: 0.03 })
    const b = bench(
      problemWith({
        evaporation: { kind: 'uniform', alcoholSpeed: 4e-7, waterSpeed: 2e-7 },
        closures: set,
        edge: 'wall',
        cooling,
      }),
      resting,
      () => 1e-3,
    )
    b.to(2)
    const { cooling: film, closure, phi } = b.sys
    const chill = film.chill[3]!
    expect(chill).toBeGreaterThan(0.3)
    const at = (k: number) => closure[(3 * closure.length) / 24 + k]!
    const half = closure.length / 24 / 2
    // Pressures and tension follow the mean over the drop.
    const mean = film.chill.reduce((sum, cold, i) => sum + 2 * b.sys.mesh.area[i]! * cold, 0)
    const fall = Math.exp(-0.06 * mean)
    expectClose(at(CLOSURE.alcoholLoss), phi[3]! * fall, { rtol: 1e-9 })
    expectClose(at(half + CLOSURE.alcoholLoss), fall, { rtol: 1e-6 })
    expectClose(at(CLOSURE.waterLoss), (1 - phi[3]!) * Math.exp(-0.065 * mean) - 0.4, { rtol: 1e-9 })
    expectClose(at(CLOSURE.gammaA), 0.03 + 1e-4 * mean, { rtol: 1e-12 })
    expectClose(at(CLOSURE.spreading), -1e-4 * mean, { rtol: 1e-9 })
  })

  it('draws the heat of evaporation of handbooks, kJ/mol at 25 °C: water 44.0, ethanol 42.3, 2-propanol 45.4, methanol 37.4 (CRC Handbook, from memory)', () => {
    const at25 = (pressure: (T: number) => number) => 1e-3 * heatOfEvaporation(pressure, 298.15)
    expectClose(at25(water.vapourPressure), 44.0, { rtol: 0.02 })
    const heats = { ethanol: 42.3, '2-propanol': 45.4, methanol: 37.4 }
    for (const [id, heat] of Object.entries(heats)) {
      const mixture = mixtures[id]!
      expectClose(at25(mixture.vapourPressure), heat, { rtol: 0.03 })
    }
  })
})
