/**
 * A large puddle of a light liquid floats on a heavier one it does not wet (S < 0): tension draws it together, weight
 * spreads it, until its thickness is
 *   e = √(−2 S ρo/(ρ (ρo − ρ) g)).
 * Source: I. Langmuir, J. Chem. Phys. 1, 756 (1933), from memory; derived again for this project from the energy per area
 * −S + ½ ρ(1 − ρ/ρo) g e² at fixed volume. A liquid denser than the bath has no such thickness.
 */
import { describe, expect, it } from 'vitest'
import { puddleThickness } from '../../src/model/scales.ts'
import { expectClose } from '../matchers.ts'

describe('thickness of a floating puddle', () => {
  it('is 5.16 mm for S = −5 mN/m, 880 on 920 kg/m³', () => {
    expectClose(puddleThickness(-5e-3, 880, 920), 5.16e-3, { atol: 0.005e-3 })
  })
  it('minimises the energy at fixed volume', () => {
    const energy = (e: number, S: number, rho: number, oil: number) =>
      (-S + 0.5 * rho * (1 - rho / oil) * 9.80665 * e * e) / e
    for (const [S, rho, oil] of [
      [-1e-3, 850, 920],
      [-12e-3, 790, 960],
    ] as const) {
      const e = puddleThickness(S, rho, oil)
      expect(energy(e * 0.999, S, rho, oil)).toBeGreaterThan(energy(e, S, rho, oil))
      expect(energy(e * 1.001, S, rho, oil)).toBeGreaterThan(energy(e, S, rho, oil))
    }
  })
  it('is refused where there is none', () => {
    for (const [S, rho, oil] of [
      [-5e-3, 920, 920],
      [-5e-3, 950, 920],
      [5e-3, 880, 920],
      [0, 880, 920],
    ] as const)
      expect(() => puddleThickness(S, rho, oil)).toThrow(RangeError)
  })
})
