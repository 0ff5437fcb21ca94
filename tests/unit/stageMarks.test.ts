/** What is marked on the drop, through whole lives: a thin spot is there while there is a rim, and not on a lens. */
import { describe, expect, it } from 'vitest'
import { defaultPreset, type Leaf, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life } from '../../src/life/types.ts'
import { createFields, moveTo } from '../../src/life/view.ts'
import { marksAt } from '../../src/page/plots/shown.ts'

function lifeOf(...changes: [string, Leaf][]): Life {
  const made = setKeys(defaultPreset(), changes)
  if (!made.ok) throw new Error(made.problems[0]!.message)
  const result = runLifeSync(made.preset)
  if (!result.ok) throw new Error('no life')
  return result.life
}

/** Thinnest film (m) between the axis and the highest place outside it, from the film itself: 0 = no dip at all. */
function dipOf(life: Life, time: number): { floor: number; crest: number } {
  const fields = createFields()
  moveTo(fields, life.frames, life.preset.bath.dishRadius_mm * 1e-3, time)
  const h = Array.from(fields.h.subarray(0, fields.inner))
  // The outermost crest: from the edge inwards as long as the film rises.
  let k = h.length - 1
  while (k > 0 && h[k - 1]! >= h[k]!) k--
  return { floor: Math.min(...h.slice(0, k + 1)), crest: h[k]! }
}

describe('marks on a life that comes to its end', () => {
  const life = lifeOf(['drop.alcoholMassFraction', 0.5])
  const { collapseTime, maxRadiusTime, lifeEnd } = life.summary

  it('are there at the largest radius, where the film itself has a thin place and a rim', () => {
    const marks = marksAt(life, maxRadiusTime)
    const { floor, crest } = dipOf(life, maxRadiusTime)
    expect(floor).toBeLessThan(0.5 * crest)
    expect(marks.thin / floor).toBeCloseTo(1, 1)
    expect(marks.ring / crest).toBeCloseTo(1, 1)
    expect(marks.thinRadius).toBeLessThan(marks.ringRadius)
  })
  it('are gone once the drop is a lens again: no thin spot without a clear dip of the film', () => {
    expect(Number.isFinite(collapseTime)).toBe(true)
    let lenses = 0
    for (const time of life.series.t.filter((t) => t >= collapseTime)) {
      const { floor, crest } = dipOf(life, time)
      const marks = marksAt(life, time)
      if (floor < 0.5 * crest) continue
      lenses++
      const told = `${time} s: ${1e6 * marks.thin} µm`
      expect([marks.thin, marks.thinRadius, marks.ring, marks.ringRadius], told).toEqual(
        Array(4).fill(Number.NaN),
      )
      expect(marks.beads).toBeNull()
    }
    // The lives that showed "thin spot 204 µm" on a drop with a rim of 212 µm had some such moments before the end.
    expect(lenses).toBeGreaterThan(10)
    expect(marksAt(life, lifeEnd).thin).toBeNaN()
  })
  it('are not there on a drop that never spreads', () => {
    const lens = lifeOf(['drop.alcoholMassFraction', 0.2])
    expect(lens.summary.outcome).toBe('lens')
    for (const time of lens.series.t) expect(marksAt(lens, time).thin, `${time} s`).toBeNaN()
  })
})
