/**
 * Sensitivities by the real way: preset → uncertain inputs → lives → shares → table. The estimators themselves are tried on
 * functions of the literature in numericsSampling.test.ts.
 */
import { describe, expect, it } from 'vitest'
import { defaultPreset } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { LifeResult, Preset } from '../../src/life/types.ts'
import { type Sensitivity, type SensitivityOptions, sensitivityOf } from '../../src/plan/sensitivity.ts'
import { variationOf } from '../../src/plan/sensitivityInputs.ts'
import { mattersMost, ranked, sensitivityObject, sharesTable } from '../../src/plan/sensitivityWords.ts'
import { tableCsv } from '../../src/plan/table.ts'
import { quickly } from '../../src/plan/work.ts'
import { cases } from '../fixtures/long.ts'
import { madeUpRun } from '../fixtures/planLives.ts'
import { presetWith, referencePreset } from '../fixtures/presetLives.ts'
import { expectClose } from '../matchers.ts'

const strong = presetWith(defaultPreset(), ['drop.alcoholMassFraction', 0.6])

function variation(preset: Preset, own?: Parameters<typeof variationOf>[1]) {
  const made = variationOf(preset, own)
  if (!made.ok) throw new Error(made.problems.map(({ message }) => message).join(' '))
  return made
}

const onlyRadius = { outputs: ['maxRadius_mm'] }
type Run = Parameters<typeof sensitivityOf>[1]
const of = (
  preset: Preset,
  run: Run,
  base: number,
  own?: Parameters<typeof variationOf>[1],
  more: Partial<SensitivityOptions> = onlyRadius,
) => sensitivityOf(preset, run, { ...variation(preset, own), base, ...more })

const shareOf = (so: Sensitivity, id: string) => ranked(so, so.outputs[0]!).find((one) => one.id === id)!

describe('shares', () => {
  it('are those of a sum of independent inputs', async () => {
    // R = 20 + 3 z1 + 4 z2 mm: variances 9 and 16 of 25, nothing in company.
    const { run, asked } = madeUpRun(({ drop, air }) => ({
      maxRadius: 1e-3 * (20 + (3 * (drop.volume_uL - 10)) / 0.5 + 4 * (air.temperature_C - 22)),
    }))
    const so = await of(strong, run, 256)
    expect(asked).toHaveLength(256 * (so.inputs.length + 2))
    expect(so.lives).toBe(asked.length)
    const [volume, temperature] = ['volume', 'temperature'].map((id) => shareOf(so, id))
    expectClose(volume!.first, 0.36, { atol: 3 * volume!.firstError })
    expectClose(temperature!.first, 0.64, { atol: 3 * temperature!.firstError })
    expectClose(temperature!.total, 0.64, { atol: 3 * temperature!.totalError })
    expect(temperature!.firstError).toBeLessThan(0.08)
    expect(shareOf(so, 'decay').total).toBe(0)
    expectClose(so.outputs[0]!.mean, 20, { atol: 0.2 })
    expectClose(so.outputs[0]!.spread, 5, { atol: 0.2 })
    expect(mattersMost(so, so.outputs[0]!)).toMatch(
      /^What matters most for the largest radius is the temperature \(± 1 °C\): knowing it would take 6\d ± \d % of the spread away\.$/,
    )
  })
  it('of a product are told to come in company', async () => {
    // R = z1 z2: nothing alone, all together.
    const { run } = madeUpRun(({ drop, air }) => ({
      maxRadius: 1e-3 * (20 + ((drop.volume_uL - 10) / 0.5) * (air.temperature_C - 22)),
    }))
    const so = await of(strong, run, 512, { volume: true, temperature: true })
    for (const id of ['volume', 'temperature']) {
      expectClose(shareOf(so, id).first, 0, { atol: 3 * shareOf(so, id).firstError })
      expectClose(shareOf(so, id).total, 1, { atol: 3 * shareOf(so, id).totalError })
    }
    expect(mattersMost(so, so.outputs[0]!)).toContain('only in company with others')
  })
  it('over ranges are those of even spreads', async () => {
    // R = V/µL + 2 depth/mm with V in 5–11 and depth in 6–8: variances 36/12 and 4·4/12, 0.692 and 0.308.
    const { run, asked } = madeUpRun(({ drop, bath }) => ({
      maxRadius: 1e-3 * (drop.volume_uL + 2 * bath.depth_mm),
    }))
    const so = await of(strong, run, 128, {
      'drop.volume_uL': { from: 5, to: 11 },
      'bath.depth_mm': { from: 6, to: 8 },
    })
    expectClose(shareOf(so, 'drop.volume_uL').first, 9 / 13, {
      atol: 3 * shareOf(so, 'drop.volume_uL').firstError,
    })
    expectClose(shareOf(so, 'bath.depth_mm').total, 4 / 13, {
      atol: 3 * shareOf(so, 'bath.depth_mm').totalError,
    })
    for (const { drop } of asked) expect(drop.volume_uL >= 5 && drop.volume_uL <= 11).toBe(true)
  })
})

