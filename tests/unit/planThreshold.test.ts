/** Threshold, band of neighbours, nearest change, smallest dish. */
import { describe, expect, it, test } from 'vitest'
import { defaultPreset, setKeys } from '../../src/life/preset.ts'
import { problemOf } from '../../src/life/problemOf.ts'
import { runLife, runLifeSync } from '../../src/life/run.ts'
import type { LifeResult, Preset } from '../../src/life/types.ts'
import { mixtureOf } from '../../src/liquids/registry.ts'
import { smallestDish } from '../../src/plan/dish.ts'
import { nearestChange } from '../../src/plan/nearestChange.ts'
import { bandOf, MOVERS, reachOf } from '../../src/plan/neighbours.ts'
import { amendmentOf } from '../../src/plan/recipe.ts'
import { thresholdOf } from '../../src/plan/threshold.ts'
import { thresholdReach } from '../../src/plan/thresholdReach.ts'
import { madeUpRun } from '../fixtures/planLives.ts'
import { expectClose } from '../matchers.ts'

function preset(changes: Record<string, number | string> = {}): Preset {
  const made = setKeys(defaultPreset(), Object.entries(changes))
  if (!made.ok) throw new Error(made.problems[0]!.message)
  return made.preset
}
const strong = preset({ 'drop.alcoholMassFraction': 0.6 })
const weak = preset({ 'drop.alcoholMassFraction': 0.3 })
const closed = { 'drop.alcohol': 'reference', 'bath.liquid': 'reference', 'air.mode': 'constant' }
const reference = preset(closed)
const volume96 = { by: 'volume', value: 96 } as const

describe('threshold', () => {
  it('is where the tensions balance', () => {
    const t = thresholdOf(strong)
    const T = 295.15
    // γo = 33 (rapeseed oil at 22 °C), γi = 0.4 + 23.6 exp(−3.6 w), all mN/m.
    const gammaA = 1e3 * mixtureOf('ethanol').surfaceTension(t.massFraction, T)
    expectClose(33 - gammaA - (0.4 + 23.6 * Math.exp(-3.6 * t.massFraction)), 0, { atol: 2e-3 })
  })
  // Worked out for this project with γo = 33 and 24 mN/m against water; mass fractions to 0.01–0.02.
  test.each([
    ['2-propanol', 0.35],
    ['1-propanol', 0.34],
    ['ethanol', 0.48],
  ])('%s on rapeseed oil: %d by mass', (alcohol, w) => {
    expectClose(thresholdOf(preset({ 'drop.alcohol': alcohol })).massFraction, w, { atol: 0.015 })
  })
  it('gives % by volume as on a bottle, apart from the additive fraction of the model', () => {
    const t = thresholdOf(strong)
    // Definition of OIML R 22: 100 w ρ(w)/ρ(1), ρ(1) = 789.239 kg/m³ at 20 °C.
    expectClose(
      t.percent,
      (100 * t.massFraction * mixtureOf('ethanol').density(t.massFraction, 293.15)) / 789.239,
      {
        rtol: 1e-6,
      },
    )
    expect(t.percent).toBeGreaterThan(100 * t.phi + 1)
  })
  it('does not exist on silicone oil (no mixture spreads there: experiment, College Physics report 2021)', () => {
    for (const alcohol of ['ethanol', '2-propanol', '1-propanol', 'methanol']) {
      const t = thresholdOf(preset({ 'bath.liquid': 'silicone-oil-50', 'drop.alcohol': alcohol }))
      expect(t.kind).toBe('never')
      expect(t.words).toMatch(/^No mixture of .* spreads on silicone oil/)
      expect(Math.max(...t.curve.S)).toBeLessThan(0)
    }
  })
  it('of the closed forms is 0.361 by volume', () => {
    // γo = 33, γa = 27.6 − 6.4 φ + 44.4 exp(−φ/0.085), γi = 0.4 + 24.5 exp(−3.6 φ): worked out for this project.
    const t = thresholdOf(reference)
    expectClose(t.phi, 0.361, { atol: 5e-4 })
    expectClose(t.percent, 36.1, { atol: 0.05 })
    expect(t.words).toContain('36.1 % by volume')
    expect(t.words).not.toContain('by mass')
  })
  it('is put into words, near it with a doubt', () => {
    expect(thresholdOf(strong).words).toMatch(
      /spread on rapeseed oil at 22 °C from 48\.\d % by mass \(56\.\d % by volume\).*is above\.$/,
    )
    expect(thresholdOf(weak).words).toMatch(/is below\.$/)
    expect(thresholdOf(preset({ 'drop.alcoholMassFraction': 0.49 })).words).toMatch(/either way/)
  })
  it('has its drop on the curve', () => {
    const { curve, drop } = thresholdOf(strong)
    expectClose(curve.S[60]!, drop.S, { atol: 1e-5 })
    expect(curve.w[60]).toBe(0.6)
    expect(thresholdOf(strong).sources.some(({ quality }) => quality === 'measured')).toBe(true)
  })
})

