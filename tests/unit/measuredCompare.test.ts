import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { residuals } from '../../src/measured/compare.ts'
import { MonotoneCurve } from '../../src/numerics/monotone.ts'

const times = Array.from({ length: 200 }, (_, i) => i * 0.05)
/** A life-like curve: rises, flat maximum, falls. */
const life = (t: number) => 0.005 + 0.003 * t * Math.exp(-t / 3)
const radii = times.map(life)
const curve = (time: number[], radius: number[], uncertainty?: number[]) => ({
  time: Float64Array.from(time),
  radius: Float64Array.from(radius),
  ...(uncertainty ? { uncertainty: Float64Array.from(uncertainty) } : {}),
})

describe('measured against life', () => {
  it('points on the life have no residual, wherever they lie between its times', () => {
    const t = [0, 0.013, 1.777, 3.0001, 9.9]
    const c = residuals(curve(t, t.map(life)), times, radii)
    expect(c.used).toBe(5)
    expect(c.worst).toBeLessThan(1e-7)
    expect(c.rms).toBeLessThanOrEqual(c.worst)
  })

  it('r.m.s., mean and χ² of known offsets', () => {
    const t = [1, 2, 3, 4]
    const off = [1e-4, -2e-4, 2e-4, 0]
    const c = residuals(
      curve(
        t,
        t.map((now, i) => life(now) + off[i]!),
        [1e-4, 1e-4, 2e-4, Number.NaN],
      ),
      times,
      radii,
    )
    expect(c.rms).toBeCloseTo(Math.sqrt(9e-8 / 4), 9)
    expect(c.bias).toBeCloseTo(2.5e-5, 9)
    expect(c.worst).toBeCloseTo(2e-4, 8)
    expect(c.chiSquared).toBeCloseTo(1 + 4 + 1, 4)
    expect(c.weighted).toBe(3)
  })

  it('the start time moves the life along the measured clock', () => {
    const t = [0, 0.5, 1, 5, 10, 12]
    const measured = curve(
      t,
      t.map((now) => (now < 0.5 ? 0.005 : life(now - 0.5))),
    )
    const c = residuals(measured, times, radii, 0.5)
    expect([c.before, c.used, c.after]).toEqual([1, 4, 1])
    expect(c.worst).toBeLessThan(1e-7)
    expect(c.residual[0]).toBeNaN()
    expect(c.residual[5]).toBeNaN()
    expect(residuals(measured, times, radii).rms).toBeGreaterThan(1e-4)
  })

  it('nothing in common: no number is made up', () => {
    const c = residuals(curve([100, 101], [0.005, 0.006], [1e-4, 1e-4]), times, radii)
    expect([c.used, c.before, c.after, c.weighted]).toEqual([0, 0, 2, 0])
    expect([c.rms, c.bias, c.chiSquared, c.worst].every(Number.isNaN)).toBe(true)
    const empty = residuals(curve([0, 1], [0.005, 0.006]), [], [])
    expect([empty.used, empty.after]).toEqual([0, 2])
  })
})

describe('monotone interpolation', () => {
  it('meets its points and never leaves the range of its neighbours', () => {
    const points = fc
      .array(
        fc.tuple(fc.double({ min: 1e-6, max: 10, noNaN: true }), fc.double({ min: -5, max: 5, noNaN: true })),
        {
          minLength: 2,
          maxLength: 20,
        },
      )
      .map((pairs) => {
        let x = 0
        return pairs.map(([dx, y]) => {
          x += dx
          return [x, y] as const
        })
      })
    fc.assert(
      fc.property(points, fc.double({ min: 0, max: 1, noNaN: true }), (p, part) => {
        const line = new MonotoneCurve(
          p.map(([x]) => x),
          p.map(([, y]) => y),
        )
        for (let i = 1; i < p.length; i++) {
          const [[a, ya], [b, yb]] = [p[i - 1]!, p[i]!]
          expect(line.at(a)).toBeCloseTo(ya, 9)
          const y = line.at(Math.min(a + part * (b - a), b))
          expect(y).toBeGreaterThanOrEqual(Math.min(ya, yb) - 1e-9)
          expect(y).toBeLessThanOrEqual(Math.max(ya, yb) + 1e-9)
        }
        expect(line.at(p[0]![0] - 1)).toBeNaN()
        expect(line.at(p.at(-1)![0] + 1)).toBeNaN()
      }),
      { seed: 5, numRuns: 300 },
    )
  })

  it('is exact for a straight line and close for a smooth curve', () => {
    const straight = new MonotoneCurve([0, 1, 3, 4], [1, 3, 7, 9])
    expect(straight.at(2.2)).toBeCloseTo(5.4, 12)
    const worst = (n: number) => {
      const x = Array.from({ length: n + 1 }, (_, i) => (4 * i) / n)
      const smooth = new MonotoneCurve(x, x.map(Math.exp))
      return Math.max(
        ...Array.from({ length: 999 }, (_, i) => Math.abs(smooth.at(i / 250) / Math.exp(i / 250) - 1)),
      )
    }
    expect(worst(40)).toBeLessThan(1e-3)
    expect(worst(80)).toBeLessThan(worst(40) / 3.5)
  })

  it('repeated and missing points are passed over', () => {
    const line = new MonotoneCurve([0, 1, 1, 2, 3], [0, 1, 50, Number.NaN, 3])
    expect(line.at(1)).toBe(1)
    expect(line.at(2)).toBeCloseTo(2, 12)
    expect(new MonotoneCurve([2], [7]).at(2)).toBe(7)
  })
})
