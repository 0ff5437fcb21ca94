import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  bathSpeedAt,
  cellValue,
  createFields,
  intervalOf,
  locate,
  moveTo,
  pullsAt,
  surfaceSpeedAt,
} from '../../src/life/view.ts'
import { syntheticLife } from '../fixtures/syntheticLife.ts'

const life = syntheticLife({ moments: 40, inner: 30, outer: 12 })
const { frames } = life
const dish = 0.07

const momentOf = (time: number) => {
  const moment = createFields()
  expect(moveTo(moment, frames, dish, time)).toBe(true)
  return moment
}

describe('a life at any time', () => {
  it('gives a kept moment back unchanged', () => {
    for (const k of [0, 7, frames.count - 1]) {
      const moment = momentOf(frames.t[k]!)
      expect(moment.R).toBe(frames.R[k])
      expect([...moment.h]).toEqual([...frames.h.subarray(k * frames.inner, (k + 1) * frames.inner)])
      const width = frames.inner + 1 + frames.outer
      expect([...moment.u]).toEqual([...frames.u.subarray(k * width, (k + 1) * width)])
    }
  })

  it('stays between its two neighbours', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 8, noNaN: true }), (time) => {
        const moment = momentOf(time)
        const { row } = moment
        const next = Math.min(row + 1, frames.count - 1)
        const [low, high] = [frames.R[row]!, frames.R[next]!].sort((a, b) => a - b) as [number, number]
        expect(moment.R).toBeGreaterThanOrEqual(low - 1e-15)
        expect(moment.R).toBeLessThanOrEqual(high + 1e-15)
        for (let i = 0; i < frames.inner; i++) {
          const a = frames.h[row * frames.inner + i]!
          const b = frames.h[next * frames.inner + i]!
          expect(moment.h[i]!).toBeGreaterThanOrEqual(Math.min(a, b) - 1e-15)
          expect(moment.h[i]!).toBeLessThanOrEqual(Math.max(a, b) + 1e-15)
        }
      }),
    )
  })

  it('is kept within the known life, before and after', () => {
    expect(momentOf(-3).time).toBe(0)
    expect(momentOf(99).time).toBe(frames.t[frames.count - 1])
  })

  it('knows when there is nothing to show', () => {
    expect(moveTo(createFields(), { ...frames, count: 0 }, dish, 1)).toBe(false)
  })

  it('reuses its arrays while the mesh stays the same', () => {
    const moment = momentOf(1)
    const { h, u } = moment
    moveTo(moment, frames, dish, 2)
    expect(moment.h).toBe(h)
    expect(moment.u).toBe(u)
  })

  it('places the faces from the axis over the edge to the wall', () => {
    const moment = momentOf(2.2)
    expect(moment.faceRadius[0]).toBe(0)
    expect(moment.faceRadius[frames.inner]).toBeCloseTo(moment.R, 15)
    expect(moment.faceRadius.at(-1)).toBeCloseTo(dish, 15)
    for (let i = 1; i < moment.faceRadius.length; i++) {
      expect(moment.faceRadius[i]!).toBeGreaterThan(moment.faceRadius[i - 1]!)
    }
  })
})

describe('values at a radius', () => {
  it('hits the cells at their centres and is unknown outside the drop', () => {
    const moment = momentOf(3)
    expect(cellValue(moment, 'phi', moment.cellRadius[9]!)).toBeCloseTo(moment.phi[9]!, 15)
    expect(cellValue(moment, 'h', 0)).toBe(moment.h[0])
    expect(cellValue(moment, 'h', moment.R * 1.001)).toBeNaN()
    expect(surfaceSpeedAt(moment, moment.R * 1.001)).toBeNaN()
  })

  it('follows a linear speed exactly and ends at the wall', () => {
    const moment = momentOf(0.4)
    // The fixture's bath speed under the drop is U r/R.
    const r = 0.37 * moment.R
    expect(bathSpeedAt(moment, r) / ((moment.U * r) / moment.R)).toBeCloseTo(1, 9)
    expect(bathSpeedAt(moment, dish)).toBe(0)
    expect(bathSpeedAt(moment, 1)).toBe(0)
  })

  it('has pulls that add up to nothing at every radius', () => {
    const moment = momentOf(2)
    fc.assert(
      fc.property(fc.double({ min: 0, max: dish, noNaN: true }), (r) => {
        const p = pullsAt(moment, r)
        expect(Math.abs(p.above + p.below + p.capillary + p.drag)).toBeLessThanOrEqual(1e-12)
      }),
    )
  })

  it('keeps the line pull of the edge out of the film', () => {
    const moment = momentOf(2)
    const last = moment.faceRadius[frames.inner - 1]!
    const nearEdge = pullsAt(moment, 0.51 * last + 0.49 * moment.R)
    expect(nearEdge.place).toBe('film')
    expect(nearEdge.above).toBeLessThan(1)
    const edge = pullsAt(moment, moment.R)
    expect(edge.place).toBe('edge')
    expect(edge.above).toBe(25)
    expect(pullsAt(moment, 1.2 * moment.R)).toMatchObject({ place: 'bath', above: 0, drag: 0 })
  })
})

describe('rows', () => {
  it('finds the interval of a value', () => {
    const a = [0, 1, 4, 9]
    expect([-1, 0, 0.5, 1, 3.9, 4, 20].map((x) => intervalOf(a, 4, x))).toEqual([0, 0, 0, 1, 1, 2, 2])
    expect(locate(a, 4, 6.5)).toEqual({ row: 2, fraction: 0.5 })
    expect(locate(a, 4, 9)).toEqual({ row: 3, fraction: 0 })
    expect(locate([], 0, 1)).toEqual({ row: 0, fraction: 0 })
  })
})