describe('neighbours', () => {
  const law = (p: Preset) => problemOf(p).facts.curve
  const moverOf = (input: string) => MOVERS.find((m) => m.input === input)!
  test.each([
    ['real', strong],
    ['closed-form', reference],
    [
      'own numbers',
      preset({ 'interface.water_mNperM': 18, 'interface.end_mNperM': 1, 'interface.decay': 5 }),
    ],
  ])('move the water value by 2 mN/m and nothing else: %s liquids', (_, p) => {
    const { move } = moverOf('waterTension')
    expectClose(1e3 * (law(move(p, 1)).gammaI[0]! - law(p).gammaI[0]!), 2, { atol: 1e-9 })
    expectClose(1e3 * (law(move(p, -1)).gammaI[0]! - law(p).gammaI[0]!), -2, { atol: 1e-9 })
    expectClose(law(move(p, 1)).gammaA[50]!, law(p).gammaA[50]!, { rtol: 1e-12 })
  })
  it('move the decay by 10 % of its own value', () => {
    const { move } = moverOf('decay')
    expectClose(move(strong, 1).interface.decay!, 3.6 * 1.1, { rtol: 1e-9 })
    expectClose(move(preset({ 'interface.decay': 5 }), -1).interface.decay!, 4.5, { rtol: 1e-9 })
  })
  it('move what makes it evaporate in each kind of air', () => {
    const { move } = moverOf('evaporation')
    expect(move(strong, 1).air.filmCoefficient_mmPerS).toBeCloseTo(5.2, 12)
    expect(move(preset({ 'air.mode': 'still' }), -1).air.enhancement).toBeCloseTo(0.7, 12)
    expect(move(reference, 1).air.constantRate_umPerS).toBeCloseTo(0.52, 12)
  })
  it('add up as independent inputs', () => {
    // √(3² + 4²) = 5 down and √(1² + 2²) = 2.236 up.
    const reach = reachOf(
      10,
      [
        { input: 'decay', values: [7, 11] },
        { input: 'volume', values: [12, 6] },
        { input: 'evaporation', values: [Number.NaN, 10] },
      ],
      [0, 100],
    )
    expect(reach.low).toBe(5)
    expectClose(reach.high, 10 + Math.sqrt(5), { rtol: 1e-12 })
    expect(reach.most).toBe('volume')
    expect(reachOf(10, [{ input: 'decay', values: [1, 2] }], [4, 5]).low).toBe(4)
  })
})

