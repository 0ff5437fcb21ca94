/** Whole lives under a layer of air that the drop shares, from the preset on, and what page and fit say of its key. */
import { afterEach, describe, expect, it } from 'vitest'
import { dropEngines } from '../../src/life/engines.ts'
import { defaultPreset, type Leaf, setKeys } from '../../src/life/preset.ts'
import { problemOf } from '../../src/life/problemOf.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life, Preset } from '../../src/life/types.ts'
import { evaporationKey, whyNotFitted } from '../../src/measured/fit/unknowns.ts'
import { whyNoEffect } from '../../src/page/controls/noEffect.ts'
import { MOVERS } from '../../src/plan/neighbours.ts'
import { breachesOf } from '../fixtures/lifeChecks.ts'
import { digestOfPreset } from '../fixtures/lifeDigest.ts'
import { cases } from '../fixtures/long.ts'
import { shuffled } from '../fixtures/manyLives.ts'
import { presetsOf, settingsOf } from '../fixtures/randomPresets.ts'
import { expectClose } from '../matchers.ts'

const changed = (preset: Preset, changes: Record<string, Leaf>): Preset => {
  const result = setKeys(preset, Object.entries(changes))
  if (!result.ok) throw new Error(result.problems[0]!.message)
  return result.preset
}
const layered = (changes: Record<string, Leaf> = {}): Preset =>
  changed(defaultPreset(), {
    'drop.alcohol': '2-propanol',
    'bath.liquid': 'sunflower-oil',
    'model.accuracy': 'quick',
    'air.mode': 'layer',
    ...changes,
  })
const lifeOf = (preset: Preset): Life => {
  const result = runLifeSync(preset)
  if (!result.ok) throw new Error('no life')
  return result.life
}

afterEach(() => void dropEngines())

