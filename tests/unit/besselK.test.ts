/**
 * K0, K1 and ∫0^x K0.
 * Answer: Abramowitz & Stegun, Handbook of Mathematical Functions (1964): table 9.8 (e^x K0, e^x K1) and 11.1 (e^x ∫x^∞ K0);
 * the digits here are from memory, so that none of them stands alone: each is held against the integrals of DLMF 10.32.9
 * by Simpson's rule, and these against the functions over the whole range.
 */
import { describe, expect, it } from 'vitest'
import { besselK0, besselK1, integralK0, withoutLog, xK0, xK1 } from '../../src/numerics/besselK.ts'
import { expectClose } from '../matchers.ts'

/** ∫0^∞ exp(−x cosh t) weight(t) dt by Simpson's rule with 20 000 intervals. */
function integral(x: number, weight: (t: number) => number): number {
  const end = Math.acosh(1 + 60 / x)
  const n = 20_000
  const h = end / n
  let sum = 0
  for (let j = 0; j <= n; j++) {
    const share = j === 0 || j === n ? 1 : j % 2 === 1 ? 4 : 2
    sum += share * Math.exp(-x * Math.cosh(j * h)) * weight(j * h)
  }
  return (sum * h) / 3
}

/** x, K0, K1 (Abramowitz & Stegun, table 9.8, from memory). */
const TABLE = [
  [0.1, 2.4270690247, 9.8538447809],
  [0.5, 0.9244190712, 1.6564411201],
  [1, 0.4210244382, 0.6019072302],
  [2, 0.1138938728, 0.1398658818],
  [5, 0.003691098334, 0.004044613445],
  [10, 1.778006232e-5, 1.864877345e-5],
] as const

describe('K0 and K1', () => {
  it.each(TABLE)('at x = %d are those of the table', (x, k0, k1) => {
    expectClose(besselK0(x), k0, { rtol: 1e-9 })
    expectClose(besselK1(x), k1, { rtol: 1e-9 })
  })
  it('are their integrals over the whole range', () => {
    for (const x of [1e-3, 0.03, 0.4, 1.3, 1.9999, 2, 2.0001, 2.7, 4, 7.5, 13, 33, 90, 400]) {
      expectClose(
        besselK0(x),
        integral(x, () => 1),
        { rtol: 1e-12 },
        `K0(${x})`,
      )
      expectClose(besselK1(x), integral(x, Math.cosh), { rtol: 1e-12 }, `K1(${x})`)
    }
  })
  it('vanish without a trace far out', () => {
    expect([besselK0(800), besselK1(800)]).toEqual([0, 0])
  })
})

describe('∫K0', () => {
  it('is what the integral leaves of π/2', () => {
    for (const x of [0.4, 1.3, 1.9999, 2.0001, 2.7, 4, 7.5, 13, 33]) {
      const rest = integral(x, (t) => 1 / Math.cosh(t))
      expectClose(integralK0(x), Math.PI / 2 - rest, { rtol: 1e-12 }, `x = ${x}`)
    }
  })
  it('has the derivative K0', () => {
    for (const x of [0.01, 0.3, 1, 1.99, 2.01, 5]) {
      const d = 1e-3 * x
      const slope =
        (integralK0(x - 2 * d) - 8 * integralK0(x - d) + 8 * integralK0(x + d) - integralK0(x + 2 * d)) /
        (12 * d)
      expectClose(slope, besselK0(x), { rtol: 1e-9 }, `x = ${x}`)
    }
  })
  it('begins at 0 as x(1 − γ − ln(x/2)) and ends at π/2', () => {
    expect(integralK0(0)).toBe(0)
    expectClose(integralK0(1e-6), 1e-6 * (1 - 0.5772156649015329 - Math.log(5e-7)), { rtol: 1e-11 })
    expectClose(integralK0(300), Math.PI / 2, { rtol: 1e-15 })
  })
})

describe('products and what is left without the logarithm', () => {
  it('have their limits at 0', () => {
    expect([xK1(0), xK0(0)]).toEqual([1, 0])
    expectClose(withoutLog(0), 0.5772156649015329 - Math.LN2, { rtol: 1e-15 })
    expectClose(withoutLog(1e-9), withoutLog(0), { rtol: 1e-14 })
  })
  it('are made of the functions', () => {
    expectClose(xK1(0.7), 0.7 * besselK1(0.7), { rtol: 1e-15 })
    expectClose(xK0(3), 3 * besselK0(3), { rtol: 1e-15 })
    expectClose(withoutLog(3), -Math.log(3) - besselK0(3), { rtol: 1e-15 })
  })
})