describe('band', () => {
  it('runs one life and its ten neighbours and keeps the rest of the preset', async () => {
    const { run, asked } = madeUpRun((p) => ({ maxRadius: 1e-3 * p.drop.volume_uL }))
    const seen: [number, number][] = []
    const band = await bandOf(strong, run, { progress: (done, total) => seen.push([done, total]) })
    expect(asked).toHaveLength(11)
    expect(seen).toEqual(Array.from({ length: 11 }, (_, i) => [i + 1, 11]))
    expect(band.status).toBe('done')
    expectClose(band.reach.maxRadius.low, 9.5e-3, { rtol: 1e-12 })
    expectClose(band.reach.maxRadius.high, 10.5e-3, { rtol: 1e-12 })
    expect(band.reach.maxRadius.most).toBe('volume')
    expect(band.reach.threshold).toEqual(thresholdReach(strong))
    for (const p of asked) expect({ ...p.drop, volume_uL: 10 }).toEqual(strong.drop)
    expect(strong.interface).toEqual({})
  })
  it('leaves failures out and says so', async () => {
    const { run } = madeUpRun((p) =>
      p.drop.volume_uL > 10 ? { outcome: 'failed', cause: 'no step small enough' } : { maxRadius: 0.02 },
    )
    const band = await bandOf(strong, run)
    expect(band.failures).toEqual(['no step small enough'])
    expect(band.reach.maxRadius).toMatchObject({ central: 0.02, low: 0.02, high: 0.02 })
    expect(band.outcomes).toEqual(['recedes'])
  })
  it('survives a crash of the engine', async () => {
    const crash = (): LifeResult => {
      throw new Error('out of memory')
    }
    const band = await bandOf(strong, crash)
    expect(band.failures).toHaveLength(11)
    expect(band.reach.maxRadius.central).toBeNaN()
  })
  it('stops between lives with what is known', async () => {
    const { run, asked } = madeUpRun(() => ({ maxRadius: 0.02 }))
    const band = await bandOf(strong, run, { cancelled: () => asked.length >= 4 })
    expect(asked).toHaveLength(4)
    expect(band.status).toBe('stopped')
    expect(band.reach.maxRadius.central).toBe(0.02)
  })
  it('stops in the middle of a life of the engine', async () => {
    let pauses = 0
    const pause = () => new Promise<void>((resolve) => setImmediate(resolve))
    const run = (p: Preset, hooks?: { cancelled?(): boolean }) => runLife(p, { ...hooks, pause })
    const band = await bandOf(preset({ 'model.accuracy': 'fine', 'drop.alcoholMassFraction': 0.6 }), run, {
      ownAccuracy: true,
      cancelled: () => ++pauses > 3,
    })
    expect(band.status).toBe('stopped')
  })
  it('of the engine follows the scale R* ∝ (volume/evaporation)^¼', async () => {
    // R* = [φ0 Ω0 S H/(4 ηo j_v)]^¼, from the alcohol budget and the balance of tension and drag; R_max/R* is nearly constant.
    const p = preset({ ...closed, 'drop.alcoholMassFraction': 0.5 })
    const { shifts, reach, outcomes } = await bandOf(p, runLifeSync)
    const power = (input: string, ratio: number) => {
      const shift = shifts.find((s) => s.input === input)!
      return Math.log(shift.high.maxRadius / shift.low.maxRadius) / Math.log(ratio)
    }
    expectClose(power('evaporation', 1.3 / 0.7), -0.25, { atol: 0.08 })
    expectClose(power('volume', 1.05 / 0.95), 0.25, { atol: 0.08 })
    expect(outcomes).toEqual(['recedes'])
    // A higher tension under the drop holds it back, a faster fall lets it go.
    const water = shifts.find((s) => s.input === 'waterTension')!
    expect(water.high.maxRadius).toBeLessThan(water.low.maxRadius)
    expect(water.high.threshold).toBeGreaterThan(water.low.threshold)
    expect(reach.maxRadius.low).toBeLessThan(reach.maxRadius.central)
    expect(reach.maxRadius.high).toBeGreaterThan(reach.maxRadius.central)
  })
})

