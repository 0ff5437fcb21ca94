import { describe, expect, it } from 'vitest'
import { latinHypercube } from '../../src/numerics/sampling/latinHypercube.ts'
import { normalQuantile } from '../../src/numerics/sampling/normal.ts'
import { randomStream, shuffled } from '../../src/numerics/sampling/random.ts'
import {
  saltelliRows,
  saltelliSequence,
  sensitivityIndices,
} from '../../src/numerics/sampling/sensitivity.ts'
import { MOST_DIMENSIONS, Sobol } from '../../src/numerics/sampling/sobol.ts'
import sobolPoints from '../references/sobolPoints.json' with { type: 'json' }

describe('Sobol sequence', () => {
  // First points in the order of the authors' program; Joe & Kuo (2008), and scipy.stats.qmc.Sobol (unscrambled).
  it('has the published first points', () => {
    const two = new Sobol(2)
    expect(Array.from({ length: 6 }, (_, i) => [...two.point(i)])).toEqual([
      [0, 0],
      [0.5, 0.5],
      [0.75, 0.25],
      [0.25, 0.75],
      [0.375, 0.375],
      [0.875, 0.875],
    ])
  })

  it('agrees with a reference library in all dimensions', () => {
    const sequence = new Sobol(MOST_DIMENSIONS)
    for (const { index, point } of sobolPoints.points) expect([...sequence.point(index)]).toEqual(point)
  })

  // The definition of a (0, m, 1)-net: Niederreiter, Random Number Generation and Quasi-Monte Carlo Methods (1992).
  it('puts one of 2^m points in each of 2^m parts, along every dimension', () => {
    const sequence = new Sobol(MOST_DIMENSIONS)
    const points = Array.from({ length: 256 }, (_, i) => sequence.point(i))
    for (let d = 0; d < MOST_DIMENSIONS; d++) {
      expect(new Set(points.map((p) => Math.floor(256 * p[d]!))).size).toBe(256)
    }
  })

  it('refuses dimensions that it has no numbers for', () => {
    expect(() => new Sobol(MOST_DIMENSIONS + 1)).toThrow(/Permitted: 1 to 160/)
    expect(() => new Sobol(0)).toThrow(RangeError)
  })
})

describe('Latin hypercube', () => {
  // Its definition: McKay, Beckman & Conover (1979).
  it('has exactly one point in each part along each dimension', () => {
    for (const count of [1, 7, 1000]) {
      const points = latinHypercube(count, 3, 5)
      for (let d = 0; d < 3; d++) {
        const parts = Array.from({ length: count }, (_, i) => Math.floor(count * points[3 * i + d]!))
        expect(parts.sort((a, b) => a - b)).toEqual(Array.from({ length: count }, (_, i) => i))
      }
    }
  })

  it('is the same for the same seed, another for another, and keeps its first columns when one is added', () => {
    expect(latinHypercube(20, 2, 1)).toEqual(latinHypercube(20, 2, 1))
    expect(latinHypercube(20, 2, 1)).not.toEqual(latinHypercube(20, 2, 2))
    const wide = latinHypercube(20, 3, 1)
    expect(latinHypercube(20, 2, 1).every((v, i) => v === wide[3 * Math.floor(i / 2) + (i % 2)])).toBe(true)
  })
})

describe('normal quantile', () => {
  // Handbook values: Abramowitz & Stegun, table 26.5; the last two scipy.stats.norm.ppf.
  it.each([
    [0.5, 0],
    [0.975, 1.959963984540054],
    [0.025, -1.959963984540054],
    [0.8413447460685429, 1],
    [0.999, 3.090232306167813],
    [1e-9, -5.9978070150076865],
    [1e-300, -37.0471],
  ])('of %s is %s', (p, z) => expect(normalQuantile(p)).toBeCloseTo(z, p < 1e-100 ? 4 : 12))

  it('has ends and no value outside', () => {
    expect(normalQuantile(0)).toBe(Number.NEGATIVE_INFINITY)
    expect(normalQuantile(1)).toBe(Number.POSITIVE_INFINITY)
    expect(normalQuantile(1.1)).toBeNaN()
  })
})

