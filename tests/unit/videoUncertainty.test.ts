/** The stated uncertainty of a radius against the errors in recordings of known radius that it was not set by. */
import { describe, expect, it } from 'vitest'
import { markDrop } from '../../src/measured/video/mark.ts'
import { type DropMark, plainSettings } from '../../src/measured/video/types.ts'
import { edgeUncertainty, radiusUncertainty } from '../../src/measured/video/uncertainty.ts'
import { drawScene, trueRadius } from '../fixtures/syntheticVideo.ts'
import { recordingOf, testedBy } from '../fixtures/testRecordings.ts'

const squares = (list: readonly number[]) => Math.sqrt(list.reduce((sum, x) => sum + x * x, 0) / list.length)

/** Seeds that had no part in setting the uncertainty: 1 to 100 of another family had. */
const seeds = Array.from({ length: 24 }, (_, i) => 3001 + i)
const drawn = seeds.map((seed) => {
  const scene = recordingOf(testedBy, seed, 1)[0]!
  return { frame: drawScene(scene), truth: trueRadius(scene) }
})

/** Error over stated uncertainty of every recording, child drops left out or kept. */
const pullsOf = (cutChildren: boolean) =>
  drawn.map(({ frame, truth }) => {
    const { drop } = markDrop(frame, { ...plainSettings(), cutChildren })
    return (drop!.equivalentRadius - truth) / drop!.uncertainty
  })

describe('the stated uncertainty', () => {
  it('is the size of the errors, whether child drops are left out or kept', () => {
    const pulls = [...pullsOf(true), ...pullsOf(false)]
    expect(squares(pulls)).toBeGreaterThan(0.7)
    expect(squares(pulls)).toBeLessThan(1.3)
    expect(pulls.filter((pull) => Math.abs(pull) > 2).length / pulls.length).toBeLessThan(0.1)
  })
})

describe('the parts of the uncertainty', () => {
  const clean = { radius: 60, edge: 0.2, ragged: 0, loose: 0, bridged: 0 }
  it('a clean round outline has the edge’s and a floor', () => {
    expect(radiusUncertainty(clean)).toBeCloseTo(Math.hypot(0.2, 0.003 * 60), 12)
    expect(edgeUncertainty(0, 0.3, 0.4)).toBeCloseTo(0.5, 12)
  })
  it('what hangs on by necks counts as in or out with the same likelihood', () => {
    // 21 % of the area more is 10 % of the radius more; a rectangle's width over √3 about its end.
    const { radius } = clean
    const whole = radiusUncertainty({ ...clean, edge: 0, loose: 0.21 })
    expect(whole).toBeCloseTo(Math.hypot((0.1 * radius) / Math.sqrt(3), 0.003 * radius), 9)
  })
  it('grows with raggedness, loose area and bridging', () => {
    const stated = (change: Partial<typeof clean>) => radiusUncertainty({ ...clean, ragged: 0.02, ...change })
    const least = stated({})
    expect(stated({ ragged: 0.05 })).toBeGreaterThan(least)
    expect(stated({ loose: 0.05 })).toBeGreaterThan(least)
    expect(stated({ bridged: 0.3 })).toBeGreaterThan(least)
  })
  it('of a frame with child drops at the rim is wider than of one without', () => {
    const [clear, crowded] = [[], undefined].map((children) => {
      const scene = recordingOf(testedBy, 1007, 1)[0]!
      return markDrop(drawScene({ ...scene, ...(children ? { children } : {}) }), plainSettings())
        .drop as DropMark
    })
    expect(crowded!.loose).toBeGreaterThan(clear!.loose + 0.02)
    expect(crowded!.uncertainty).toBeGreaterThan(1.5 * clear!.uncertainty)
  })
})
