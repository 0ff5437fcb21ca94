import { describe, expect, it } from 'vitest'
import { indexAt, sampleSeries, sampleTimes, seriesAt } from '../../src/life/sample.ts'
import type { LifeSeries } from '../../src/life/types.ts'

/** R = (t − 1)³ + 2 with its exact speed: a cubic must come back exactly. centre is a straight line. */
function cubicLife(t: number[]): LifeSeries {
  const of = (f: (t: number) => number) => Float64Array.from(t, f)
  const zero = () => of(() => 0)
  const names = [
    'thin thinRadius ringHeight ringRadius ringWidth ringVolume volume alcohol evaporatedVolume',
    'evaporatedAlcohol inOil childVolume childAlcohol childCount childRadius',
  ]
  const rest = Object.fromEntries(
    names
      .join(' ')
      .split(' ')
      .map((name) => [name, zero()]),
  )
  return {
    ...(rest as unknown as LifeSeries),
    t: of((x) => x),
    R: of((x) => (x - 1) ** 3 + 2),
    U: of((x) => 3 * (x - 1) ** 2),
    centre: of((x) => 5 - x),
  }
}

describe('indexAt', () => {
  it('finds the interval and clamps', () => {
    const t = [0, 0.1, 0.5, 2]
    expect([-1, 0, 0.05, 0.1, 0.49, 0.5, 1.9, 2, 9].map((x) => indexAt(t, x))).toEqual([
      0, 0, 0, 1, 1, 2, 2, 3, 3,
    ])
    expect(indexAt(t, Number.NaN)).toBe(0)
    expect(indexAt([], 1)).toBe(0)
  })
})

describe('seriesAt', () => {
  const series = cubicLife([0, 0.3, 0.35, 1.2, 2, 2.5])
  it('reproduces a cubic radius and a linear thickness', () => {
    for (let time = 0; time <= 2.5; time += 0.01) {
      const moment = seriesAt(series, time)
      expect(Math.abs(moment.R - ((time - 1) ** 3 + 2))).toBeLessThan(1e-13)
      expect(Math.abs(moment.centre - (5 - time))).toBeLessThan(1e-13)
      expect(Math.abs(moment.t - time)).toBeLessThan(1e-13)
    }
  })
  it('holds the first and the last moment outside', () => {
    expect(seriesAt(series, -3).R).toBe(series.R[0])
    expect(seriesAt(series, 99).R).toBe(series.R[5])
  })
  it('does not let a missing value spread beyond its half of the interval', () => {
    series.thin.set([Number.NaN, 4, 4, 4, 4, Number.NaN])
    expect(seriesAt(series, 0.1).thin).toBeNaN()
    expect(seriesAt(series, 0.2).thin).toBe(4)
    expect(seriesAt(series, 2.4).thin).toBeNaN()
  })
  it('is never negative and never lost where the speed is unknown', () => {
    const odd = cubicLife([0, 1])
    odd.R.set([1e-3, 0])
    odd.U.set([0, 5])
    expect(seriesAt(odd, 0.8).R).toBe(0)
    odd.U.set([Number.NaN, 0])
    expect(seriesAt(odd, 0.5).R).toBe(0.5e-3)
  })
  it('gives NaN for an empty life', () => {
    expect(seriesAt(cubicLife([]), 1).R).toBeNaN()
  })
})

describe('sampleSeries', () => {
  it('has even times that do not drift, and the end', () => {
    expect([...sampleTimes(1, 0.25)]).toEqual([0, 0.25, 0.5, 0.75, 1])
    expect([...sampleTimes(1.1, 0.5)]).toEqual([0, 0.5, 1, 1.1])
    const long = sampleTimes(1000, 0.1)
    expect(long.length).toBe(10_001)
    expect(long[7000]).toBe(7000 * 0.1)
    expect(() => sampleTimes(1, 0)).toThrow(RangeError)
  })
  it('samples every series at these times', () => {
    const sampled = sampleSeries({ series: cubicLife([0, 0.3, 1.2, 2, 2.5]) }, 0.5)
    expect([...sampled.t]).toEqual([0, 0.5, 1, 1.5, 2, 2.5])
    expect(sampled.R[2]).toBeCloseTo(2, 12)
    expect(sampled.centre.length).toBe(6)
    expect(sampleSeries({ series: cubicLife([]) }, 0.5).R.length).toBe(0)
  })
})
