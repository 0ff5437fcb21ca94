/** Which points count, and on which clock. */
import { describe, expect, it } from 'vitest'
import type { MeasuredCurve } from '../../src/measured/types.ts'
import { excludedPoints, usedCount, usedPoints } from '../../src/measured/usable.ts'

const curve: MeasuredCurve = {
  id: 'a',
  name: 'a',
  time: Float64Array.of(1, 1.5, 2, 4),
  radius: Float64Array.of(0, 0.001, 0.002, 0.003),
  uncertainty: Float64Array.of(1e-4, Number.NaN, 2e-4, 3e-4),
  meta: {},
  file: 'a.csv',
}

describe('used points', () => {
  it('are all points on the same clock where nothing is said', () => {
    expect(usedPoints(curve)).toEqual({
      time: curve.time,
      radius: curve.radius,
      uncertainty: curve.uncertainty,
    })
    expect(excludedPoints(curve).time).toHaveLength(0)
    expect('uncertainty' in usedPoints({ time: curve.time, radius: curve.radius, meta: {} })).toBe(false)
  })

  it('leave out what was set aside and begin with the contact', () => {
    const changed = { ...curve, excluded: Uint8Array.of(0, 0, 1, 0), meta: { startTime_s: 1.5 } }
    expect([...usedPoints(changed).time]).toEqual([-0.5, 0, 2.5])
    expect([...usedPoints(changed).radius]).toEqual([0, 0.001, 0.003])
    expect([...usedPoints(changed).uncertainty!]).toEqual([1e-4, Number.NaN, 3e-4])
    expect([...excludedPoints(changed).time]).toEqual([0.5])
    expect(usedCount(changed)).toBe(3)
    expect([...curve.time]).toEqual([1, 1.5, 2, 4])
  })

  it('are the same object for the same curve', () => {
    expect(usedPoints(curve)).toBe(usedPoints(curve))
  })
})
