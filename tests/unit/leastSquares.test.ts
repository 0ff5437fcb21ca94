import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { qr, solveUpper, svd } from '../../src/numerics/denseSolve.ts'
import { type FitProgress, fitAsync, fitSync } from '../../src/numerics/leastSquares.ts'

const line = Array.from({ length: 20 }, (_, i) => i / 4)
const decay = (p: ArrayLike<number>, t: number) => p[0]! * Math.exp(-p[1]! * t)

/** A fixed sequence of nearly normal numbers (sum of twelve uniform ones), by a linear congruential generator. */
function noise(seed: number): () => number {
  let state = seed >>> 0
  const uniform = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return state / 2 ** 32
  }
  for (let i = 0; i < 5; i++) uniform()
  return () => Array.from({ length: 12 }, uniform).reduce((a, b) => a + b, -6)
}

const close = (got: number, want: number, rtol: number) =>
  expect(Math.abs(got - want), `${got} against ${want}`).toBeLessThanOrEqual(rtol * Math.abs(want))

describe('what the data cannot tell apart', () => {
  const data = line.map((t) => 6 * Math.exp(-0.3 * t) + 0.01 * Math.sin(37 * t))
  const product = (p: Float64Array) =>
    Float64Array.from(line, (t, i) => p[0]! * p[1]! * Math.exp(-p[2]! * t) - data[i]!)

  it('two parameters that appear only as a product', () => {
    const result = fitSync({ residuals: product }, { start: [2, 2, 0.1], names: ['height', 'width', 'rate'] })
    close(result.parameters[0]! * result.parameters[1]!, 6, 0.01)
    const worst = result.loose[0]!
    expect(worst.undetermined).toBe(true)
    expect([...worst.names].sort()).toEqual(['height', 'width'])
    expect(result.standardErrors[0]).toBe(Infinity)
    expect(result.standardErrors[1]).toBe(Infinity)
    expect(result.loose).toHaveLength(1)
  })

  it('the third parameter keeps the error it has when the product is one parameter', () => {
    const joined = fitSync(
      { residuals: (p) => product(Float64Array.of(p[0]!, 1, p[1]!)) },
      { start: [4, 0.1], names: ['product', 'rate'] },
    )
    const apart = fitSync({ residuals: product }, { start: [2, 2, 0.1] })
    expect(joined.loose).toEqual([])
    const freedom = Math.sqrt(apart.degreesOfFreedom / joined.degreesOfFreedom)
    close(apart.standardErrors[2]! * freedom, joined.standardErrors[1]!, 1e-4)
  })

  it('a parameter without any influence', () => {
    const result = fitSync(
      { residuals: (p) => Float64Array.from(line, (t, i) => decay(p, t) - data[i]!) },
      { start: [1, 1, 5], names: ['a', 'b', 'idle'] },
    )
    expect(result.converged).toBe(true)
    expect(result.parameters[2]).toBeCloseTo(5, 10)
    expect(result.loose[0]).toMatchObject({ names: ['idle'], undetermined: true })
    close(result.parameters[1]!, 0.3, 0.01)
    expect(Number.isFinite(result.standardErrors[0]!)).toBe(true)
  })

  it('two nearly equal rates are called loose but not undetermined', () => {
    const both = (p: Float64Array) =>
      Float64Array.from(line, (t, i) => p[0]! * Math.exp(-0.3 * t) + p[1]! * Math.exp(-0.31 * t) - data[i]!)
    const result = fitSync({ residuals: both }, { start: [1, 1] })
    expect(result.loose).toHaveLength(1)
    expect(result.loose[0]).toMatchObject({ undetermined: false })
    expect(result.loose[0]!.parameters.length).toBe(2)
    expect(result.correlation[1]!).toBeLessThan(-0.99)
  })
})

