/** Largest radius and collapse of noisy curves, against a closed form: A xᵃ(1 − x)ᵇ is largest at a/(a + b). */
import { describe, expect, it } from 'vitest'
import { errorParts } from '../../src/measured/independent.ts'
import { fallOf, peakOf, peakWords } from '../../src/measured/landmarks.ts'
import type { MeasuredCurve } from '../../src/measured/types.ts'
import { basisAt, combined, errorOf, localPolynomial } from '../../src/numerics/localPolynomial.ts'
import { normal } from '../fixtures/fitCurves.ts'
import { expectClose } from '../matchers.ts'

const R_MAX = 0.02
const END = 8

interface Shape {
  a: number
  b: number
}

/** Radius of the closed form at t, m. */
function exact({ a, b }: Shape, t: number): number {
  const [x, top] = [t / END, a / (a + b)]
  return R_MAX * (x / top) ** a * ((1 - x) / (1 - top)) ** b || 0
}

/** When the closed form falls below a level, s: by halving. */
function crossing(shape: Shape, level: number): number {
  let [low, high] = [(END * shape.a) / (shape.a + shape.b), END]
  for (let n = 0; n < 60; n++) {
    const middle = (low + high) / 2
    if (exact(shape, middle) > level) low = middle
    else high = middle
  }
  return low
}

interface Choice {
  points?: number
  /** Noise in parts of R_MAX. */
  noise?: number
  seed?: number
  stated?: boolean
  meta?: MeasuredCurve['meta']
}

function curve(
  shape: Shape,
  { points = 60, noise = 0.01, seed = 1, stated = true, meta = {} }: Choice = {},
): MeasuredCurve {
  const error = normal(seed)
  const time = Float64Array.from({ length: points }, (_, i) => (END * (i + 0.5)) / points)
  const made = { id: 'a', name: 'a', file: 'a.csv', meta, time }
  return {
    ...made,
    radius: time.map((t) => exact(shape, t) + noise * R_MAX * error()),
    ...(stated ? { uncertainty: time.map(() => noise * R_MAX) } : {}),
  }
}

const share = (pulls: readonly number[], within: number) =>
  pulls.filter((z) => Math.abs(z) < within).length / pulls.length

describe('largest radius', () => {
  it.each([
    [
      { a: 0.3, b: 0.2 },
      { points: 40, noise: 0.02 },
    ],
    [
      { a: 0.3, b: 0.2 },
      { points: 200, noise: 0.02 },
    ],
    [
      { a: 0.5, b: 0.5 },
      { points: 60, noise: 0.005, stated: false },
    ],
    [
      { a: 0.3, b: 1 },
      { points: 60, noise: 0.01 },
    ],
  ])('is met within its error as often as it says, unlike the highest point: %o, %o', (shape, choice) => {
    const curves = Array.from({ length: 100 }, (_, i) => curve(shape, { ...choice, seed: i + 1 }))
    const peaks = curves.map((one) => peakOf(one)!)
    const pulls = peaks.map(({ radius, radiusError }) => (radius - R_MAX) / radiusError)
    // Of normal errors 68 % and 95 %; of a hundred curves the shares scatter by 5 % and 2 %.
    expect(share(pulls, 1)).toBeGreaterThan(0.55)
    expect(share(pulls, 2)).toBeGreaterThan(0.88)
    const mean = (list: number[]) => list.reduce((a, b) => a + b) / list.length
    const off = mean(peaks.map(({ radius }) => radius / R_MAX - 1))
    const highest = mean(curves.map(({ radius }) => Math.max(...radius) / R_MAX - 1))
    expect(Math.abs(off)).toBeLessThan(0.25 * highest)
    expect(mean(peaks.map(({ radiusError }) => radiusError / R_MAX))).toBeLessThan(choice.noise)
    expect(peaks.every(({ from }) => from === 'local')).toBe(true)
  })

  it('does not follow one wild point', () => {
    const clean = curve({ a: 0.3, b: 0.2 })
    const wild = { ...clean, radius: clean.radius.slice() }
    wild.radius[36]! += 0.15 * R_MAX
    const [with_, without] = [peakOf(wild)!, peakOf(clean)!]
    expect(Math.abs(with_.radius - without.radius)).toBeLessThan(without.radiusError)
    expect(with_.left).toBe(1)
    expect(peakWords(with_)).toMatch(/1 left out as an outlier/)
  })

  it('holds what all points err by together, and the scale that the curve states', () => {
    const plain = curve({ a: 0.3, b: 0.2 })
    const own = peakOf(plain)!.radiusError
    const scaled = { ...plain, meta: { sigma: { radiusScale: 0.05 } } }
    expectClose(peakOf(scaled)!.radiusError, Math.hypot(own, 0.05 * peakOf(plain)!.radius), { rtol: 0.01 })
    const shift = plain.radius.map(() => 4e-4)
    const total = plain.uncertainty!.map((sigma) => Math.hypot(sigma, 4e-4))
    const shared = { ...plain, uncertainty: total, shared: [{ cause: 'threshold' as const, shift }] }
    expectClose(peakOf(shared)!.radiusError, Math.hypot(own, 4e-4), { rtol: 1e-9 })
  })

  it('of a curve that still grows is that at its end, and says so', () => {
    const growing = curve({ a: 0.5, b: 0 }, { noise: 0.003 })
    const peak = peakOf(growing)!
    expect(peak.from).toBe('edge')
    expect(peakWords(peak)).toMatch(/no top between its points/)
    expectClose(peak.radius, R_MAX, { rtol: 0.02 })
  })

  it('of few points is the highest one; of none there is none', () => {
    const few = curve({ a: 0.5, b: 0.5 }, { points: 4 })
    expect(peakOf(few)).toMatchObject({
      from: 'point',
      radius: Math.max(...few.radius),
      radiusError: 0.01 * R_MAX,
    })
    const nothing = { ...few, radius: new Float64Array(4) }
    expect(peakOf(nothing)).toBeNull()
    expect(fallOf(nothing, 0.3)).toBeNull()
  })
})