describe('random numbers', () => {
  // Mean 1/2 and variance 1/12 of the even distribution, within four standard errors of 1e5 numbers.
  it('are evenly spread, and a shuffle is a permutation', () => {
    const random = randomStream(3)
    const many = Array.from({ length: 100_000 }, random)
    const mean = many.reduce((a, b) => a + b) / many.length
    expect(Math.abs(mean - 0.5)).toBeLessThan(4 * Math.sqrt(1 / 12 / 1e5))
    expect([...shuffled(50, random)].sort((a, b) => a - b)).toEqual(Array.from({ length: 50 }, (_, i) => i))
  })
})

/** Results of a function over all rows of Saltelli's design. */
function over(f: (u: Float64Array) => number, inputs: number, count: number): number[][] {
  const sequence = saltelliSequence(inputs)
  return Array.from({ length: count }, (_, i) => saltelliRows(sequence, i).map(f))
}

describe('sensitivity indices', () => {
  const N = 2 ** 14

  // Ishigami & Homma (1990), a = 7, b = 0.1; closed forms as in Saltelli et al., Global Sensitivity Analysis (2008), 4.
  it('agree with the closed forms of the Ishigami function', () => {
    const [a, b] = [7, 0.1]
    const f = (u: Float64Array) => {
      const [x, y, z] = [...u].map((v) => Math.PI * (2 * v - 1)) as [number, number, number]
      return Math.sin(x) + a * Math.sin(y) ** 2 + b * z ** 4 * Math.sin(x)
    }
    const V1 = 0.5 * (1 + (b * Math.PI ** 4) / 5) ** 2
    const V2 = a ** 2 / 8
    const V13 = (b ** 2 * Math.PI ** 8 * 8) / 225
    const V = V1 + V2 + V13
    const { indices, variance, mean } = sensitivityIndices(over(f, 3, N), 3)
    expect(mean).toBeCloseTo(a / 2, 2)
    expect(variance / V).toBeCloseTo(1, 2)
    const first = [V1 / V, V2 / V, 0]
    const total = [(V1 + V13) / V, V2 / V, V13 / V]
    indices.forEach((index, k) => {
      expect(Math.abs(index.first - first[k]!)).toBeLessThan(0.01)
      expect(Math.abs(index.total - total[k]!)).toBeLessThan(0.01)
      expect(index.firstError).toBeGreaterThan(0)
    })
  })

  // Sobol's g function; closed forms: Saltelli & Sobol (1995).
  it('agree with the closed forms of the g function', () => {
    const a = [0, 1, 4.5, 9, 99, 99, 99, 99]
    const f = (u: Float64Array) =>
      a.reduce((product, ak, k) => (product * (Math.abs(4 * u[k]! - 2) + ak)) / (1 + ak), 1)
    const part = a.map((ak) => 1 / 3 / (1 + ak) ** 2)
    const V = part.reduce((product, v) => product * (1 + v), 1) - 1
    const { indices } = sensitivityIndices(over(f, 8, N), 8)
    indices.forEach((index, k) => {
      const rest = part.reduce((product, v, j) => (j === k ? product : product * (1 + v)), 1)
      expect(Math.abs(index.first - part[k]! / V)).toBeLessThan(0.01)
      expect(Math.abs(index.total - (part[k]! * rest) / V)).toBeLessThan(0.01)
    })
  })

  // Of a sum the first and total indices are the terms' shares; errors shrink as 1/√n (bootstrap: Efron 1979).
  it('state errors that hold the truth and shrink with the number of points', () => {
    const f = (u: Float64Array) => u[0]! + 2 * u[1]!
    const [few, many] = [64, 1024].map((n) => sensitivityIndices(over(f, 2, n), 2).indices[1]!)
    expect(Math.abs(few!.total - 0.8)).toBeLessThan(4 * few!.totalError)
    expect(few!.totalError / many!.totalError).toBeGreaterThan(2.5)
    expect(few!.totalError / many!.totalError).toBeLessThan(6.5)
  })

  it('leave out base points with a missing result and tell how many; nothing that varies is no index', () => {
    const rows = over((u) => u[0]! + u[1]!, 2, 100)
    rows[3]![2] = Number.NaN
    expect(sensitivityIndices(rows, 2)).toMatchObject({ used: 99, left: 1 })
    expect(
      sensitivityIndices(
        over(() => 1, 2, 10),
        2,
      ).indices[0]!.first,
    ).toBeNaN()
  })
})
