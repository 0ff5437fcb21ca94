import { describe, expect, it } from 'vitest'
import {
  COLLAPSE_RULES,
  type CollapseRule,
  collapseRuleText,
  collapseTime,
  type ScaledSeries,
  type Series,
  scaleSeries,
  scatterOf,
  spreadAbout,
} from '../../src/measured/scaling.ts'
import { fitSync } from '../../src/numerics/leastSquares.ts'
import { compareModels, straightLine } from '../../src/numerics/statistics.ts'

/** Tent: rises from 2 to 10 mm in 4 s, falls to 0 at 8 s. */
const tent: Series = { name: 'tent', time: [0, 4, 6, 8], radius: [0.002, 0.01, 0.009, 0] }
const scaled = (series: Series, rule: CollapseRule): ScaledSeries => {
  const result = scaleSeries(series, rule)
  if (!result.ok) throw new Error(result.reason)
  return result.series
}

describe('collapse time', () => {
  it('by each definition', () => {
    expect(collapseTime(tent, { kind: 'falls-below', fraction: 0.3 })).toBeCloseTo(6 + (2 * 6) / 9, 12)
    expect(collapseTime(tent, { kind: 'falls-below', fraction: 0.95 })).toBeCloseTo(5, 12)
    expect(collapseTime(tent, { kind: 'fastest-fall' })).toBe(7)
    expect(collapseTime(tent, { kind: 'last-point' })).toBe(8)
    expect(collapseTime(tent, { kind: 'maximum' })).toBe(4)
    expect(collapseTime(tent, { kind: 'given', times: { tent: 7.5 } })).toBe(7.5)
    expect(collapseTime({ ...tent, startTime: 1 }, { kind: 'last-point' })).toBe(7)
  })

  it('a radius below the level before the maximum does not count', () => {
    expect(collapseTime(tent, { kind: 'falls-below', fraction: 0.5 })).toBeGreaterThan(4)
  })

  it('NaN where the series ends too early, and the refusal says why', () => {
    const early: Series = { name: 'early', time: [0, 4, 6], radius: [0.002, 0.01, 0.009] }
    expect(collapseTime(early, COLLAPSE_RULES[0]!)).toBeNaN()
    expect(scaleSeries(early, COLLAPSE_RULES[0]!)).toEqual({
      ok: false,
      name: 'early',
      reason: expect.stringMatching(/does not show.*below 0\.3/),
    })
    expect(scaleSeries({ name: 'n', time: [0, 1], radius: [0, 0] }, { kind: 'last-point' }).ok).toBe(false)
    expect(scaleSeries({ name: 'n', time: [], radius: [] }, { kind: 'last-point' }).ok).toBe(false)
    expect(scaleSeries({ ...tent, startTime: 9 }, { kind: 'last-point' }).ok).toBe(false)
    const rising: Series = { name: 'rising', time: [0, 1], radius: [0.001, 0.002] }
    expect(scaleSeries(rising, { kind: 'fastest-fall' }).ok).toBe(false)
  })

  it('every definition has its own words', () => {
    const texts = COLLAPSE_RULES.map(collapseRuleText)
    expect(new Set(texts).size).toBe(COLLAPSE_RULES.length)
  })
})