describe('a life under a layer of air', () => {
  it('closes both budgets to 1e-12', () => {
    for (const layer of [0.3, 3, 30, 300])
      for (const strength of [0.3, 0.5, 0.75, 0.95]) {
        const { summary } = lifeOf(
          layered({
            'air.layer_mm': layer,
            'drop.alcoholMassFraction': strength,
            'ring.breakUp': strength > 0.6,
          }),
        )
        const name = `${layer} mm, ${strength}`
        expectClose(summary.volumeClosure, 0, { atol: 1e-12 }, name)
        expectClose(summary.alcoholClosure, 0, { atol: 1e-12 }, name)
      }
  })
  it('is that of moving air with K = D/δ where the layer is thin', () => {
    const { problem } = problemOf(layered({ 'air.layer_mm': 0.3 }))
    if (problem.evaporation.kind !== 'layer') throw new Error('no layer')
    const { alcoholDiffusivity, thickness } = problem.evaporation
    const coefficient = (1e3 * alcoholDiffusivity) / thickness
    const thin = lifeOf(layered({ 'air.layer_mm': 0.3, 'model.accuracy': 'normal' })).summary
    const moving = lifeOf(
      layered({
        'air.mode': 'moving',
        'air.filmCoefficient_mmPerS': coefficient,
        'air.relativeHumidity': 1,
        'model.accuracy': 'normal',
      }),
    ).summary
    // Water has D^(2/3) there and D here, so that nothing sharper can be asked of a drop.
    expectClose(thin.maxRadius, moving.maxRadius, { rtol: 0.06 })
  })
  it('has a start flux that runs from D/δ to that of still air', () => {
    const flux = (changes: Record<string, Leaf>) => problemOf(layered(changes)).facts.startFlux
    expectClose(flux({ 'air.layer_mm': 300 }), flux({ 'air.mode': 'still' }), { rtol: 0.01 })
    const wide = { 'drop.startRadius_mm': 15 }
    const { alcoholDiffusivity } = problemOf(layered()).problem.evaporation as { alcoholDiffusivity: number }
    const moving = { 'air.mode': 'moving', 'air.filmCoefficient_mmPerS': (1e3 * alcoholDiffusivity) / 3e-4 }
    expectClose(flux({ ...wide, 'air.layer_mm': 0.3 }), flux({ ...wide, ...moving }), { rtol: 0.02 })
  })
  it('changes with the layer without jumps: 40 thicknesses from 0.3 to 300 mm', { timeout: 300_000 }, () => {
    const lives = Array.from({ length: 40 }, (_, k) => {
      const { summary } = lifeOf(layered({ 'air.layer_mm': Number((0.3 * 1000 ** (k / 39)).toPrecision(6)) }))
      return [summary.maxRadius, summary.collapseTime!] as const
    })
    for (let k = 1; k < 39; k++)
      for (const which of [0, 1] as const) {
        const [a, b, c] = [k - 1, k, k + 1].map((at) => Math.log(lives[at]![which]))
        // Beside the mean of its neighbours; a quick life is good to about 1 %.
        expect(Math.abs(b! - (a! + c!) / 2), `${which ? 'collapse' : 'R_max'} at ${k}`).toBeLessThan(0.012)
      }
  })
  it('ends the same whatever was computed before', { timeout: 300_000 }, () => {
    const presets = [0.3, 2, 9, 40, 300].flatMap((layer) =>
      ['quick', 'normal'].map((level) => layered({ 'air.layer_mm': layer, 'model.accuracy': level })),
    )
    const alone = presets.map((preset) => {
      dropEngines()
      return digestOfPreset(preset)
    })
    for (const k of shuffled(presets.length, 5)) {
      lifeOf(layered({ 'air.mode': 'still' }))
      expect(digestOfPreset(presets[k]!), settingsOf(presets[k]!).join(' ')).toBe(alone[k])
    }
  })
  it('is sound for random drops', { timeout: 600_000 }, () => {
    const presets = presetsOf(cases(20, 100), 4711, {
      accuracy: { quick: 9, normal: 1 },
      cells: true,
      real: true,
    })
    const wrong: string[] = []
    let failed = 0
    for (const preset of presets) {
      const layer = changed(preset, { 'air.mode': 'layer' })
      const result = runLifeSync(layer)
      const breaches = breachesOf(result)
      if (breaches.length > 0) wrong.push(`${breaches.join('; ')}: ${settingsOf(layer).join(' ')}`)
      if (result.ok && result.life.summary.outcome === 'failed') failed++
    }
    expect(wrong).toEqual([])
    expect(failed).toBeLessThanOrEqual(1)
  })
})

describe('the key air.layer_mm', () => {
  it('is used in its mode alone, and says so', () => {
    expect(whyNoEffect('air.layer_mm', layered())).toBe('')
    expect(whyNoEffect('air.layer_mm', defaultPreset())).toMatch(/moving air/)
    for (const path of [
      'air.enhancement',
      'air.filmCoefficient_mmPerS',
      'air.speed_mPerS',
      'air.constantRate_umPerS',
    ])
      expect(whyNoEffect(path, layered()), path).toMatch(/layer of air/)
    expect(whyNoEffect('air.relativeHumidity', layered())).toBe('')
  })
  it('is the unknown of the evaporation, and what is moved for the band', () => {
    expect(evaporationKey(layered())).toBe('air.layer_mm')
    expect(whyNotFitted('air.layer_mm', defaultPreset())).toMatch(/no effect with air\.mode "moving"/)
    const mover = MOVERS.find(({ input }) => input === 'evaporation')!
    expect(mover.move(layered(), 1).air.layer_mm).toBeCloseTo(3 / 1.3, 12)
    expect(mover.move(layered(), -1).air.layer_mm).toBeCloseTo(3 / 0.7, 12)
  })
  it('may be from 0.3 to 300 mm', () => {
    expect(setKeys(layered(), [['air.layer_mm', 0.29]]).ok).toBe(false)
    expect(setKeys(layered(), [['air.layer_mm', 301]]).ok).toBe(false)
  })
  it('does not go with the reference liquids', () => {
    const closed: [string, Leaf][] = [
      ['drop.alcohol', 'reference'],
      ['bath.liquid', 'reference'],
    ]
    expect(setKeys(layered(), closed).ok).toBe(false)
  })
})