describe('of the engine', () => {
  it('narrow widths give what the slopes of the lives themselves give', async () => {
    const preset = quickly(presetWith(referencePreset(), ['drop.alcoholMassFraction', 0.5]))
    const own = {
      volume: { width: 0.03 },
      evaporation: { width: 0.03 },
      waterTension: { width: 0.3 },
      decay: { width: 0.02 },
    }
    const { inputs } = variation(preset, own)
    const radius = (p: Preset): number => {
      const made = runLifeSync(p)
      if (!made.ok) throw new Error('no life')
      return made.life.summary.maxRadius
    }
    // Quantiles 0.1587 and 0.8413: one standard deviation down and up.
    const squares = inputs.map(
      (input) => (radius(input.at(preset, 0.841345)) - radius(input.at(preset, 0.158655))) ** 2,
    )
    const whole = squares.reduce((a, b) => a + b, 0)
    const so = await of(preset, runLifeSync, cases(48, 128), own)
    inputs.forEach(({ id }, k) => {
      const { first, firstError, total, totalError } = shareOf(so, id)
      expectClose(first, squares[k]! / whole, { atol: 3 * firstError + 0.03 })
      expectClose(total, squares[k]! / whole, { atol: 3 * totalError + 0.03 })
    })
  })
  it('volume and evaporation share alike where R* ∝ (volume/evaporation)^¼', async () => {
    // The scale of R_max of planThreshold.test.ts: equal relative widths move it equally, half each.
    const preset = quickly(presetWith(referencePreset(), ['drop.alcoholMassFraction', 0.5]))
    const so = await of(preset, runLifeSync, cases(32, 128), {
      volume: { width: 0.08 },
      evaporation: { width: 0.08 },
    })
    for (const id of ['volume', 'evaporation'])
      expectClose(shareOf(so, id).total, 0.5, { atol: 0.15 + 2 * shareOf(so, id).totalError })
  })
})