describe('scaled curves', () => {
  /** One shape, stretched: R = A f(t/T). */
  const shape = (x: number) => 4 * x * (1 - x) + 0.02
  const stretched = (name: string, A: number, T: number, startTime = 0): Series => {
    const x = Array.from({ length: 81 }, (_, i) => i / 80)
    return { name, time: x.map((v) => startTime + v * T), radius: x.map((v) => A * shape(v)), startTime }
  }

  it('copies of one shape fall on one curve', () => {
    const all = [stretched('a', 0.01, 5), stretched('b', 0.03, 20), stretched('c', 0.02, 8, 3)]
    for (const rule of COLLAPSE_RULES) {
      if (rule.kind === 'maximum') continue
      const spread = spreadAbout(all.map((s) => scaled(s, rule)))
      expect(spread!.spread, rule.kind).toBeLessThan(1e-6)
    }
    const one = scaled(all[2]!, { kind: 'last-point' })
    expect([one.maxRadius, one.collapse]).toEqual([0.02 * shape(0.5), 8])
    expect(Math.max(...one.y)).toBe(1)
  })

  it('two constant curves 0.2 apart: spread 0.2/√2 about their mean', () => {
    const flat = (name: string, y: number): ScaledSeries => ({
      name,
      x: Float64Array.of(0, 1),
      y: Float64Array.of(y, y),
      maxRadius: 1,
      collapse: 1,
      collapseError: Number.NaN,
    })
    const spread = spreadAbout([flat('a', 0.7), flat('b', 0.9)])!
    expect(spread.spread).toBeCloseTo(0.2 / Math.SQRT2, 12)
    expect(spread.mean[50]).toBeCloseTo(0.8, 12)
    expect(spread.count).toBe(2)
  })

  it('only the stretch that all curves cover counts', () => {
    const piece = (from: number, to: number, y: number): ScaledSeries => ({
      name: '',
      x: Float64Array.of(from, to),
      y: Float64Array.of(y, y),
      maxRadius: 1,
      collapse: 1,
      collapseError: Number.NaN,
    })
    const spread = spreadAbout([piece(-1, 0.8, 1), piece(0.2, 3, 1)])!
    expect([spread.x[0], spread.x.at(-1)]).toEqual([0.2, 0.8])
    expect(spreadAbout([piece(0, 0.3, 1), piece(0.5, 1, 1)])).toBeNull()
    expect(spreadAbout([piece(0, 1, 1)])).toBeNull()
  })

  it('mean and scatter of a ratio', () => {
    // 2, 4, 4, 4, 5, 5, 7, 9 has mean 5 and Σ(x − mean)² = 32: common textbook example, from memory, checked by hand.
    const s = scatterOf([2, 4, 4, 4, Number.NaN, 5, 5, 7, 9])
    expect([s.count, s.mean]).toEqual([8, 5])
    expect(s.deviation).toBeCloseTo(Math.sqrt(32 / 7), 12)
    expect(s.meanError).toBeCloseTo(Math.sqrt(32 / 56), 12)
    expect(scatterOf([3]).deviation).toBeNaN()
    expect(scatterOf([]).mean).toBeNaN()
  })
})

describe('straight line', () => {
  it('NIST StRD linear regression, Norris: certified values', () => {
    // Data and certified values: NIST Statistical Reference Datasets, linear least squares, Norris.
    const y = [
      0.1, 338.8, 118.1, 888, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3,
      448.9, 10.8,
    ]
    const x = [
      0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777, 558.2, 0.4, 0.6, 775.5, 666.9, 338,
      447.5, 11.6,
    ]
    y.push(
      557.7,
      228.3,
      998,
      888.8,
      119.6,
      0.3,
      0.6,
      557.6,
      339.3,
      888,
      998.5,
      778.9,
      10.2,
      117.6,
      228.9,
      668.4,
      449.2,
      0.2,
    )
    x.push(
      556,
      228.1,
      995.8,
      887.6,
      120.2,
      0.3,
      0.3,
      556.8,
      339.1,
      887.2,
      999,
      779,
      11.1,
      118.3,
      229.2,
      669.1,
      448.9,
      0.5,
    )
    const line = straightLine(x, y)!
    expect(line.slope / 1.00211681802045).toBeCloseTo(1, 12)
    expect(line.intercept / -0.262323073774029).toBeCloseTo(1, 10)
    expect(line.slopeError / 0.429796848199937e-3).toBeCloseTo(1, 10)
    expect(line.interceptError / 0.232818234301152).toBeCloseTo(1, 10)
    expect(line.chiSquared / 26.6173985294224).toBeCloseTo(1, 10)
    expect([line.count, line.degreesOfFreedom, line.errorsFrom]).toEqual([36, 34, 'scatter'])
  })

  it('weights: the same line and errors as the general fitter', () => {
    const x = [0.4, 0.5, 0.6, 0.7, 0.8]
    const y = [0.018, 0.0236, 0.0251, 0.029, 0.0322]
    const sigma = [2e-4, 5e-4, 3e-4, 8e-4, 4e-4]
    const line = straightLine(x, y, sigma)!
    const fit = fitSync(
      { residuals: (p) => Float64Array.from(x, (v, i) => (p[0]! + p[1]! * v - y[i]!) / sigma[i]!) },
      { start: [0, 0], absoluteWeights: true },
    )
    expect(line.intercept / fit.parameters[0]!).toBeCloseTo(1, 7)
    expect(line.slope / fit.parameters[1]!).toBeCloseTo(1, 7)
    expect(line.interceptError / fit.standardErrors[0]!).toBeCloseTo(1, 7)
    expect(line.slopeError / fit.standardErrors[1]!).toBeCloseTo(1, 7)
    expect(line.covariance / fit.covariance[1]!).toBeCloseTo(1, 7)
    expect(line.chiSquared / fit.sumOfSquares).toBeCloseTo(1, 7)
  })

  it('what has no line', () => {
    expect(straightLine([1], [1])).toBeNull()
    expect(straightLine([1, 1, 1], [1, 2, 3])).toBeNull()
    expect(straightLine([1, 2], [1, 2], [1, 0])).toBeNull()
    expect(straightLine([1, 2, Number.NaN], [1, Number.NaN, 3])).toBeNull()
    const two = straightLine([1, 2], [3, 5])!
    expect([two.intercept, two.slope, two.degreesOfFreedom]).toEqual([1, 2, 0])
    expect(two.slopeError).toBeNaN()
    expect(straightLine([1, 2], [3, 5], [0.1, 0.1])!.slopeError).toBeCloseTo(0.1 * Math.SQRT2, 12)
  })
})

