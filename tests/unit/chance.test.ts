import { describe, expect, it } from 'vitest'
import { chiSquaredTail, neighbourCorrelation, runsOf } from '../../src/numerics/chance.ts'
import { normal } from '../fixtures/fitCurves.ts'
import { expectClose } from '../matchers.ts'

describe('tail of χ²', () => {
  // Critical values with three decimals: NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.4.
  it.each([
    [3.841, 1, 0.05],
    [6.635, 1, 0.01],
    [5.991, 2, 0.05],
    [7.815, 3, 0.05],
    [18.307, 10, 0.05],
    [23.209, 10, 0.01],
    [3.94, 10, 0.95],
    [43.773, 30, 0.05],
    [50.892, 30, 0.01],
    [124.342, 100, 0.05],
    [77.929, 100, 0.95],
  ])('%d at %i degrees of freedom is exceeded with %d', (chi, degrees, chance) => {
    expectClose(chiSquaredTail(chi, degrees), chance, { rtol: 5e-4 })
  })
  it('is e^(−χ²/2) for two degrees', () => {
    for (const chi of [1e-6, 0.5, 3, 40, 700])
      expectClose(chiSquaredTail(chi, 2), Math.exp(-chi / 2), { rtol: 1e-12 })
  })
  it('joins over the two forms of the error function', () => {
    // Tail of the normal distribution at 3.5 and 3.6 deviations, both sides: Abramowitz & Stegun, table 26.1 (as Q(x)).
    expectClose(chiSquaredTail(3.5 ** 2, 1), 2 * 2.32629e-4, { rtol: 1e-5 })
    expectClose(chiSquaredTail(3.6 ** 2, 1), 2 * 1.59109e-4, { rtol: 1e-5 })
  })
  it('stays a number for many points', () => {
    expectClose(chiSquaredTail(10_000, 10_000), 0.5, { atol: 3e-3 })
    expect(chiSquaredTail(1e6, 100)).toBe(0)
    expect(chiSquaredTail(0, 5)).toBe(1)
  })
  it.each([
    [-1, 3],
    [1, 0],
    [1, 2.5],
    [Number.NaN, 2],
  ])('means nothing for %d, %d', (chi, degrees) => expect(chiSquaredTail(chi, degrees)).toBeNaN())
})

describe('runs of one sign', () => {
  it('are counted and expected as in the closed form', () => {
    // n₁ = 5, n₂ = 3: mean 2·5·3/8 + 1 = 4.75, variance 30·22/(64·7) (Wald & Wolfowitz 1940).
    const { runs, expected, deviation } = runsOf([[1, 2, -1, -3, 4, 5, 6, -1]])
    expect(runs).toBe(4)
    expectClose(expected, 4.75, { rtol: 1e-12 })
    expectClose(deviation, Math.sqrt((30 * 22) / (64 * 7)), { rtol: 1e-12 })
  })
  it('pass over zeros and add up over rows', () => {
    const both = runsOf([
      [1, 0, 1, -1],
      [-1, 2],
    ])
    expect(both.runs).toBe(4)
    expect(runsOf([[0, 0], []])).toEqual({ runs: 0, expected: 0, deviation: 0 })
  })
  it('are as many as expected in random rows', () => {
    const rows = Array.from({ length: 400 }, (_, seed) => {
      const next = normal(seed + 1)
      return Array.from({ length: 30 }, next)
    })
    const { runs, expected, deviation } = runsOf(rows)
    expect(Math.abs(runs - expected)).toBeLessThan(3.5 * deviation)
    expect(Math.abs(neighbourCorrelation(rows))).toBeLessThan(3.5 / Math.sqrt(400 * 30))
  })
  it('neighbours are correlated where a row drifts', () => {
    expect(neighbourCorrelation([[1, 1, 1, 1]])).toBe(0.75)
    expect(neighbourCorrelation([[1, -1, 1, -1]])).toBe(-0.75)
    expect(neighbourCorrelation([[0, 0]])).toBeNaN()
  })
})