describe('what does not exist', () => {
  it('is left out and counted, and nothing is told of too few', async () => {
    const { run } = madeUpRun(({ drop }) => ({
      maxRadius: 1e-3 * drop.volume_uL,
      outcome: drop.volume_uL > 9.3 ? 'recedes' : 'lens',
      maxRadiusTime: drop.volume_uL,
    }))
    const so = await of(
      strong,
      run,
      64,
      { volume: true, temperature: true },
      { outputs: ['maxRadius_mm', 'maxRadiusTime_s', 'childRadius_um'] },
    )
    const [radius, time, none] = so.outputs
    expect([radius!.used, radius!.left]).toEqual([64, 0])
    expect(time!.left).toBeGreaterThan(2)
    expect(time!.used + time!.left).toBe(64)
    expect(none!.used).toBeLessThanOrEqual(64)
    const few = await of(strong, run, 8, { volume: true })
    expect(few.outputs[0]!.indices).toBeNull()
    expect(mattersMost(few, few.outputs[0]!)).toMatch(
      /^Too few lives tell of the largest radius: 8 base points\.$/,
    )
  })
  it('lives that fail take their base point with them', async () => {
    const { run } = madeUpRun(({ drop }) =>
      drop.volume_uL > 10.5
        ? { outcome: 'failed', cause: 'no step small enough' }
        : { maxRadius: 1e-3 * drop.volume_uL },
    )
    const so = await of(strong, run, 64, { volume: true, temperature: true })
    expect(so.failed).toBeGreaterThan(10)
    expect(so.failures).toEqual(['no step small enough'])
    expect(so.outputs[0]!.used + so.outputs[0]!.left).toBe(64)
    expect(so.outputs[0]!.left).toBeGreaterThan(10)
    const crash = (): LifeResult => {
      throw new Error('out of memory')
    }
    expect((await of(strong, crash, 16, { volume: true })).failed).toBe(48)
  })
  it('a number that never varies has no shares', async () => {
    const so = await of(strong, madeUpRun(() => ({ maxRadius: 0.02 })).run, 32, { volume: true })
    expect(mattersMost(so, so.outputs[0]!)).toBe('The largest radius is the same in all lives.')
  })
})

describe('the work', () => {
  it('grows, stops with what is there, and leaves out by name what does not act', async () => {
    const { run, asked } = madeUpRun(({ drop }) => ({ maxRadius: 1e-3 * drop.volume_uL }))
    const seen: number[] = []
    const so = await of(referencePreset(), run, 64, undefined, {
      ...onlyRadius,
      grown: (give) => seen.push(give().done),
      cancelled: () => asked.length >= 300,
    })
    expect(so.status).toBe('stopped')
    expect(so.done).toBe(Math.floor(300 / (so.inputs.length + 2)))
    expect(seen).toEqual(Array.from({ length: so.done }, (_, i) => i + 1))
    expect(so.left.map(({ id }) => id)).toEqual(['temperature', 'humidity', 'uptake'])
    expect(so.outputs[0]!.indices).not.toBeNull()
  })
  it('becomes a table and an object with the same numbers', async () => {
    const { run } = madeUpRun(({ drop }) => ({ maxRadius: 1e-3 * drop.volume_uL }))
    const so = await of(strong, run, 32, { volume: true, decay: true })
    const csv = tableCsv(sharesTable(so))
    expect(csv.split('\n')[0]).toBe(
      'output,input,width,first_percent,first_error_percent,total_percent,total_error_percent',
    )
    expect(csv.split('\n')[1]).toMatch(/^largest radius,volume of the drop,± 5 %,/)
    const shown = sensitivityObject(so) as { outputs: { shares: { input: string; total: number }[] }[] }
    expectClose(shown.outputs[0]!.shares[0]!.total, shareOf(so, 'volume').total, { rtol: 1e-12 })
  })
  it.each([
    [{ nothing: true }, /there is no such input/],
    [{ volume: { from: 1, to: 2 } }, /takes "width"/],
    [{ uptake: { width: 0.5 } }, /is a factor/],
    [{ 'drop.volume_uL': { from: 1, to: 1000 } }, /Permitted: 0\.5 to 100 µL/],
    [{ 'bath.tension_mNperM': { width: 1 } }, /gives no number for it/],
    [{ 'drop.volume_uL': true }, /has no width/],
    [{ 'drop.alcohol': { from: 1, to: 2 } }, /there is no such input/],
    [{ uptake: { width: 1 } }, /^0 inputs/],
  ] as [Parameters<typeof variationOf>[1], RegExp][])(
    'refuses %j with what would be right',
    (own, message) => {
      const made = variationOf(strong, own)
      expect(made.ok ? '' : made.problems[0]!.message).toMatch(message)
    },
  )
})
