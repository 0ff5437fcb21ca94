/**
 * Tabulated closures against the functions themselves: values, derivatives and order.
 * Source: cubic Hermite interpolation with fourth-order slopes has an error of order h⁴ (textbook;
 * C. de Boor, A Practical Guide to Splines, from memory).
 */
import { describe, expect, it } from 'vitest'
import { CurveSet } from '../../src/numerics/curveSet.ts'
import { expectClose } from '../matchers.ts'

const functions: [string, (x: number) => number, (x: number) => number][] = [
  // The steepest of the reference curves, mN/m.
  [
    'reference tension',
    (x) => 27.6 - 6.4 * x + 44.4 * Math.exp(-x / 0.085),
    (x) => -6.4 - (44.4 / 0.085) * Math.exp(-x / 0.085),
  ],
  ['cubic', (x) => 1 - 2 * x + 3 * x ** 3, (x) => -2 + 9 * x * x],
  ['wave', (x) => Math.sin(5 * x), (x) => 5 * Math.cos(5 * x)],
]

function errors(intervals: number): { value: number; slope: number }[] {
  const set = new CurveSet(
    functions.map(([, f]) => f),
    intervals,
  )
  const out = new Float64Array(2 * functions.length)
  const worst = functions.map(() => ({ value: 0, slope: 0 }))
  for (let i = 0; i <= 5000; i++) {
    const x = i / 5000
    set.evaluate(x, out)
    functions.forEach(([, f, slope], k) => {
      worst[k]!.value = Math.max(worst[k]!.value, Math.abs(out[k]! - f(x)))
      worst[k]!.slope = Math.max(worst[k]!.slope, Math.abs(out[functions.length + k]! - slope(x)))
    })
  }
  return worst
}

describe('tabulated curves', () => {
  it('meet the functions to 1e-7 of their span and the derivatives to 1e-5 at 512 intervals', () => {
    const [tension, cubic, wave] = errors(512)
    expect(tension!.value).toBeLessThan(44.4e-7)
    expect(tension!.slope).toBeLessThan((44.4 / 0.085) * 1e-5)
    expect(cubic!.value).toBeLessThan(1e-14)
    expect(cubic!.slope).toBeLessThan(1e-11)
    expect(wave!.value).toBeLessThan(1e-10)
  })
  it('gain a factor 16 per halving in value and at least 8 in derivative', () => {
    const [coarse, fine] = [errors(64), errors(128)]
    for (const k of [0, 2]) {
      expectClose(Math.log2(coarse[k]!.value / fine[k]!.value), 4, { atol: 0.4 })
      expect(Math.log2(coarse[k]!.slope / fine[k]!.slope)).toBeGreaterThan(2.8)
    }
  })
  it('have as derivative the derivative of what they give, also outside, where they run on as tangents', () => {
    const set = new CurveSet(functions.map(([, f]) => f))
    const out = new Float64Array(2 * functions.length)
    for (const x of [-0.3, -0.01, 0.013, 0.2, 0.5, 0.77, 0.999, 1.2]) {
      set.evaluate(x, out)
      const d = 1e-7
      functions.forEach((_, k) => {
        const found = out[functions.length + k]!
        expectClose(
          found,
          (set.at(x + d, k) - set.at(x - d, k)) / (2 * d),
          { rtol: 1e-5, atol: 1e-6 },
          `x = ${x}`,
        )
      })
    }
    expectClose(set.at(1.5, 1), set.at(1, 1) + 0.5 * 7, { rtol: 1e-9 })
  })
})