describe('choice between models', () => {
  it("Akaike's criterion by its formula", () => {
    // Burnham & Anderson (2002), eqs. 2.5 ff.: AICc = n ln(RSS/n) + 2k + 2k(k + 1)/(n − k − 1), k with the variance.
    const ranked = compareModels(
      [
        { name: 'two', parameters: 2, sumOfSquares: 30, count: 20 },
        { name: 'one', parameters: 1, sumOfSquares: 32, count: 20 },
      ],
      false,
    )!
    const two = 20 * Math.log(1.5) + 6 + 24 / 16
    const one = 20 * Math.log(1.6) + 4 + 12 / 17
    expect(ranked.map((r) => r.name)).toEqual(['one', 'two'])
    expect(ranked[0]!.aicc).toBeCloseTo(one, 12)
    expect(ranked[1]!.difference).toBeCloseTo(two - one, 12)
    expect(ranked[0]!.weight / ranked[1]!.weight).toBeCloseTo(Math.exp((two - one) / 2), 12)
    expect(ranked[0]!.weight + ranked[1]!.weight).toBeCloseTo(1, 12)
  })

  it('known errors: χ² + 2k', () => {
    const [best] = compareModels([{ name: 'a', parameters: 3, sumOfSquares: 12, count: 50 }], true)!
    expect(best!.aic).toBe(18)
    expect(best!.weight).toBe(1)
  })

  it('different data, or none, are not compared; too few data count against a model', () => {
    const a = { name: 'a', parameters: 1, sumOfSquares: 1, count: 10 }
    expect(compareModels([a, { ...a, count: 11 }], false)).toBeNull()
    expect(compareModels([], false)).toBeNull()
    expect(compareModels([{ ...a, sumOfSquares: Number.NaN }], false)).toBeNull()
    const ranked = compareModels([{ ...a, parameters: 9 }, a], false)!
    expect(ranked[1]!.aicc).toBe(Infinity)
    expect(ranked[1]!.weight).toBe(0)
  })

  it('finds the simpler of two nested models where the data are made by it', () => {
    const t = Array.from({ length: 40 }, (_, i) => i / 10)
    const y = t.map((v) => 3 * Math.exp(-0.7 * v) + 0.02 * Math.sin(97 * v))
    const simple = fitSync(
      { residuals: (p) => Float64Array.from(t, (v, i) => p[0]! * Math.exp(-p[1]! * v) - y[i]!) },
      { start: [1, 1] },
    )
    const rich = fitSync(
      { residuals: (p) => Float64Array.from(t, (v, i) => p[0]! * Math.exp(-p[1]! * v) + p[2]! - y[i]!) },
      { start: [1, 1, 0] },
    )
    const ranked = compareModels(
      [
        { name: 'simple', parameters: 2, sumOfSquares: simple.sumOfSquares, count: 40 },
        { name: 'rich', parameters: 3, sumOfSquares: rich.sumOfSquares, count: 40 },
      ],
      false,
    )!
    expect(ranked[0]!.name).toBe('simple')
    expect(rich.sumOfSquares).toBeLessThanOrEqual(simple.sumOfSquares)
  })
})
