/** The parts of the stated uncertainty of a radius. Whether it holds is tried on whole recordings in videoRecordings.test.ts. */
import { describe, expect, it } from 'vitest'
import { markDrop } from '../../src/measured/video/mark.ts'
import { type DropMark, plainSettings } from '../../src/measured/video/types.ts'
import { uncertaintyOf } from '../../src/measured/video/uncertainty.ts'
import { drawScene } from '../fixtures/syntheticVideo.ts'
import { recordingOf, testedBy } from '../fixtures/testRecordings.ts'

describe('the parts of the uncertainty', () => {
  const clean = { radius: 60, blur: 1, scatter: 0.05, bend: 0.01, ragged: 0, fine: 0, loose: 0, bridged: 0 }
  it('add in quadrature', () => {
    const { own, threshold, children, uncertainty } = uncertaintyOf({ ...clean, ragged: 0.03, loose: 0.05 })
    expect(uncertainty).toBeCloseTo(Math.sqrt(own ** 2 + threshold ** 2 + children ** 2), 12)
  })
  it('what may be film or child drop is an area: 21 % of it more is 10 % of the radius, of which half is stated', () => {
    expect(uncertaintyOf({ ...clean, loose: 0.21 }).children).toBeCloseTo(3, 9)
    expect(uncertaintyOf(clean).children).toBe(0)
  })
  it('grow with blur, scatter, raggedness, doubtful area and bridging', () => {
    const stated = (change: Partial<typeof clean>) =>
      uncertaintyOf({ ...clean, ragged: 0.02, ...change }).uncertainty
    for (const change of [
      { blur: 2 },
      { scatter: 0.2 },
      { ragged: 0.05 },
      { fine: 0.01 },
      { loose: 0.05 },
      { bridged: 0.3 },
    ]) {
      expect(stated(change)).toBeGreaterThan(1.02 * stated({}))
    }
  })
  it('of a frame with child drops at the rim are wider than of one without', () => {
    const [clear, crowded] = [[], undefined].map((children) => {
      const scene = recordingOf(testedBy, 1007, 1)[0]!
      return markDrop(drawScene({ ...scene, ...(children ? { children } : {}) }), plainSettings())
        .drop as DropMark
    })
    expect(crowded!.children).toBeGreaterThan(clear!.children)
    expect(crowded!.uncertainty).toBeGreaterThan(1.5 * clear!.uncertainty)
  })
})