describe('collapse', () => {
  it.each([0.3, 0.5])('below %d of the largest radius comes out within its error', (fraction) => {
    const shape = { a: 0.3, b: 1 }
    const truth = crossing(shape, fraction * R_MAX)
    const falls = Array.from({ length: 100 }, (_, i) => fallOf(curve(shape, { seed: i + 1 }), fraction)!)
    const pulls = falls.map(({ time, timeError }) => (time - truth) / timeError)
    expect(share(pulls, 1)).toBeGreaterThan(0.55)
    expect(share(pulls, 2)).toBeGreaterThan(0.88)
  })

  it('between two points has the error of their distance', () => {
    const steep = curve({ a: 0.5, b: 0.1 }, { noise: 1e-3 })
    const time = Float64Array.from([...steep.time, 8.1, 8.3])
    const gone = {
      ...steep,
      time,
      radius: Float64Array.from([...steep.radius, 0, 0]),
      uncertainty: time.map(() => 2e-5),
    }
    const fall = fallOf(gone, 0.3)!
    expect(fall.from).toBe('gap')
    const width = 8.1 - steep.time.at(-1)!
    expect(fall.timeError).toBeGreaterThan(width / Math.sqrt(12) - 1e-12)
    expect(fall.timeError).toBeLessThan(width / 3)
    expect(fall.time).toBeGreaterThan(steep.time.at(-1)!)
    expect(fall.time).toBeLessThan(8.1)
  })

  it('does not hang on the scale of the radii, but on the moment of contact', () => {
    const plain = curve({ a: 0.3, b: 1 })
    const fall = fallOf(plain, 0.3)!
    const scaled = fallOf({ ...plain, meta: { sigma: { radiusScale: 0.1 } } }, 0.3)!
    // The scale drops out, up to what noise leaves of the level.
    expectClose(scaled.timeError, fall.timeError, { rtol: 0.15 })
    const contact = fallOf({ ...plain, meta: { sigma: { startTime_s: 0.2 } } }, 0.3)!
    expectClose(contact.timeError, Math.hypot(fall.timeError, 0.2), { rtol: 1e-9 })
  })

  it('that a curve does not show is none', () => {
    expect(fallOf(curve({ a: 0.5, b: 0 }), 0.3)).toBeNull()
  })
})

describe('parts of an error', () => {
  const plain = curve({ a: 0.3, b: 0.2 }, { points: 5 })
  it('√(σ² − Σ shift²) is each point’s own', () => {
    const shift = plain.radius.map(() => 0.6 * 2e-4)
    const { own, floored } = errorParts({ ...plain, shared: [{ cause: 'children', shift }] })
    for (const sigma of own) expectClose(sigma, 0.8 * 2e-4, { rtol: 1e-12 })
    expect(floored).toBe(0)
  })
  it('never vanishes, however large the shared part', () => {
    const shift = plain.radius.map(() => 3e-4)
    const { own, floored } = errorParts({ ...plain, shared: [{ cause: 'threshold', shift }] })
    expect(own.every((sigma) => sigma > 0)).toBe(true)
    expect(floored).toBe(5)
  })
  it('a stated scale takes the place of that of the recording', () => {
    const shift = plain.radius.map((R) => 0.002 * R)
    const { shared } = errorParts({
      ...plain,
      meta: { sigma: { radiusScale: 0.1 } },
      shared: [{ cause: 'scale', shift }],
    })
    expect(shared).toEqual([{ cause: 'scale', shift: plain.radius.map((R) => 0.1 * R) }])
  })
})

describe('polynomial through points', () => {
  it('is a straight line with the textbook’s errors', () => {
    // σ_slope² = σ²/Σ(x − x̄)², σ at x̄ = σ/√n: Bevington & Robinson, 3rd ed., eq. 6.21 and 6.23 for equal σ.
    const x = [0, 1, 2, 3, 4]
    const line = localPolynomial(
      x,
      x.map((v) => 3 - 2 * v),
      x.map(() => 0.5),
      1,
      2,
      2,
    )!
    expectClose(combined(basisAt(line, 7), line.coefficients), -11, { rtol: 1e-12 })
    expectClose(errorOf(basisAt(line, 2), line.covariance), 0.5 / Math.sqrt(5), { rtol: 1e-12 })
    expectClose(errorOf(basisAt(line, 2, 1), line.covariance), 0.5 / Math.sqrt(10), { rtol: 1e-12 })
    expect(localPolynomial([1, 1, 1], [1, 2, 3], [1, 1, 1], 1, 0, 1)).toBeNull()
  })
})
