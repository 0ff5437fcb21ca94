/**
 * What must hold of whole lives: budgets, repeatability, stopping at any moment, scaling identities.
 * Sources: conservation (what is in the drop, evaporated and in child drops is what was set down); definitions of the
 * scales, R*²/t* = S H/(4ηo) and j_v R*² t* = φ0 Ω0.
 */
import { createHash } from 'node:crypto'
import { describe, expect, it } from 'vitest'
import { defaultPreset, type Leaf, setKeys } from '../../src/life/preset.ts'
import { problemOf } from '../../src/life/problemOf.ts'
import { runLife, runLifeSync } from '../../src/life/run.ts'
import type { Life, Preset } from '../../src/life/types.ts'
import { breachesOf } from '../fixtures/lifeChecks.ts'
import { expectClose } from '../matchers.ts'

function preset(changes: Record<string, Leaf>): Preset {
  const result = setKeys(defaultPreset(), Object.entries(changes))
  if (!result.ok) throw new Error(result.problems.map((p) => p.message).join('\n'))
  return result.preset
}
const reference = (changes: Record<string, Leaf>): Preset =>
  preset({ 'drop.alcohol': 'reference', 'bath.liquid': 'reference', 'air.mode': 'constant', ...changes })

function lifeOf(p: Preset): Life {
  const result = runLifeSync(p)
  if (!result.ok) throw new Error(result.problems.map((x) => x.message).join('\n'))
  return result.life
}

const LIVES: Record<string, Preset> = {
  'reference 0.40': reference({ 'drop.alcoholMassFraction': 0.4 }),
  'reference 0.50, break-up': reference({ 'ring.breakUp': true }),
  'reference 0.70, quick': reference({ 'drop.alcoholMassFraction': 0.7, 'model.accuracy': 'quick' }),
  'ethanol 0.6, moving air': preset({ 'drop.alcoholMassFraction': 0.6 }),
  '2-propanol 0.5 on sunflower oil, still air': preset({
    'drop.alcohol': '2-propanol',
    'bath.liquid': 'sunflower-oil',
    'air.mode': 'still',
    'model.accuracy': 'quick',
  }),
  'water on rapeseed oil': preset({ 'drop.alcoholMassFraction': 0, 'model.accuracy': 'quick' }),
}

describe('every life', () => {
  for (const [name, p] of Object.entries(LIVES)) {
    it(`is sound and closes its budgets to 1e-9 at every moment: ${name}`, () => {
      const life = lifeOf(p)
      expect(breachesOf({ ok: true, life })).toEqual([])
      expect(life.summary.outcome).not.toBe('failed')
      const { series: s } = life
      const alcohol0 = Math.max(s.alcohol[0]!, 1e-3 * s.volume[0]!)
      const volume = s.t.map(
        (_, k) =>
          Math.abs(s.volume[k]! + s.evaporatedVolume[k]! + s.childVolume[k]! + s.inOil[k]! - s.volume[0]!) /
          s.volume[0]!,
      )
      const alcohol = s.t.map(
        (_, k) =>
          Math.abs(
            s.alcohol[k]! + s.evaporatedAlcohol[k]! + s.childAlcohol[k]! + s.inOil[k]! - s.alcohol[0]!,
          ) / alcohol0,
      )
      expect(Math.max(...volume)).toBeLessThan(1e-9)
      expect(Math.max(...alcohol)).toBeLessThan(1e-9)
    })
  }
})

/** Fingerprint of all numbers of a life, to the last bit, except the time it took. */
function bits({ frames, series, summary }: Life): string {
  const hash = createHash('sha256')
  for (const values of [...Object.values(frames), ...Object.values(series)])
    hash.update(
      values instanceof Float64Array
        ? new Uint8Array(values.buffer, values.byteOffset, values.byteLength)
        : `${values}`,
    )
  return hash.update(JSON.stringify({ ...summary, wall_ms: 0 })).digest('hex')
}