describe('nearest change', () => {
  const from = (w: number) =>
    madeUpRun((p) => {
      const spreads = p.drop.alcoholMassFraction >= w
      return { outcome: spreads ? 'recedes' : 'lens', maxRadius: spreads ? 0.01 : 0.0025 }
    })
  it('finds the lowest strength that spreads, and what to pour', async () => {
    const change = await nearestChange(weak, from(0.5612).run, { stock: volume96, have_mL: 40 })
    if (change.kind !== 'stronger') throw new Error(change.words)
    expect(change.lowest.massFraction).toBeGreaterThanOrEqual(0.5612)
    expect(change.lowest.massFraction).toBeLessThan(0.5612 + 0.0021)
    expect(change.suggested.massFraction).toBe(0.57)
    const added = amendmentOf({
      alcohol: 'ethanol',
      stock: volume96,
      have: { by: 'mass', value: 0.3 },
      want: { by: 'mass', value: 0.57 },
      volume_mL: 40,
      temperature_C: 22,
    })
    expect(added.ok && added.amendment).toEqual(change.amendment)
    expect(change.words).toMatch(
      /^At 57\.0 % by mass .* spread to 10\.0 mm: add \d+\.\d mL of the stock to your 40 mL of 30\.0 %\.$/,
    )
  })
  it('suggests a strength clear of the reach of the threshold', async () => {
    const change = await nearestChange(weak, from(0.49).run)
    if (change.kind !== 'stronger') throw new Error(change.words)
    expect(change.suggested.massFraction).toBeGreaterThan(thresholdReach(weak).high)
    expect(change.amendment).toBeUndefined()
  })
  it('does not take a wide lens for spreading', async () => {
    const { run } = madeUpRun(() => ({ outcome: 'lens', maxRadius: 0.02 }))
    expect((await nearestChange(weak, run)).kind).toBe('none')
  })
  it('says when it spreads already, and when nothing helps', async () => {
    expect((await nearestChange(strong, from(0.5).run)).kind).toBe('spreads')
    const { run, asked } = from(0.5)
    const silicone = preset({ 'bath.liquid': 'silicone-oil-350', 'drop.alcoholMassFraction': 0.3 })
    expect(await nearestChange(silicone, run)).toMatchObject({ kind: 'none', words: /silicone/ })
    expect(asked).toHaveLength(1)
  })
  it('says when the stock is too weak for it', async () => {
    const change = await nearestChange(weak, from(0.56).run, { stock: { by: 'volume', value: 40 } })
    expect(change).toMatchObject({ kind: 'stronger', amendment: undefined, words: /above that of the stock/ })
  })
  it('can be stopped', async () => {
    const { run, asked } = from(0.56)
    const change = await nearestChange(weak, run, { cancelled: () => asked.length >= 3 })
    expect(change.kind).toBe('stopped')
    expect(asked).toHaveLength(3)
  })
  it('of the engine: what it finds spreads, and a little less does not', async () => {
    const change = await nearestChange(weak, runLifeSync, { stock: volume96 })
    if (change.kind !== 'stronger') throw new Error(change.words)
    const radius = (w: number) => {
      const made = runLifeSync(preset({ 'drop.alcoholMassFraction': w, 'model.accuracy': 'quick' }))
      return made.ok ? made.life.summary.maxRadius : Number.NaN
    }
    expect(radius(change.lowest.massFraction)).toBeGreaterThanOrEqual(1.5 * 2.5e-3)
    expect(radius(change.lowest.massFraction - 0.004)).toBeLessThan(1.5 * 2.5e-3)
    expectClose(change.lowest.massFraction, thresholdOf(weak).massFraction, { atol: 0.02 })
  })
})

describe('smallest dish', () => {
  it('is where the largest radius has changed by 1 %', async () => {
    // R = 20 mm (1 − exp(−(D − 20 mm)/5 mm)): 1 % off where D = 20 + 5 ln 100 = 43.03 mm, so 44 mm.
    const { run, asked } = madeUpRun(({ bath }) => ({
      maxRadius: 0.02 * (1 - Math.exp(-(bath.dishRadius_mm - 20) / 5)),
    }))
    const dish = await smallestDish(strong, run)
    expect(dish.status).toBe('done')
    expectClose(dish.radius, 0.044, { rtol: 1e-12 })
    expect(asked.length).toBeLessThan(12)
  })
  it('is not one whose wall is reached', async () => {
    const { run } = madeUpRun(({ bath }) =>
      bath.dishRadius_mm < 35 ? { outcome: 'reaches-wall', maxRadius: 0.02 } : { maxRadius: 0.02 },
    )
    expectClose((await smallestDish(strong, run)).radius, 0.035, { rtol: 1e-12 })
  })
  it('is not known if even the widest is reached, or if stopped', async () => {
    const { run, asked } = madeUpRun(() => ({ outcome: 'reaches-wall' }))
    expect(await smallestDish(strong, run)).toMatchObject({ status: 'failed', radius: Number.NaN })
    asked.length = 0
    const fine = madeUpRun(() => ({ maxRadius: 0.02 }))
    const dish = await smallestDish(strong, fine.run, { cancelled: () => fine.asked.length >= 3 })
    expect(dish).toMatchObject({ status: 'stopped', radius: Number.NaN })
  })
  it('of the engine holds the drop back less than 1 %, a clearly narrower one more', async () => {
    const deep = preset({ 'drop.alcoholMassFraction': 0.6, 'bath.depth_mm': 30, 'model.accuracy': 'quick' })
    const dish = await smallestDish(deep, runLifeSync)
    expectClose(dish.maxRadius, dish.wideMaxRadius, { rtol: 0.01 })
    const narrow = { ...deep, bath: { ...deep.bath, dishRadius_mm: 1e3 * dish.radius - 4 } }
    const made = runLifeSync(narrow)
    expect(made.ok && made.life.summary.maxRadius).toBeLessThan(0.99 * dish.wideMaxRadius)
  })
})
