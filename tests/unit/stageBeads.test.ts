import { describe, expect, it } from 'vitest'
import { defaultPreset } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import { type Beads, beadsAt, beadsText, everBeads } from '../../src/page/beads.ts'
import {
  beadAngle,
  beadsShown,
  columnsFor,
  fewestColumns,
  fillWave,
  mostColumns,
  shownAt,
  shownBy,
} from '../../src/page/stage/beadWave.ts'
import { beadNote, captionOf, childNote } from '../../src/page/stage/notes.ts'

/** The displacements that go to the graphics processor. */
function wave(n: number, columns = columnsFor(n), strength: (angle: number) => number = () => 1) {
  const data = new Float32Array(2 * (mostColumns + 1))
  fillWave(data, columns, n, strength)
  return Array.from({ length: columns + 1 }, (_, i) => ({ c: data[2 * i]!, slope: data[2 * i + 1]! }))
}

const bulges = (edge: { c: number }[]): number =>
  edge.filter(({ c }, i) => c > 0.3 && c >= (edge[i - 1]?.c ?? -2) && c > (edge[i + 1]?.c ?? -2)).length

describe('beads round the edge', () => {
  it('are drawn in their number: half of it on the half circle', () => {
    for (let n = 20; n < 1000; n = Math.round(n * 1.13)) {
      const seen = bulges(wave(n, mostColumns))
      expect(Math.abs(beadsShown(n) - n / 2)).toBeLessThanOrEqual(0.5)
      // Two sectors at most are just changing their number of waves.
      expect(Math.abs(seen - n / 2), `${n} beads, ${seen} drawn`).toBeLessThanOrEqual(2.5)
      expect(bulges(wave(n)), `${n} beads, mesh as used`).toBe(seen)
    }
  })
  it('stand in the middle of a bulge, one for each', () => {
    const n = 122
    const edge = wave(n, mostColumns)
    const angles = Array.from({ length: beadsShown(n) }, (_, j) => beadAngle(n, j))
    expect(new Set(angles).size).toBe(61)
    const high = angles.filter((angle) => edge[Math.round((angle / Math.PI) * mostColumns)]!.c > 0.9)
    expect(high.length).toBeGreaterThan(0.85 * angles.length)
  })
  it('leave the edge at the cuts where the section has it', () => {
    for (const n of [20, 33.3, 141.7, 999]) {
      const edge = wave(n)
      expect(edge[0]!.c).toBeCloseTo(0, 6)
      expect(edge.at(-1)!.c).toBeCloseTo(0, 4)
    }
  })
  it('change without a break with their number, and do not run along the rim', () => {
    const columns = 1920
    let before = wave(150, columns)
    for (let n = 150; n > 130; n -= 0.02) {
      const edge = wave(n, columns)
      const moved = edge.reduce((most, { c }, i) => Math.max(most, Math.abs(c - before[i]!.c)), 0)
      expect(moved).toBeLessThan(0.06)
      before = edge
    }
    // Between two changes nothing moves at all: of 150 to 149 beads most of the rim is the same.
    const [a, b] = [wave(150, columns), wave(149, columns)]
    const same = a.filter(({ c }, i) => Math.abs(c - b[i]!.c) < 1e-6).length
    expect(same / columns).toBeGreaterThan(0.3)
  })
  it('have slopes that are the derivative of their edge', () => {
    // Some of these numbers catch a sector in which a wave is just coming or going.
    const step = Math.PI / 1920
    for (const n of [60, 60.4, 60.8, 61.2, 61.6]) {
      const edge = wave(n, 1920)
      for (let i = 1; i < 1920; i++) {
        // Sectors end at multiples of 320; there the waves of two numbers meet.
        if (i % 320 === 0) continue
        const slope = (edge[i + 1]!.c - edge[i - 1]!.c) / (2 * step)
        expect(Math.abs(edge[i]!.slope - slope) / n, `${n} beads, column ${i}`).toBeLessThan(0.03)
      }
    }
  })
  it('fade below two pixels, and where they cannot be seen', () => {
    expect([1, 2, 3.5, 20].map(shownAt)).toEqual([0, 0, 1, 1])
    expect(shownBy(0.29, 0.049)).toBe(0)
    expect(shownBy(0.29, 0.2)).toBe(1)
    expect(shownBy(1, 0.01)).toBe(1)
    expect(wave(300, 1920, () => 0).every(({ c, slope }) => c === 0 && slope === 0)).toBe(true)
  })
  it('have a mesh that is fine enough, and no finer than there is room for', () => {
    expect(columnsFor(0)).toBe(fewestColumns)
    expect(columnsFor(141) / 70.5).toBeGreaterThanOrEqual(8)
    expect(columnsFor(1e5)).toBe(mostColumns)
  })
})