const sameBits = (a: Float64Array, b: Float64Array): boolean =>
  a.length === b.length && a.every((v, i) => Object.is(v, b[i]))

describe('repeated', () => {
  it('a life is the same to the last bit, also after other lives in the same solver', () => {
    const first = reference({ 'ring.breakUp': true })
    const one = bits(lifeOf(first))
    expect(bits(lifeOf(first))).toBe(one)
    lifeOf(reference({ 'drop.alcoholMassFraction': 0.7, 'drop.volume_uL': 30 }))
    lifeOf(preset({ 'air.mode': 'still' }))
    expect(bits(lifeOf(first))).toBe(one)
  })
  it('in slices it is the same as in one go', async () => {
    const p = reference({ 'drop.alcoholMassFraction': 0.45 })
    const result = await runLife(p, { pause: async () => {} })
    if (!result.ok) throw new Error('no life')
    expect(bits(result.life)).toBe(bits(lifeOf(p)))
  })
})

describe('stopped', () => {
  it('at any moment the known part is the beginning of the whole life', async () => {
    const p = reference({ 'model.accuracy': 'fine' })
    const whole = lifeOf(p)
    for (const moment of [1, 3, 9]) {
      let asked = 0
      const result = await runLife(p, { cancelled: () => ++asked >= moment })
      if (!result.ok) throw new Error('no life')
      const { life } = result
      if (life.status === 'done') continue
      expect(life.status).toBe('stopped')
      const n = life.series.t.length
      expect(n).toBeGreaterThan(1)
      expect(n).toBeLessThanOrEqual(whole.series.t.length)
      expect(sameBits(life.series.R, whole.series.R.subarray(0, n))).toBe(true)
      expect(sameBits(life.frames.h, whole.frames.h.subarray(0, n * life.frames.inner))).toBe(true)
      expect(breachesOf({ ok: true, life }).filter((text) => !text.startsWith('no cause'))).toEqual([])
      expect(life.summary.lifeEnd).toBe(life.series.t[n - 1])
    }
    // The solver that was stopped half-way serves the next life as a fresh one does.
    expect(bits(lifeOf(p))).toBe(bits(whole))
  })
  it('several lives at once do not disturb each other', async () => {
    const all = [0.42, 0.5, 0.62].map((w) =>
      reference({ 'drop.alcoholMassFraction': w, 'model.accuracy': 'quick' }),
    )
    const together = await Promise.all(
      all.map((p) => runLife(p, { pause: () => new Promise((r) => setTimeout(r)) })),
    )
    together.forEach((result, k) => {
      if (!result.ok) throw new Error('no life')
      expect(bits(result.life)).toBe(bits(lifeOf(all[k]!)))
    })
  })
})

describe('scales', () => {
  it('satisfy R*²/t* = S H/(4ηo) and j_v R*² t* = φ0 Ω0', () => {
    const lives = [
      reference({}),
      reference({ 'drop.alcoholMassFraction': 0.7, 'bath.depth_mm': 4, 'bath.viscosity_mPas': 200 }),
      preset({ 'drop.alcoholMassFraction': 0.7, 'drop.volume_uL': 3 }),
      preset({ 'drop.alcohol': '2-propanol', 'air.mode': 'still', 'model.accuracy': 'quick' }),
    ]
    for (const p of lives) {
      const { summary, facts } = lifeOf(p)
      const { problem } = problemOf(p)
      const { radius, time } = summary.scale
      expectClose(radius ** 2 / time, (facts.S0 * problem.depth) / (4 * problem.oilViscosity), {
        rtol: 1e-12,
      })
      const rate = facts.startFlux / facts.phi0
      expectClose(rate * radius ** 2 * time, facts.phi0 * problem.volume, { rtol: 1e-12 })
      expectClose(summary.scale.ratio, summary.maxRadius / radius, { rtol: 1e-12 })
    }
  })
})