describe('statistics of a straight line against closed forms', () => {
  // Weighted straight line, e.g. Bevington & Robinson, Data Reduction and Error Analysis, 3rd ed., section 6.3.
  const x = [1, 2, 3, 5, 8]
  const y = [2.1, 3.9, 6.2, 9.8, 16.4]
  const sigma = [0.1, 0.2, 0.1, 0.3, 0.2]
  const residuals = (p: Float64Array) =>
    Float64Array.from(x, (xi, i) => (p[0]! + p[1]! * xi - y[i]!) / sigma[i]!)
  const w = sigma.map((s) => 1 / s ** 2)
  const sum = (f: (i: number) => number) => x.reduce((total, _, i) => total + w[i]! * f(i), 0)
  const delta = sum(() => 1) * sum((i) => x[i]! ** 2) - sum((i) => x[i]!) ** 2

  it('known weights', () => {
    const result = fitSync({ residuals }, { start: [0, 0], absoluteWeights: true })
    close(
      result.parameters[1]!,
      (sum(() => 1) * sum((i) => x[i]! * y[i]!) - sum((i) => x[i]!) * sum((i) => y[i]!)) / delta,
      1e-9,
    )
    close(result.standardErrors[0]!, Math.sqrt(sum((i) => x[i]! ** 2) / delta), 1e-8)
    close(result.standardErrors[1]!, Math.sqrt(sum(() => 1) / delta), 1e-8)
    close(result.covariance[1]!, -sum((i) => x[i]!) / delta, 1e-8)
    expect(result.covariance[1]).toBe(result.covariance[2])
    close(result.correlation[1]!, -sum((i) => x[i]!) / Math.sqrt(sum(() => 1) * sum((i) => x[i]! ** 2)), 1e-8)
  })

  it('unknown weights: errors follow χ² per degree of freedom', () => {
    const known = fitSync({ residuals }, { start: [0, 0], absoluteWeights: true })
    const scaled = fitSync({ residuals }, { start: [0, 0] })
    const factor = Math.sqrt(scaled.sumOfSquares / 3)
    close(scaled.residualDeviation, factor, 1e-12)
    close(scaled.standardErrors[1]!, known.standardErrors[1]! * factor, 1e-9)
  })

  it('stated errors match the scatter over 400 noisy repetitions within 15 %', () => {
    const random = noise(11)
    const found: number[][] = []
    let stated = [0, 0]
    for (let k = 0; k < 400; k++) {
      const data = line.map((t) => decay([5, 0.5], t) + 0.05 * random())
      const result = fitSync(
        { residuals: (p) => Float64Array.from(line, (t, i) => (decay(p, t) - data[i]!) / 0.05) },
        { start: [2, 1], absoluteWeights: true },
      )
      found.push([...result.parameters])
      stated = stated.map((total, j) => total + result.standardErrors[j]! / 400)
    }
    for (const j of [0, 1]) {
      const mean = found.reduce((total, p) => total + p[j]!, 0) / 400
      const scatter = Math.sqrt(found.reduce((total, p) => total + (p[j]! - mean) ** 2, 0) / 399)
      close(stated[j]!, scatter, 0.15)
    }
  })
})

describe('bounds', () => {
  const data = line.map((t) => decay([5, 0.5], t))
  const model = (seen: Float64Array[]) => ({
    residuals: (p: Float64Array) => {
      seen.push(p)
      return Float64Array.from(line, (t, i) => decay(p, t) - data[i]!)
    },
  })

  it('hold at every point where the model is asked, and a parameter that rests there is named', () => {
    const seen: Float64Array[] = []
    const result = fitSync(model(seen), { start: [1, 0.1], lower: [0, 0], upper: [4, 3] })
    expect(seen.every((p) => p[0]! >= 0 && p[0]! <= 4 && p[1]! >= 0 && p[1]! <= 3)).toBe(true)
    expect(result.converged).toBe(true)
    expect(result.parameters[0]).toBe(4)
    expect(result.atBound).toEqual([true, false])
    expect(result.standardErrors[0]).toBeNaN()
    const alone = fitSync(
      { residuals: (p) => Float64Array.from(line, (t, i) => decay([4, p[0]!], t) - data[i]!) },
      { start: [0.1] },
    )
    close(result.parameters[1]!, alone.parameters[0]!, 1e-6)
    close(result.standardErrors[1]!, alone.standardErrors[0]!, 1e-5)
  })

  it('a start at a bound leaves it again', () => {
    const result = fitSync(model([]), { start: [0, 3], lower: [0, 0], upper: [9, 3] })
    close(result.parameters[0]!, 5, 1e-6)
    close(result.parameters[1]!, 0.5, 1e-6)
    expect(result.atBound).toEqual([false, false])
  })

  it('any start within wide bounds finds the same minimum', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.5, max: 20, noNaN: true }),
        fc.double({ min: 0.05, max: 3, noNaN: true }),
        (a, b) => {
          const result = fitSync(model([]), { start: [a, b], lower: [0, 0], upper: [100, 10] })
          close(result.parameters[0]!, 5, 1e-6)
          close(result.parameters[1]!, 0.5, 1e-6)
        },
      ),
      { numRuns: 60, seed: 4 },
    )
  })
})

