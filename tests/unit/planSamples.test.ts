/**
 * Bands and chances from drawn lives, by the way of page and sheet. What must come out is the definition itself: of drops drawn
 * independently from the stated widths a part as large as stated lies within a band.
 */
import { beforeAll, describe, expect, it, test } from 'vitest'
import { defaultPreset } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { LifeResult, Preset } from '../../src/life/types.ts'
import { locate } from '../../src/life/view.ts'
import { randomStream } from '../../src/numerics/sampling/random.ts'
import { chanceList, chanceSentence, inHundred } from '../../src/plan/chanceWords.ts'
import { bandOf } from '../../src/plan/neighbours.ts'
import { type Samples, samplesOf } from '../../src/plan/samples.ts'
import { ALL_LIVES, envelopeOf, sureBand, surely, surenessOf } from '../../src/plan/sureness.ts'
import { movedAll, spreadsOf } from '../../src/plan/uncertain.ts'
import { quickly } from '../../src/plan/work.ts'
import { cases } from '../fixtures/long.ts'
import { madeUpRun } from '../fixtures/planLives.ts'
import { presetWith } from '../fixtures/presetLives.ts'
import { expectClose } from '../matchers.ts'

const strong = presetWith(defaultPreset(), ['drop.alcoholMassFraction', 0.6])

/** Standard normal numbers by Box & Muller, Ann. Math. Stat. 29, 610 (1958): not the way of the program. */
function normals(seed: number): () => number {
  const random = randomStream(seed)
  return () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
}

/** Radius at a time, the last one after the end. */
function radiusAt({ t, R }: { t: Float64Array; R: Float64Array }, time: number): number {
  const { row, fraction } = locate(t, t.length, time)
  return fraction === 0 ? R[row]! : R[row]! + fraction * (R[row + 1]! - R[row]!)
}

describe('of drops drawn independently', () => {
  const COUNT = cases(40, 200)
  const preset = quickly(strong)
  let samples: Samples
  const drawn: {
    maxRadius: number
    maxRadiusTime: number
    life: number
    at: (t: number) => number
    outcome: string
  }[] = []
  beforeAll(async () => {
    samples = await samplesOf(preset, runLifeSync, { count: ALL_LIVES })
    const { acting } = spreadsOf(preset)
    const normal = normals(4)
    for (let i = 0; i < COUNT; i++) {
      const drop = movedAll(preset, acting, acting.map(normal))
      const made = runLifeSync(drop)
      if (!made.ok) throw new Error(made.problems[0]!.message)
      const { summary, series } = made.life
      drawn.push({
        maxRadius: summary.maxRadius,
        maxRadiusTime: summary.maxRadiusTime,
        life: summary.collapseTime >= 0 ? summary.collapseTime : summary.lifeEnd,
        at: (t) => radiusAt(series, t),
        outcome: summary.outcome,
      })
    }
  }, 120_000)

  /** Both samples scatter: three standard errors of the fraction, the band's own ends among them. */
  const slack = (part: number) => 3 * Math.sqrt(part * (1 - part) * (1 / COUNT + 1 / ALL_LIVES))
  const inside = (low: number, high: number, of: (one: (typeof drawn)[number]) => number): number =>
    drawn.filter((one) => of(one) >= low && of(one) <= high).length / COUNT

  test.each(['maxRadius', 'maxRadiusTime', 'life'] as const)('the stated part has its %s within', (name) => {
    const { one, two } = surenessOf(samples).ranges[name]
    expect(Math.abs(inside(one.low, one.high, (d) => d[name]) - 0.6827)).toBeLessThan(slack(0.6827))
    expect(Math.abs(inside(two.low, two.high, (d) => d[name]) - 0.9545)).toBeLessThan(slack(0.9545))
  })
  it('the stated part has its radius within the band at any time', () => {
    const { t, down, up, wide } = envelopeOf(samples)!
    for (const i of [3, 12, 30, 48, 66, 90]) {
      const R = samples.base!.R[i]!
      const of = (d: (typeof drawn)[number]) => d.at(t[i]!)
      expect(Math.abs(inside(R - down[i]!, R + up[i]!, of) - 0.6827)).toBeLessThan(slack(0.6827))
      expect(Math.abs(inside(R - wide!.down[i]!, R + wide!.up[i]!, of) - 0.9545)).toBeLessThan(slack(0.9545))
    }
  })
  it('as many as stated shed, draw back, stay lenses', () => {
    for (const { outcome, count, of } of surenessOf(samples).chances) {
      const p = count / of
      const found = drawn.filter((one) => one.outcome === outcome).length / COUNT
      expect(Math.abs(found - p)).toBeLessThan(
        Math.max(0.05, 3 * Math.sqrt(p * (1 - p) * (1 / COUNT + 1 / ALL_LIVES))),
      )
    }
  })
})