describe('beads of a life', () => {
  const preset = defaultPreset()
  const result = runLifeSync({
    ...preset,
    drop: { ...preset.drop, alcohol: 'reference', alcoholMassFraction: 0.5 },
    bath: { ...preset.bath, liquid: 'reference' },
    ring: { breakUp: true },
    model: { ...preset.model, accuracy: 'quick', bath: 'three-field' },
    air: { ...preset.air, mode: 'constant', constantRate_umPerS: 0.4 },
  })
  if (!result.ok) throw new Error('the life was refused')
  const { life } = result
  const beads = beadsAt(life, 4)!

  it('are spaced as they are many, and hold what one drop takes', () => {
    const { R } = { R: life.series.R[life.series.t.findIndex((t) => t >= 4)]! }
    expect((beads.spacing * beads.count) / (2 * Math.PI * R)).toBeCloseTo(1, 2)
    expect(beads.amplitude).toBeLessThanOrEqual(beads.halfBase)
    expect(beads.grown).toBe(true)
  })
  it('are none in a lens, which needs no line for them', () => {
    expect(everBeads(life.series)).toBe(true)
    const lens = runLifeSync({ ...life.preset, drop: { ...life.preset.drop, alcoholMassFraction: 0.3 } })
    expect(lens.ok && everBeads(lens.life.series)).toBe(false)
  })
  it('are none before there is a ring', () => {
    expect(beadsAt(life, 0)).toBeNull()
    expect(beadsText(null)).toBe('')
    expect(beadsText(beads)).toMatch(/^about \d+ beads, [\d.]+ mm apart \(estimate\)$/)
  })
})

describe('words under the stage', () => {
  const beads: Beads = {
    count: 143.7,
    spacing: 1.214e-3,
    amplitude: 1e-4,
    halfBase: 1.6e-4,
    dropRadius: 1e-4,
    grown: true,
  }
  it('count the beads and say whether they can be drawn', () => {
    expect(beadNote(beads, 1)).toBe('about 140 beads, 1.2 mm apart')
    expect(beadNote(beads, 0)).toBe('about 140 beads, 1.2 mm apart, too fine to draw here')
    expect(beadNote(beads, Number.NaN)).toBe('about 140 beads, 1.2 mm apart')
    expect(beadNote({ ...beads, grown: false }, 0)).toBe('')
    expect(beadNote(null, 0)).toBe('')
  })
  it('say how many child drops are drawn, and how large', () => {
    const some = { shown: 200, enlarged: 0, total: 400, every: 1 }
    expect(childNote(some)).toBe('about 400 child drops, to scale')
    expect(childNote({ ...some, total: 2500, every: 5, enlarged: 20 })).toBe(
      'about 2 500 child drops, 1 of every 5 drawn, small ones enlarged to 2 px',
    )
    expect(childNote({ ...some, enlarged: 200 })).toBe('about 400 child drops, all enlarged to 2 px')
    expect(childNote({ ...some, shown: 0 })).toBe('')
  })
  it('are one line, marked as an estimate', () => {
    expect(captionOf('x', 'y')).toBe('Estimate: x · y')
    expect(captionOf('', 'about 3')).toBe('Estimate: about 3')
    expect(captionOf('', '')).toBe('')
  })
})