describe('reasons for stopping', () => {
  const data = line.map((t) => decay([5, 0.5], t) + 0.02 * Math.cos(11 * t))
  const residuals = (p: Float64Array) => Float64Array.from(line, (t, i) => decay(p, t) - data[i]!)

  it('exact data', () => {
    const result = fitSync({ residuals: (p) => Float64Array.of(p[0]! - 1, p[0]! - 1) }, { start: [3] })
    expect(result.converged).toBe(true)
    expect(result.parameters[0]).toBeCloseTo(1, 12)
    expect(fitSync({ residuals: () => Float64Array.of(0, 0) }, { start: [3] }).reason).toBe('exact')
  })

  it('too few data, bad starts, a model without an answer', () => {
    expect(fitSync({ residuals }, { start: new Array(21).fill(1) }).reason).toBe('too-few-data')
    expect(fitSync({ residuals }, { start: [Number.NaN, 1] }).reason).toBe('bad-start')
    expect(fitSync({ residuals }, { start: [1, 1], lower: [2, 0] }).reason).toBe('bad-start')
    expect(fitSync({ residuals }, { start: [] }).reason).toBe('bad-start')
    expect(fitSync({ residuals: () => null }, { start: [1] }).reason).toBe('start-failed')
    expect(fitSync({ residuals: () => Float64Array.of(Number.NaN, 1) }, { start: [1] }).reason).toBe(
      'start-failed',
    )
    const once = { residuals: (p: Float64Array) => (p[0] === 1 ? Float64Array.of(1, 2) : null) }
    const failed = fitSync(once, { start: [1] })
    expect(failed.reason).toBe('derivative-failed')
    expect([...failed.parameters]).toEqual([1])
  })

  it('a region without answers is stepped around', () => {
    const walled = (p: Float64Array) => (p[1]! > 0.9 || p[0]! > 7 ? null : residuals(p))
    const result = fitSync({ residuals: walled }, { start: [1, 0.01] })
    expect(result.converged).toBe(true)
    const free = fitSync({ residuals }, { start: [4, 0.4] })
    close(result.parameters[1]!, free.parameters[1]!, 1e-6)
  })

  it('limits, with the best point so far', () => {
    const short = fitSync({ residuals }, { start: [50, 4], mostIterations: 2 })
    expect(short).toMatchObject({ reason: 'most-iterations', converged: false, iterations: 2 })
    expect(short.sumOfSquares).toBeLessThanOrEqual(
      residuals(Float64Array.of(50, 4)).reduce((a, r) => a + r * r, 0),
    )
    expect(fitSync({ residuals }, { start: [50, 4], mostEvaluations: 9 }).reason).toBe('most-evaluations')
  })

  it('asked to stop, sync or async, keeps what it has; progress never rises', async () => {
    const seen: FitProgress[] = []
    const hooks = { progress: (now: FitProgress) => void seen.push(now), stopped: () => seen.length >= 2 }
    const result = await fitAsync({ residuals: async (p) => residuals(p) }, { start: [20, 3] }, hooks)
    expect(result.reason).toBe('stopped')
    expect([...result.parameters]).toEqual([...seen[1]!.parameters])
    expect(seen[1]!.sumOfSquares).toBeLessThan(seen[0]!.sumOfSquares)
    const early = await fitAsync({ residuals }, { start: [20, 3] }, { stopped: () => true })
    expect(early).toMatchObject({ reason: 'stopped', evaluations: 0 })
  })

  it('points of a derivative are asked for together, and async gives what sync gives', async () => {
    let running = 0
    let most = 0
    const slow = async (p: Float64Array) => {
      running++
      most = Math.max(most, running)
      await new Promise((done) => setTimeout(done, 0))
      running--
      return residuals(p)
    }
    const result = await fitAsync({ residuals: slow }, { start: [4, 0.4] })
    expect(most).toBe(4)
    expect([...result.parameters]).toEqual([...fitSync({ residuals }, { start: [4, 0.4] }).parameters])
  })

  it('an error thrown by the model is not swallowed', async () => {
    const broken = async () => {
      throw new Error('worker lost')
    }
    await expect(fitAsync({ residuals: broken }, { start: [1] })).rejects.toThrow('worker lost')
  })

  it('a false analytic derivative does not end as converged', () => {
    const wrong = (p: Float64Array) =>
      Float64Array.from(line.flatMap((t) => [-Math.exp(-p[1]! * t), p[0]! * t]))
    const result = fitSync({ residuals, jacobian: wrong }, { start: [20, 3] })
    expect(result.converged).toBe(false)
  })
})

