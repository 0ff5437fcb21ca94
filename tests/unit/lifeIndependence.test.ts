/** No life depends on the lives before it: the same bits whatever the engines were used for. */
import { readFileSync } from 'node:fs'
import { afterEach, describe, expect, it } from 'vitest'
import { dropEngines } from '../../src/life/engines.ts'
import { defaultPreset, type Leaf, parsePreset, setKeys } from '../../src/life/preset.ts'
import { runLevelSync, runLife, runLifeSync } from '../../src/life/run.ts'
import type { Preset } from '../../src/life/types.ts'
import { digestOf, digestOfPreset } from '../fixtures/lifeDigest.ts'
import { cases } from '../fixtures/long.ts'
import { shuffled } from '../fixtures/manyLives.ts'
import { presetsOf, settingsOf } from '../fixtures/randomPresets.ts'

const shipped = (name: string): Preset => {
  const read = parsePreset(readFileSync(new URL(`../../presets/${name}.json`, import.meta.url), 'utf8'))
  if (!read.ok) throw new Error(name)
  return read.preset
}
const changed = (preset: Preset, ...changes: [string, Leaf][]): Preset => {
  const result = setKeys(preset, changes)
  if (!result.ok) throw new Error(result.problems[0]!.message)
  return result.preset
}
const lifeOf = (preset: Preset) => {
  const result = runLifeSync(preset)
  if (!result.ok) throw new Error('no life')
  return result.life
}

const canary = shipped('harbour-lane-spreads')

/** Drops without alcohol on baths that no strength wets: nothing is lent to a dry spot there. */
const nothingToLend: [string, Preset][] = (
  [
    ['silicone oil', [['bath.liquid', 'silicone-oil-50']]],
    ['a bath of low tension', [['bath.tension_mNperM', 20]]],
    ['an interface that keeps its tension', [['interface.decay', 0.6]]],
  ] as [string, [string, Leaf][]][]
).map(([name, changes]) => [name, changed(canary, ['drop.alcoholMassFraction', 0], ...changes)])

afterEach(() => void dropEngines())

describe('a drop without alcohol on a bath that is never wetted', () => {
  it.each(nothingToLend)('%s: a lens, computed to its end', (_, preset) => {
    const { summary, frames } = lifeOf(preset)
    expect(summary).toMatchObject({ outcome: 'lens', cut: false })
    expect(frames.h.every(Number.isFinite) && frames.phi.every(Number.isFinite)).toBe(true)
  })
  it.each(nothingToLend)('%s: the next life is as if it were the first', (_, preset) => {
    const alone = digestOfPreset(canary)
    dropEngines()
    lifeOf(preset)
    expect(digestOfPreset(canary)).toBe(alone)
  })
})

describe('random lives, with the invented drop after each', () => {
  const presets = presetsOf(cases(18, 60), 12, { accuracy: { quick: 5, normal: 1 }, cells: false })
  const birds = (['quick', 'normal'] as const).map((level) => changed(canary, ['model.accuracy', level]))
  it('are the same in any order, and so is the drop', { timeout: 300_000 }, () => {
    const alone = [...presets, ...birds].map((preset) => {
      dropEngines()
      return digestOfPreset(preset)
    })
    const different: string[] = []
    for (const k of shuffled(presets.length, 3)) {
      const preset = presets[k]!
      if (digestOfPreset(preset) !== alone[k]) different.push(settingsOf(preset).join(' '))
      const at = preset.model.accuracy === 'quick' ? 0 : 1
      if (digestOfPreset(birds[at]!) !== alone[presets.length + at])
        different.push(`the drop after ${settingsOf(preset).join(' ')}`)
    }
    expect(different).toEqual([])
  })
})

describe('engines at rest', () => {
  it('are at most four, whatever was computed', () => {
    for (let cells = 20; cells < 32; cells++)
      lifeOf(changed(defaultPreset(), ['model.innerCells', cells], ['model.accuracy', 'quick']))
    expect(dropEngines()).toBe(4)
  })
  it('are as new after a life that was stopped in its middle', async () => {
    const alone = digestOfPreset(canary)
    let asked = 0
    await runLife(canary, { cancelled: () => ++asked > 1, pause: async () => {} })
    const again = await runLife(canary)
    expect(again.ok && digestOf(again.life)).toBe(alone)
  })
})

describe('a bare life', () => {
  // Held to the same life with its frames: the fields that are kept must not act on what is computed.
  it('is the same to the last bit, without frames', () => {
    for (const preset of presetsOf(cases(12, 200), 2718)) {
      const { accuracy } = preset.model
      const [whole, bare] = [runLevelSync(preset, accuracy), runLevelSync(preset, accuracy, true)]
      if (!whole.ok || !bare.ok) throw new Error('no life')
      const { frames, ...rest } = bare.life
      expect(frames.count).toBe(0)
      for (const row of [frames.h, frames.t, frames.u, frames.edgePull]) expect(row.length).toBe(0)
      const kept = { ...rest, frames: whole.life.frames }
      expect(digestOf(kept)).toBe(digestOf(whole.life))
    }
  }, 600_000)
})
