/** Pieces of the numerics that only long fits go through: shared errors, slopes of local polynomials. */
import { describe, expect, it } from 'vitest'
import { basisAt, combined, errorOf, localPolynomial } from '../../src/numerics/localPolynomial.ts'
import { Whitening } from '../../src/numerics/whitening.ts'
import { expectClose } from '../matchers.ts'

/** Any numbers, alike in each run. */
const wave = (n: number, k: number) =>
  Float64Array.from({ length: n }, (_, i) => Math.sin(1 + 2.3 * i + 1.7 * k * i))

/** rᵀV⁻¹r by elimination with pivots, V = diag(σ²) + Σ s sᵀ: the definition. */
function bySolving(sigma: Float64Array, shifts: readonly Float64Array[], r: Float64Array): number {
  const n = sigma.length
  const rows = Array.from({ length: n }, (_, i) => [
    ...Array.from(
      { length: n },
      (_, j) => shifts.reduce((sum, s) => sum + s[i]! * s[j]!, 0) + (i === j ? sigma[i]! ** 2 : 0),
    ),
    r[i]!,
  ])
  for (let c = 0; c < n; c++) {
    for (let i = c + 1; i < n; i++) {
      const by = rows[i]![c]! / rows[c]![c]!
      for (let j = c; j <= n; j++) rows[i]![j]! -= by * rows[c]![j]!
    }
  }
  const x = new Float64Array(n)
  for (let i = n - 1; i >= 0; i--) {
    let sum = rows[i]![n]!
    for (let j = i + 1; j < n; j++) sum -= rows[i]![j]! * x[j]!
    x[i] = sum / rows[i]![i]!
  }
  return r.reduce((sum, value, i) => sum + value * x[i]!, 0)
}

describe('whitening', () => {
  const sigma = Float64Array.from({ length: 9 }, (_, i) => 0.5 + 0.1 * i)
  const r = wave(9, 0)
  const size = (z: Float64Array) => z.reduce((sum, value) => sum + value * value, 0)
  it('without shared errors divides by σ', () => {
    const none = new Whitening(sigma)
    expect([...none.apply(r)]).toEqual(Array.from(r, (value, i) => value / sigma[i]!))
    expect([...none.undo(none.apply(r))].map((v) => v.toFixed(12))).toEqual([...r].map((v) => v.toFixed(12)))
  })
  it.each([
    ['one cause', [wave(9, 1)]],
    ['three causes', [wave(9, 1), wave(9, 2), wave(9, 3)]],
    ['two causes of which one is the other’s double', [wave(9, 1), wave(9, 1).map((s) => 2 * s)]],
    ['a cause of nothing beside one', [wave(9, 2), new Float64Array(9)]],
  ])('has |r_w|² = rᵀV⁻¹r and is undone: %s', (_, shifts) => {
    const whitening = new Whitening(sigma, shifts)
    expectClose(size(whitening.apply(r)), bySolving(sigma, shifts, r), { rtol: 1e-10 })
    whitening.undo(whitening.apply(r)).forEach((value, i) => {
      expectClose(value, r[i]!, { atol: 1e-12 })
    })
    // One standard deviation of a cause, whitened, is what its shift is whitened.
    shifts.forEach((shift, k) => {
      whitening.effect(k).forEach((value, i) => {
        expectClose(value, whitening.apply(shift)[i]!, { atol: 1e-12 })
      })
    })
  })
})

describe('a polynomial through points of a cubic', () => {
  const cubic = [2, -1, 0.5, 3] as const
  const at = (x: number) => cubic[0] + cubic[1] * x + cubic[2] * x * x + cubic[3] * x ** 3
  const x = Float64Array.from({ length: 12 }, (_, i) => 0.2 * i)
  const sigma = x.map(() => 0.1)
  const fit = localPolynomial(x, x.map(at), sigma, 3, 0.9, 0.4)!
  it('gives value, slope, curvature and third derivative', () => {
    const of = (place: number, order: number) => combined(basisAt(fit, place, order), fit.coefficients)
    for (const place of [0, 0.7, 2.2]) {
      expectClose(of(place, 0), at(place), { atol: 1e-9 })
      expectClose(of(place, 1), cubic[1] + 2 * cubic[2] * place + 9 * place * place, { atol: 1e-8 })
      expectClose(of(place, 2), 2 * cubic[2] + 18 * place, { atol: 1e-7 })
      expectClose(of(place, 3), 18, { atol: 1e-6 })
      expect(of(place, 4)).toBe(0)
    }
    expect(fit.chiSquared).toBeLessThan(1e-12)
  })
  // Mean of n equal points: σ/√n.
  it('knows the error of a mean', () => {
    const mean = localPolynomial(x, x.map(at), sigma, 0, 0.9, 0.4)!
    expectClose(errorOf(basisAt(mean, 0.3), mean.covariance), 0.1 / Math.sqrt(12), { rtol: 1e-12 })
  })
})