describe('drawn lives', () => {
  /** A made-up drop whose largest radius is its volume in units that suit: normal, with mean 10 and deviation 0.5 mm. */
  const byVolume = () => madeUpRun(({ drop }) => ({ maxRadius: 1e-3 * drop.volume_uL }))
  it('give the quantiles of a normal distribution where one input alone counts', async () => {
    const { run } = byVolume()
    const { one, two } = surenessOf(await samplesOf(strong, run, { count: 512 })).ranges.maxRadius
    expectClose(one.low, 9.5e-3, { atol: 2e-5 })
    expectClose(one.high, 10.5e-3, { atol: 2e-5 })
    expectClose(two.low, 9e-3, { atol: 6e-5 })
    expectClose(two.high, 11e-3, { atol: 6e-5 })
    expect(one.most).toBe('volume')
  })
  it('go on where they stopped, to the same numbers', async () => {
    const { run, asked } = byVolume()
    const first = await samplesOf(strong, run, { count: 16 })
    expect(asked).toHaveLength(17)
    const grown = await samplesOf(strong, run, { count: 40, known: first })
    expect(asked).toHaveLength(41)
    expect(grown).toEqual(await samplesOf(strong, byVolume().run, { count: 40 }))
  })
  it('stop with what is known, and can be taken up again', async () => {
    const { run, asked } = byVolume()
    const cut = await samplesOf(strong, run, { count: 16, cancelled: () => asked.length >= 9 })
    expect(cut).toMatchObject({ status: 'stopped', tried: 8 })
    const whole = await samplesOf(strong, run, { count: 16, known: cut })
    expect(whole.drops.map(({ told }) => told.maxRadius)).toEqual(
      (await samplesOf(strong, byVolume().run, { count: 16 })).drops.map(({ told }) => told.maxRadius),
    )
  })
  it('leave failures out and count them; without a stated life there is no band', async () => {
    const failing = madeUpRun(({ drop }) =>
      drop.volume_uL > 10.4 ? { outcome: 'failed', cause: 'no step small enough' } : { maxRadius: 0.02 },
    )
    const sure = surenessOf(await samplesOf(strong, failing.run, { count: 32 }))
    expect(sure.failed).toBeGreaterThan(2)
    expect(sure.lives + sure.failed).toBe(32)
    const crash = (): LifeResult => {
      throw new Error('out of memory')
    }
    const none = await samplesOf(strong, crash, { count: 32 })
    expect(none).toMatchObject({ base: null, drops: [], failures: ['out of memory'] })
    expect(envelopeOf(none)).toBeNull()
    const band = await bandOf(strong, crash)
    expect(sureBand(band, none).reach).toEqual(band.reach)
  })
  it('take the place of what single shifts say, and keep the shifts', async () => {
    const { run } = byVolume()
    const { band } = await surely(strong, run, { count: 64 })
    expect(band.shifts).toHaveLength(5)
    expectClose(band.reach.maxRadius.low, 9.5e-3, { atol: 5e-5 })
    const again = await surely(strong, run, {
      count: 128,
      known: { band, samples: await samplesOf(strong, run, { count: 64 }) },
    })
    expect(again.band.sure.lives).toBe(128)
  })
  it('do not touch the preset and stay the same for the same drop', async () => {
    const before = structuredClone(strong)
    const { run, asked } = byVolume()
    await samplesOf(strong, run, { count: 8 })
    expect(strong).toEqual(before)
    const next = byVolume()
    await samplesOf(structuredClone(strong), next.run, { count: 8 })
    expect(next.asked).toEqual(asked)
  })
})

describe('chances in words', () => {
  const sureOf = async (rule: (p: Preset) => 'sheds' | 'recedes' | 'lens') =>
    surenessOf(await samplesOf(strong, madeUpRun((p) => ({ outcome: rule(p) })).run, { count: 128 }))
  it('are told where the outcome is not certain', async () => {
    const sure = await sureOf(({ drop }) => (drop.volume_uL > 9.25 ? 'sheds' : 'recedes'))
    // P(z > −1.5) = 0.933.
    expect(chanceSentence(sure, 'sheds')).toMatch(
      /^As far as its inputs are known, 9[34] of 100 such drops shed child drops\.$/,
    )
    expect(sure.chances[0]!.low).toBeLessThan(0.933)
    expect(sure.chances[0]!.high).toBeGreaterThan(0.933)
  })
  it('are silent where the outcome is as good as certain, beside the reason excepted', async () => {
    // P(z > −2.3) = 0.989.
    const sure = await sureOf(({ drop }) => (drop.volume_uL > 8.85 ? 'sheds' : 'recedes'))
    expect(sure.chances).toHaveLength(2)
    expect(chanceSentence(sure, 'sheds')).toBe('')
    expect(chanceList(sure)).toMatch(/shed child drops.*draw back/)
  })
  it('name the likelier outcome beside a less likely one', async () => {
    const sure = await sureOf(({ drop }) => (drop.volume_uL > 10.3 ? 'sheds' : 'recedes'))
    expect(chanceSentence(sure, 'sheds')).toMatch(
      /2[678] of 100 such drops shed child drops, and 7[234] of 100 draw back\.$/,
    )
  })
  it('are silent where all do the same', async () => {
    expect(chanceSentence(await sureOf(() => 'recedes'), 'recedes')).toBe('')
    expect(chanceSentence(undefined, 'recedes')).toBe('')
  })
  it('never round to none or all', () => {
    expect(inHundred({ count: 1, of: 500 })).toBe('fewer than 1 of 100')
    expect(inHundred({ count: 499, of: 500 })).toBe('more than 99 of 100')
    expect(inHundred({ count: 0, of: 500 })).toBe('0 of 100')
  })
})
