import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { runHere } from '../../src/life/hands.ts'
import { parsePreset, setKeys } from '../../src/life/preset.ts'
import type { Life } from '../../src/life/types.ts'
import { OUTPUTS, outputOf } from '../../src/plan/outputs.ts'
import { quickly } from '../../src/plan/work.ts'

const presetOf = (name: string, changes: [string, number | boolean][] = []) => {
  const read = parsePreset(readFileSync(`presets/${name}.json`, 'utf8'))
  if (!read.ok) throw new Error(read.problems[0]!.message)
  const changed = setKeys(read.preset, changes)
  if (!changed.ok) throw new Error(changed.problems[0]!.message)
  return quickly(changed.preset)
}

const lifeOf = async (...asked: Parameters<typeof presetOf>): Promise<Life> => {
  const result = await runHere(presetOf(...asked))
  if (!result.ok) throw new Error('no life')
  return result.life
}

const value = (id: string, life: Life): number => outputOf(id)!.of(life)

describe('outputs of a life', async () => {
  const life = await lifeOf('harbour-lane-bursts')
  const { series, summary } = life

  // Against the series that the command line writes (their own tests hold these to the model).
  it('have the units that they are named by', () => {
    expect(value('maxRadius_mm', life)).toBeCloseTo(1e3 * Math.max(...series.R), 1)
    expect(value('life_s', life)).toBe(summary.collapseTime)
    expect(value('maxRadiusTime_s', life)).toBeLessThan(value('life_s', life))
    const rising = [...series.t].filter((t) => t <= summary.maxRadiusTime).length
    expect(value('rimHeight_um', life)).toBeCloseTo(
      1e6 * Math.max(...series.ringHeight.slice(0, rising).filter(Number.isFinite)),
      9,
    )
    expect(value('thinnest_um', life)).toBeLessThan(value('rimHeight_um', life))
    expect(value('thinnestRadius_mm', life)).toBeLessThan(value('maxRadius_mm', life))
    expect(value('alcoholInOil_percent', life)).toBeCloseTo(
      (100 * series.inOil.at(-1)!) / series.alcohol[0]!,
      9,
    )
    expect(value('beads', life)).toBeGreaterThan(10)
    expect(value('startSpreading_mNperM', life)).toBeCloseTo(1e3 * life.facts.S0, 12)
  })

  it('of a lens are its width and nothing that it does not have', async () => {
    const lens = await lifeOf('harbour-lane-bursts', [['drop.alcoholMassFraction', 0.05]])
    expect(lens.summary.outcome).toBe('lens')
    for (const id of ['life_s', 'maxRadiusTime_s', 'beads', 'firstBreakUp_s'])
      expect(value(id, lens)).toBeNaN()
    expect(value('maxRadius_mm', lens)).toBeGreaterThan(0)
    expect(value('startSpreading_mNperM', lens)).toBeLessThan(0)
  })

  it('end in their unit', () => {
    const words = { '%': 'percent', µm: 'um', 'mN/m': 'mNperM' } as Record<string, string>
    for (const { id, unit } of OUTPUTS) if (unit) expect(id.split('_')[1]).toBe(words[unit] ?? unit)
  })
})
