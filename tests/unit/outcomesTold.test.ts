/** What is told of lives at the corners of the inputs: nothing that the life itself does not show. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { main, real } from '../../src/cli/simulate.ts'
import { defaultPreset, type Leaf, parsePreset, setKeys } from '../../src/life/preset.ts'
import { problemOf } from '../../src/life/problemOf.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life, Preset } from '../../src/life/types.ts'
import { createFields, moveTo } from '../../src/life/view.ts'
import { valuesText } from '../../src/page/plots/shown.ts'
import { sentenceOf } from '../../src/page/sentence/sentence.ts'
import { assumedLaw } from '../../src/page/threshold/thresholdPlot.ts'
import { outcomesAlong } from '../../src/plan/stretches.ts'
import { captured } from '../fixtures/captured.ts'

function shipped(name: string): Preset {
  const read = parsePreset(readFileSync(join(import.meta.dirname, `../../presets/${name}.json`), 'utf8'))
  if (!read.ok) throw new Error(name)
  return read.preset
}

function changed(preset: Preset, changes: Record<string, Leaf>): Preset {
  const made = setKeys(preset, Object.entries(changes))
  if (!made.ok) throw new Error(JSON.stringify(made.problems))
  return made.preset
}

function lifeOf(preset: Preset, changes: Record<string, Leaf> = {}): Life {
  const result = runLifeSync(changed(preset, changes))
  if (!result.ok) throw new Error('invalid')
  return result.life
}

const first = shipped('harbour-lane-bursts')
const WIDE = { 'bath.dishRadius_mm': 300 }
const NO_LOSS = { 'mechanisms.evaporation': false, 'mechanisms.uptake': false }

describe('a drop that nothing draws back', () => {
  const corners: [string, Preset, Record<string, Leaf>][] = [
    ['the reference case without evaporation', shipped('reference'), { 'mechanisms.evaporation': false }],
    ['the first drop without any loss', first, NO_LOSS],
    ['1 µL without any loss', first, { ...NO_LOSS, 'drop.volume_uL': 1 }],
    ['pure alcohol without any loss', first, { ...NO_LOSS, 'drop.alcoholMassFraction': 1 }],
  ]
  it.each(corners)('is still growing: %s', (_, preset, changes) => {
    const life = lifeOf(preset, { ...WIDE, ...changes })
    const { R } = life.series
    expect(R.at(-1)).toBe(Math.max(...R))
    expect(life.summary.outcome).toBe('spreads')
    const { text } = sentenceOf(life)
    expect(text).toMatch(
      /has spread to a radius of \d+(\.\d)? mm by 12 s, where the calculation ends, and is still growing/,
    )
    expect(text).not.toMatch(/draw|in 12 s/)
  })
  it('is not said to draw back where it sheds on its way, or rests again', () => {
    const life = lifeOf(first, { 'drop.volume_uL': 1 })
    const at = (change: Partial<Life['summary']>, R: number[], U: number[]): string =>
      sentenceOf({
        ...life,
        summary: { ...life.summary, collapseTime: Number.NaN, lifeEnd: 12, maxRadius: 0.02, ...change },
        series: { ...life.series, R: Float64Array.from(R), U: Float64Array.from(U) },
      }).text
    expect(at({ outcome: 'sheds', maxRadiusTime: 12 }, [0.002, 0.02], [0, 0.002])).toMatch(
      /has spread to a radius of 20\.0 mm by 12 s, where the calculation ends, and is still growing/,
    )
    const recedes = { outcome: 'recedes', maxRadiusTime: 3 } as const
    expect(at(recedes, [0.002, 0.012], [0, -0.002])).toMatch(/is still drawing back after 12 s\./)
    expect(at({ ...recedes, cut: true }, [0.002, 0.012], [0, -0.002])).toMatch(
      /is still drawing back after 12 s, where the calculation ends/,
    )
    expect(at(recedes, [0.002, 0.012], [0, -1e-8])).toMatch(
      /has drawn back to a radius of 12\.0 mm after 12 s/,
    )
  })
})

describe('a weak small drop', () => {
  const weak = { 'drop.alcoholMassFraction': 0.2, 'drop.volume_uL': 1 }
  it.each([
    ['1 µL of 20 %', weak],
    ['the smallest drop', { ...weak, 'drop.volume_uL': 0.5 }],
    ['laid wide', { ...weak, 'drop.startRadius_mm': 8 }],
    ['water', { ...weak, 'drop.alcoholMassFraction': 0 }],
  ])('is a lens, although its foot is drawn in: %s', (_, changes) => {
    const life = lifeOf(first, changes)
    const { R, volume, childVolume } = life.series
    expect(life.facts.S0).toBeLessThan(0)
    expect(Math.max(...R)).toBe(R[0])
    expect(volume.at(-1)! + childVolume.at(-1)!).toBeGreaterThan(0.97 * volume[0]!)
    expect([life.summary.outcome, life.summary.childDrops.count]).toEqual(['lens', 0])
    expect(sentenceOf(life).text).toMatch(
      /^Too weak: below 49 % by mass this mixture stays a lens on this oil\.$/,
    )
  })
  it('is one on the strength’s track and for the command line', async () => {
    const preset = changed(first, { 'drop.volume_uL': 1 })
    const run = (one: Preset) => Promise.resolve(runLifeSync(one))
    const wish = { key: 'drop.alcoholMassFraction', values: [0, 0.1, 0.2, 0.3, 0.4], coarse: 2 }
    const { stretches } = await outcomesAlong(preset, wish, run)
    expect(stretches.map(({ outcome }) => outcome)).toEqual(['lens'])
    const { told, to } = captured()
    const file = join(import.meta.dirname, '../../presets/harbour-lane-bursts.json')
    const sets = Object.entries(weak).flatMap(([key, value]) => ['--set', `${key}=${value}`])
    expect(await main([file, ...sets], { ...real, ...to })).toBe(0)
    expect(told.out).toMatch(/outcome +stays a lens/)
    expect(told.out).toMatch(/child drops +none/)
  })
  it('at rest is said to be at rest', () => {
    const life = lifeOf(shipped('harbour-lane-lens'))
    const fields = createFields()
    const end = life.series.t.at(-1)!
    expect(moveTo(fields, life.frames, 1e-3 * life.preset.bath.dishRadius_mm, end)).toBe(true)
    expect(valuesText(fields, 0)).toMatch(/surface at rest, bath at rest$/)
    for (const r of [0.2e-3, 1e-3, 5e-3, 30e-3]) expect(valuesText(fields, r)).not.toMatch(/0\.000\d/)
  })
})

describe('warnings and notes', () => {
  it('tell the strength in the measure of its slider', () => {
    const said = (preset: Preset, changes: Record<string, Leaf>) =>
      problemOf(changed(preset, changes)).facts.warnings.join(' ')
    // 70 % by volume, volumes added: 0.7·789/(0.7·789 + 0.3·998) of ethanol, densities at 20 °C of OIML R 22.
    expect(said(first, { 'drop.alcoholMassFraction': 0.66 })).toMatch(
      /Above about 65 % alcohol by mass the outermost film/,
    )
    expect(said(first, { 'drop.alcoholMassFraction': 0.64 })).toBe('')
    const reference = shipped('reference')
    expect(said(reference, { 'drop.alcoholMassFraction': 0.71 })).toMatch(
      /Above about 70 % alcohol by volume/,
    )
    expect(said(reference, { 'drop.alcoholMassFraction': 0.69 })).toBe('')
  })
  it('have the numbers of the drop/oil tension, level or not', () => {
    const law = (water: number, end: number) => {
      const { facts } = problemOf(
        changed(defaultPreset(), { 'interface.water_mNperM': water, 'interface.end_mNperM': end }),
      )
      return assumedLaw(facts)
    }
    const level = law(8, 8)
    expect(level.water).toBeCloseTo(8e-3, 12)
    expect(level.end).toBeCloseTo(8e-3, 12)
    expect(level.decay).toBeNaN()
    const near = law(8, 7.999)
    expect([near.end, near.decay]).toEqual([expect.closeTo(7.999e-3, 9), expect.closeTo(3.6, 2)])
    const rising = law(5, 9)
    expect([rising.end, rising.decay]).toEqual([expect.closeTo(9e-3, 9), expect.closeTo(3.6, 6)])
  })
})
