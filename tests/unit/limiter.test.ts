/**
 * The slope limiter keeps what is carried between the values beside the face: a property of any monotone reconstruction
 * (van Leer, J. Comput. Phys. 14, 361 (1974); the equal-weight form is his).
 */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { limited } from '../../src/engine/limiter.ts'

const size = fc.double({ min: 1e-6, max: 1e6, noNaN: true })
const slope = fc.tuple(size, fc.boolean()).map(([x, up]) => (up ? x : -x))
const weight = fc.double({ min: 0.02, max: 0.98, noNaN: true })

describe('limited', () => {
  it('is the harmonic mean for equal weights and zero where slopes disagree', () => {
    expect(limited(1, 3, 0.5)).toBeCloseTo(1.5, 14)
    expect(limited(-1, 3, 0.5)).toBe(0)
    expect(limited(0, 3, 0.5)).toBe(0)
  })

  it('reaches equal slopes whatever the weights', () => {
    fc.assert(fc.property(slope, weight, (a, w) => Math.abs(limited(a, a, w) - a) <= 1e-12 * Math.abs(a)))
  })

  it('never carries a value beyond the neighbour, wherever the face lies between the cell centres', () => {
    // Face at the part w of the way from the donor (value 0) to the other cell (value b, distance 1).
    fc.assert(
      fc.property(slope, slope, weight, (a, b, w) => {
        const carried = w * limited(a, b, Math.max(0.5, w))
        return carried * b >= 0 && Math.abs(carried) <= Math.abs(b) * (1 + 1e-12)
      }),
    )
  })

  it('would carry it beyond with equal weights: the check above can fail', () => {
    expect(0.75 * limited(1e3, 1, 0.5)).toBeGreaterThan(1)
  })
})
