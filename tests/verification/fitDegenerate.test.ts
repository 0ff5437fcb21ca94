/**
 * What the engine's own lives cannot tell apart is said to be so. Source of the pairs: the scales R* = [φ0 Ω S H/(4 ηo j)]^¼
 * and t* = [4 φ0 Ω ηo/(S H j)]^½ (src/model/scales.ts), in which volume and rate, and depth and oil viscosity, occur as
 * one quotient each.
 */
import { describe, expect, it } from 'vitest'
import { runLifeSync } from '../../src/life/run.ts'
import { fitLives } from '../../src/measured/fit/fitLives.ts'
import { curveFrom, withKeys } from '../fixtures/fitCurves.ts'
import { fineLife, OIL, RATE, recoveryDrops } from '../fixtures/fitRecovery.ts'

const { start, truth } = recoveryDrops()
const life = fineLife(truth)
const curve = curveFrom(life, { noise: 0.02, seed: 7, to: 0.98 * life.summary.collapseTime })

describe('pairs that the scales hold together', () => {
  it('volume and evaporation rate are reported as not determined', async () => {
    const preset = withKeys(start, { [OIL]: 60 })
    const made = await fitLives(
      { preset, curves: [curve], unknowns: ['drop.volume_uL', RATE], check: false },
      runLifeSync,
    )
    if (!made.ok) throw new Error('no fit')
    for (const one of made.fit.unknowns)
      expect(one).toMatchObject({ verdict: 'not-determined', why: expect.stringContaining('tell it apart') })
    // What is known is their quotient: that of the truth, 10 µL over 0.5 µm/s.
    const [volume, rate] = made.fit.unknowns
    expect(Math.abs(volume!.value / rate!.value / 20 - 1)).toBeLessThan(0.03)
  })
  it('depth and oil viscosity too, on a shallow bath', async () => {
    const shallow = withKeys(truth, { 'bath.depth_mm': 2 })
    const there = fineLife(shallow)
    const points = curveFrom(there, { noise: 0.02, seed: 8, to: 0.98 * there.summary.collapseTime })
    const preset = withKeys(start, { 'bath.depth_mm': 2.3, [RATE]: 0.5 })
    const made = await fitLives(
      { preset, curves: [points], unknowns: ['bath.depth_mm', OIL], check: false },
      runLifeSync,
    )
    if (!made.ok) throw new Error('no fit')
    expect(made.fit.unknowns.map(({ verdict }) => verdict)).toEqual(['not-determined', 'not-determined'])
    const [depth, oil] = made.fit.unknowns
    expect(Math.abs(oil!.value / depth!.value / 30 - 1)).toBeLessThan(0.05)
  })
  it('the viscosity alone is determined', async () => {
    const made = await fitLives(
      { preset: withKeys(start, { [RATE]: 0.5 }), curves: [curve], unknowns: [OIL] },
      runLifeSync,
    )
    if (!made.ok) throw new Error('no fit')
    const [oil] = made.fit.unknowns
    expect(oil!.verdict).toBe('determined')
    // The check with finer lives shows what the calculation adds: it brings the value nearer to that of the fine life.
    expect(Math.abs(oil!.value - 60)).toBeLessThan(3 * oil!.error + Math.abs(oil!.numerical))
    expect(Number.isFinite(oil!.numerical)).toBe(true)
  })
})
