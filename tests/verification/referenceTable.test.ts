/**
 * The reference drop (closed-form liquids, 10 µL unless said): R(t), largest radius, thin spot, centre, volume left.
 * Answer: table below; R within 1 %, thicknesses within 5 %, up to 6 s.
 * Source: two independent trial codes of this project (a fixed grid with dry cells and a front-fitted grid), 120 cells
 * inside and 40 outside at rtol 1e-4; they agree to 2 % in R(t), and refinement to 0.5 %.
 */
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { type Leaf, parsePreset, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import { seriesAt } from '../../src/life/sample.ts'
import type { Life } from '../../src/life/types.ts'
import { expectClose } from '../matchers.ts'

const shipped = parsePreset(readFileSync(new URL('../../presets/reference.json', import.meta.url), 'utf8'))

/** The shipped reference preset with changes. */
function life(changes: Record<string, Leaf>): Life {
  if (!shipped.ok) throw new Error('presets/reference.json is not a preset')
  const result = setKeys(shipped.preset, Object.entries(changes))
  if (!result.ok) throw new Error(result.problems.map((p) => p.message).join('\n'))
  const run = runLifeSync(result.preset)
  if (!run.ok) throw new Error('no life')
  return run.life
}

interface Row {
  phi0: number
  /** R in mm at 1, 2, 4, 6 s. */
  R: [number, number, number, number]
  /** Largest radius, mm, and its time, s. */
  largest: number
  when: number
  /** At 4 s: thin spot µm and its place mm, centre µm. */
  thin: number
  thinAt: number
  centre: number
  /** µL at 6 s. */
  left: number
}

const TABLE: Row[] = [
  {
    phi0: 0.4,
    R: [12.45, 16.04, 17.95, 15.38],
    largest: 17.95,
    when: 4,
    thin: 3.47,
    thinAt: 15.7,
    centre: 21.7,
    left: 9.3,
  },
  {
    phi0: 0.5,
    R: [20.74, 24.93, 27.82, 26.99],
    largest: 28.02,
    when: 4.5,
    thin: 0.593,
    thinAt: 25.3,
    centre: 20.2,
    left: 8.07,
  },
  {
    phi0: 0.7,
    R: [27.42, 30.76, 33.79, 34.58],
    largest: 34.47,
    when: 6.25,
    thin: 0.115,
    thinAt: 31.5,
    centre: 29.3,
    left: 6.601,
  },
]

describe('reference drop, accuracy "normal"', () => {
  for (const row of TABLE) {
    it(`φ0 = ${row.phi0}`, () => {
      const { series, summary } = life({ 'drop.alcoholMassFraction': row.phi0 })
      ;[1, 2, 4, 6].forEach((t, k) => {
        expectClose(seriesAt(series, t).R * 1e3, row.R[k]!, { rtol: 0.01 }, `R(${t} s)`)
      })
      expectClose(summary.maxRadius * 1e3, row.largest, { rtol: 0.01 }, 'largest radius')
      // The maximum is flat: its time lies within the band above 0.99 of it.
      expect(summary.maxRadiusBand[0]).toBeLessThan(row.when)
      expect(summary.maxRadiusBand[1]).toBeGreaterThan(row.when)
      const at4 = seriesAt(series, 4)
      expectClose(at4.thin * 1e6, row.thin, { rtol: 0.05 }, 'thin spot')
      expectClose(at4.thinRadius * 1e3, row.thinAt, { rtol: 0.02 }, 'place of the thin spot')
      expectClose(at4.centre * 1e6, row.centre, { rtol: 0.05 }, 'centre')
      expectClose(seriesAt(series, 6).volume * 1e9, row.left, { rtol: 0.01 }, 'volume left')
      expect(summary.outcome).toBe('recedes')
    })
  }
  it('φ0 = 0.30 stays a lens', () => {
    const { series, summary } = life({ 'drop.alcoholMassFraction': 0.3 })
    const radii = { 1: 2303, 2: 2302, 4: 2299, 6: 2296, 8: 2294 }
    for (const [t, R] of Object.entries(radii))
      expectClose(seriesAt(series, Number(t)).R * 1e6, R, { rtol: 0.01 }, `R(${t} s), µm`)
    expectClose(seriesAt(series, 4).centre * 1e3, 1.203, { rtol: 0.05 })
    expectClose(seriesAt(series, 6).volume * 1e9, 9.988, { rtol: 1e-3 })
    expect(summary.outcome).toBe('lens')
  })
  const others: [string, Record<string, Leaf>, number, number][] = [
    ['20 µL', { 'drop.volume_uL': 20 }, 32.64, 6.75],
    ['20 mm of oil, dish 90 mm', { 'bath.depth_mm': 20, 'bath.dishRadius_mm': 90 }, 35.81, 3],
    ['oil of 100 mPa·s', { 'bath.viscosity_mPas': 100 }, 24.12, 5.75],
  ]
  for (const [name, changes, largest, when] of others) {
    it(`φ0 = 0.50, ${name}`, () => {
      const { summary } = life(changes)
      expectClose(summary.maxRadius * 1e3, largest, { rtol: 0.01 })
      expect(summary.maxRadiusBand[0]).toBeLessThan(when)
      expect(summary.maxRadiusBand[1]).toBeGreaterThan(when)
    })
  }
})