describe('a model with numerical noise', () => {
  it('is fitted with wide differences to within its noise', () => {
    const random = noise(5)
    const rough = new Map<string, number>()
    const jitter = (key: string) => {
      if (!rough.has(key)) rough.set(key, 1e-4 * random())
      return rough.get(key)!
    }
    const data = line.map((t) => decay([5, 0.5], t) * (1 + 0.02 * Math.cos(40 * t)))
    const residuals = (p: Float64Array) =>
      Float64Array.from(line, (t, i) => decay(p, t) * (1 + jitter(`${p[0]},${p[1]},${i}`)) - data[i]!)
    const smooth = fitSync(
      { residuals: (p) => Float64Array.from(line, (t, i) => decay(p, t) - data[i]!) },
      { start: [3, 0.2] },
    )
    const result = fitSync(
      { residuals },
      { start: [3, 0.2], differenceStep: 0.03, costTolerance: 1e-4, offsetTolerance: 5e-3 },
    )
    expect(result.converged, result.reason).toBe(true)
    expect(result.evaluations).toBeLessThan(100)
    for (const j of [0, 1]) {
      expect(Math.abs(result.parameters[j]! - smooth.parameters[j]!)).toBeLessThan(
        0.2 * smooth.standardErrors[j]!,
      )
      close(result.standardErrors[j]!, smooth.standardErrors[j]!, 0.05)
    }
  })
})

describe('dense numerics', () => {
  const matrix = fc.integer({ min: 1, max: 5 }).chain((n) =>
    fc.integer({ min: n, max: 9 }).chain((m) =>
      fc.record({
        n: fc.constant(n),
        m: fc.constant(m),
        a: fc.array(fc.double({ min: -1e3, max: 1e3, noNaN: true }), { minLength: n * m, maxLength: n * m }),
      }),
    ),
  )

  const gram = (a: ArrayLike<number>, m: number, n: number, i: number, j: number) => {
    let sum = 0
    for (let k = 0; k < m; k++) sum += a[k * n + i]! * a[k * n + j]!
    return sum
  }

  it('R of a QR has the Gram matrix of A', () => {
    fc.assert(
      fc.property(matrix, ({ a, m, n }) => {
        const { r } = qr(Float64Array.from(a), m, n, new Float64Array(m))
        for (let i = 0; i < n; i++) {
          for (let j = 0; j < n; j++) expect(gram(r, n, n, i, j)).toBeCloseTo(gram(a, m, n, i, j), 4)
        }
      }),
      { seed: 1 },
    )
  })

  it('singular vectors are orthogonal and reproduce the Gram matrix', () => {
    fc.assert(
      fc.property(matrix, ({ a, m, n }) => {
        const { values, v } = svd(Float64Array.from(a), m, n)
        for (let i = 0; i < n; i++) {
          for (let j = 0; j < n; j++) {
            expect(gram(v, n, n, i, j)).toBeCloseTo(i === j ? 1 : 0, 10)
            let sum = 0
            for (let c = 0; c < n; c++) sum += v[i * n + c]! * values[c]! ** 2 * v[j * n + c]!
            expect(sum).toBeCloseTo(gram(a, m, n, i, j), 4)
          }
        }
        for (let c = 1; c < n; c++) expect(values[c]!).toBeLessThanOrEqual(values[c - 1]!)
      }),
      { seed: 2 },
    )
  })

  it('tiny singular values keep their digits: diag(1, 1e-8, 1e-14) turned about', () => {
    const c = Math.cos(0.7)
    const s = Math.sin(0.7)
    const { values } = svd(Float64Array.of(c, -s * 1e-8, 0, s, c * 1e-8, 0, 0, 0, 1e-14), 3, 3)
    close(values[0]!, 1, 1e-12)
    close(values[1]!, 1e-8, 1e-12)
    close(values[2]!, 1e-14, 1e-12)
  })

  it('a singular triangle has no solution', () => {
    expect(solveUpper(Float64Array.of(1, 2, 0, 0), 2, Float64Array.of(1, 1))).toBeNull()
    expect([...solveUpper(Float64Array.of(2, 1, 0, 4), 2, Float64Array.of(4, 8))!]).toEqual([1, 2])
  })
})
