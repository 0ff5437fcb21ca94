/**
 * The closed formula for a beading ridge. Its shape is derived: neutral where X tanh X = 1 (kw = 1.19968, half width w: the
 * same root as of a free ridge in the full calculation), carried by the bath for long waves, sliding for short ones.
 */
import { describe, expect, it } from 'vitest'
import { type Ridge, ridgeGrowth } from '../../src/model/ridge.ts'
import { expectClose } from '../matchers.ts'

const ridge: Ridge = { base: 5e-4, slope: Math.sqrt(0.08), tension: 5e-3, oilViscosity: 0.05 }
const k = (X: number) => (2 * X) / ridge.base

describe('waves on a ridge', () => {
  it('are neutral where X tanh X = 1', () => {
    // Root by bisection with the library's tanh.
    let [low, high] = [1, 1.5]
    for (let n = 0; n < 60; n++) {
      const middle = (low + high) / 2
      if (middle * Math.tanh(middle) > 1) high = middle
      else low = middle
    }
    expectClose(low, 1.1996786, { rtol: 1e-7 })
    expect(ridgeGrowth(k(0.999 * low), ridge)).toBeGreaterThan(0)
    expect(ridgeGrowth(k(1.001 * low), ridge)).toBeLessThan(0)
    expect(Math.abs(ridgeGrowth(k(low), ridge))).toBeLessThan(1e-6)
  })
  it('grow with the square of k while they are long, and fastest at a wavelength of 3 to 5 bases', () => {
    expectClose(ridgeGrowth(k(0.02), ridge) / ridgeGrowth(k(0.01), ridge), 4, { rtol: 1e-3 })
    const numbers = Array.from({ length: 120 }, (_, i) => 0.01 * (i + 1))
    const fastest = numbers.reduce((a, b) => (ridgeGrowth(k(b), ridge) > ridgeGrowth(k(a), ridge) ? b : a))
    expect(Math.PI / fastest).toBeGreaterThan(3)
    expect(Math.PI / fastest).toBeLessThan(5)
    // Free ridge at rest in the full calculation: 2.6 1/s (w 0.25 mm, S −0.2 mN/m); the formula is fitted to rims of lives.
    const most = ridgeGrowth(k(fastest), ridge)
    expect(most).toBeGreaterThan(2.6 / 2)
    expect(most).toBeLessThan(2.6 * 2)
  })
  it('scale as γ θ²/(ηo b)', () => {
    const at = (other: Partial<Ridge>, X = 0.8) =>
      ridgeGrowth((2 * X) / (other.base ?? ridge.base), { ...ridge, ...other }) / ridgeGrowth(k(X), ridge)
    expectClose(at({ tension: 1e-2 }), 2, { rtol: 1e-12 })
    expectClose(at({ oilViscosity: 0.1 }), 0.5, { rtol: 1e-12 })
    expectClose(at({ slope: 2 * ridge.slope }), 4, { rtol: 1e-12 })
    expectClose(at({ base: 1e-3 }), 0.5, { rtol: 1e-12 })
  })
})
