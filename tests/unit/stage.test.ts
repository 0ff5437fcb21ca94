import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { createFields, moveTo } from '../../src/life/view.ts'
import { colourScale } from '../../src/page/colourScale.ts'
import { pxToRadius, radiusToPx } from '../../src/page/plots/axis.ts'
import { framing, frustum, project, scaleBar } from '../../src/page/stage/framing.ts'
import {
  bendThickness,
  heightMap,
  heightOf,
  heightText,
  rulerThicknesses,
} from '../../src/page/stage/heightMap.ts'
import { createProfile, fillProfile, profileHeight } from '../../src/page/stage/profile.ts'
import { syntheticLife } from '../fixtures/syntheticLife.ts'

const span = 0.03

describe('heights on the stage', () => {
  it('logarithmic: each power of ten well above the bend adds the stated height', () => {
    const map = heightMap(true, 20, span, 1e-3)
    const step = heightOf(map, 1e-3) - heightOf(map, 1e-4)
    expect(step / map.decade).toBeCloseTo(1, 2)
    expect(heightText(map)).toBe(
      `Heights logarithmic: each ${Number((1e3 * map.decade).toPrecision(2))} mm step is 10 times thicker`,
    )
  })
  it('logarithmic: starts at 0 and is linear far below the bend', () => {
    const map = heightMap(true, 20, span, 1e-3)
    expect(heightOf(map, 0)).toBe(0)
    const slope = heightOf(map, 1e-10) / 1e-10
    // d/dh of a·log10(1 + h/h0) at 0 is a/(h0 ln 10).
    expect(slope / (map.decade / (bendThickness * Math.LN10))).toBeCloseTo(1, 3)
  })
  it('linear: the stated factor and nothing else', () => {
    const map = heightMap(false, 50, span, 2e-5)
    expect(heightOf(map, 2e-5)).toBeCloseTo(1e-3, 12)
    expect(heightText(map)).toBe('Heights × 50')
  })
  it('linear: says so when the factor is lowered to stay in the picture', () => {
    const map = heightMap(false, 200, span, 1.2e-3)
    expect(map.factor).toBeLessThan(200)
    expect(heightOf(map, 1.2e-3)).toBeLessThanOrEqual(0.22 * span)
    expect(heightText(map)).toBe(`Heights × ${map.factor} (more would leave the picture)`)
  })
  it('never leaves the picture, never turns round', () => {
    const some = fc.double({ min: 1e-9, max: 5e-3, noNaN: true })
    fc.assert(
      fc.property(
        fc.boolean(),
        fc.double({ min: 1, max: 1e4, noNaN: true }),
        some,
        some,
        (log, factor, a, b) => {
          const most = Math.max(a, b)
          const map = heightMap(log, factor, span, most)
          expect(heightOf(map, most)).toBeLessThanOrEqual(0.22 * span * (1 + 1e-9))
          expect(heightOf(map, Math.min(a, b))).toBeLessThanOrEqual(heightOf(map, most))
        },
      ),
    )
  })
  it('has a ruler of thicknesses that occur', () => {
    expect(rulerThicknesses(heightMap(true, 20, span, 1e-3), 1e-3)).toEqual([1e-6, 1e-5, 1e-4, 1e-3])
    expect(rulerThicknesses(heightMap(false, 20, span, 3e-5), 3e-5)).toEqual([2e-5])
  })
})

describe('framing', () => {
  const frame = framing(800, 300, span, 0.01, 0.004)

  it('puts radii on the same pixels as the section below', () => {
    for (const r of [-0.03, -0.011, 0, 0.02, 0.03]) {
      expect(project(frame, r, 0, 0).x).toBeCloseTo(radiusToPx(800, span, r), 9)
      const { left, right } = frustum(frame)
      expect(((r - left) / (right - left)) * 800).toBeCloseTo(radiusToPx(800, span, r), 9)
      expect(pxToRadius(800, span, radiusToPx(800, span, r))).toBeCloseTo(r, 12)
    }
  })
  it('puts the cut where it says, for camera and overlay alike', () => {
    const { top, bottom } = frustum(frame)
    expect((top / (top - bottom)) * 300).toBeCloseTo(frame.cutRow, 9)
    expect(project(frame, 0, 0, 0).y).toBe(frame.cutRow)
    expect(project(frame, 0, 0.001, 0).y).toBeLessThan(frame.cutRow)
    expect(project(frame, 0, 0, -0.01).y).toBeLessThan(frame.cutRow)
  })
  it('keeps the back of a full drop in the picture and is steeper where there is room', () => {
    expect(project(frame, 0, 0.004, -0.94 * span).y).toBeGreaterThan(0)
    expect(framing(800, 700, span, 0.01, 0.004).tilt).toBeGreaterThan(frame.tilt)
  })
  it('shows no more oil than there is, and says when it is cut off', () => {
    expect(frame.shownDepth).toBeLessThanOrEqual(0.01)
    expect(framing(800, 300, span, 0.06, 0.004).shownDepth).toBeLessThan(0.06)
  })
  it('has a round scale bar of fitting length', () => {
    fc.assert(
      fc.property(fc.double({ min: 200, max: 2e6, noNaN: true }), (scale) => {
        const bar = scaleBar(scale)
        expect(bar * scale).toBeGreaterThan(45)
        expect(bar * scale).toBeLessThanOrEqual(121)
        expect(['1', '2', '5']).toContain(bar.toExponential(0)[0])
      }),
    )
  })
})

describe('profile of the cut', () => {
  const life = syntheticLife({ moments: 20, inner: 60 })
  const fields = createFields()
  moveTo(fields, life.frames, 0.07, 3)
  const map = heightMap(false, 100, span, 2e-5)
  const profile = createProfile()
  fillProfile(profile, fields, map, colourScale('thickness', life.frames))

  it('runs from the axis to a dry edge', () => {
    expect(profile.count).toBe(62)
    expect(profile.r[0]).toBe(0)
    expect(profile.slope[0]).toBe(0)
    expect(profile.r[61]).toBe(fields.R)
    expect(profile.y[61]).toBe(0)
    expect(profile.place.subarray(0, 62).every((x) => x >= 0 && x <= 1)).toBe(true)
  })
  it('gives heights between its nodes and none outside', () => {
    expect(profileHeight(profile, profile.r[20]!)).toBeCloseTo(profile.y[20]!, 12)
    expect(profileHeight(profile, fields.R * 1.01)).toBe(0)
    expect(profileHeight(profile, Number.NaN)).toBe(0)
  })
  it('has the slopes of a known shape', () => {
    // h = h0 (1 − s²): dy/dr = −2 factor h0 r/R², exact for a parabola on any mesh.
    fields.h.forEach((_, i) => {
      fields.h[i] = 1e-5 * (1 - (fields.cellRadius[i]! / fields.R) ** 2)
    })
    fillProfile(profile, fields, map, colourScale('thickness', life.frames))
    for (const i of [5, 30, 55]) {
      expect(profile.slope[i]! / ((-2 * 1e-3 * profile.r[i]!) / fields.R ** 2)).toBeCloseTo(1, 6)
    }
  })
})
