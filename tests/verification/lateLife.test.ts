/**
 * The late life of drops: each end that a drop can come to, from one real mixture, is an outcome with its name, and what
 * the end looks like obeys a law that is known from outside.
 * Laws: a lens at rest has the radius at which its slope balances the spreading parameter (two-dimensional Neumann
 * balance of a thin lens, restingLens.test.ts); vapour cannot condense faster than it is brought, film coefficient times
 * what the room's air holds (film theory; e.g. Bird, Stewart & Lightfoot, Transport Phenomena, chapter 22); what spreads
 * no further than the dish is stopped by its wall.
 */
import { describe, expect, it } from 'vitest'
import { defaultPreset, type Leaf, setKeys } from '../../src/life/preset.ts'
import { problemOf } from '../../src/life/problemOf.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life } from '../../src/life/types.ts'
import { DEEP_FIELDS } from '../../src/model/bathFields.ts'
import { CLOSURE } from '../../src/model/problem.ts'
import { restingRadius } from '../../src/model/scales.ts'
import { breachesOf } from '../fixtures/lifeChecks.ts'

function life(changes: Record<string, Leaf>): Life {
  const result = setKeys(defaultPreset(), Object.entries(changes))
  if (!result.ok) throw new Error(result.problems.map((p) => p.message).join('\n'))
  const run = runLifeSync(result.preset)
  if (!run.ok) throw new Error('no life')
  expect(breachesOf(run)).toEqual([])
  return run.life
}

const ETHANOL = { 'drop.alcohol': 'ethanol', 'bath.liquid': 'rapeseed-oil' }

/** Profiles h(cell), m, of every kept moment with its time. */
function profiles({ frames }: Life): { t: number; h: Float64Array }[] {
  const { inner, count } = frames
  return Array.from({ length: count }, (_, k) => ({
    t: frames.t[k]!,
    h: frames.h.slice(k * inner, (k + 1) * inner),
  }))
}

/** Maxima above 1 µm that stand above the dips beside them by half. */
function ringsOf(h: Float64Array): number {
  let rings = 0
  let rising = true
  let level = 0
  for (const value of h) {
    if (rising ? value > level : value < level) level = value
    else if (rising && value < level / 1.5) {
      if (level > 1e-6) rings++
      rising = false
      level = value
    } else if (!rising && value > 1.5 * Math.max(level, 1e-7)) {
      rising = true
      level = value
    }
  }
  return rings + (rising && level > 1e-6 ? 1 : 0)
}

describe('late life', () => {
  it('ends as a lens of the radius that its liquid has at rest', () => {
    const { summary, series, preset } = life({
      ...ETHANOL,
      'drop.alcoholMassFraction': 0.55,
      'model.gravity': false,
      // The closed form is that of a drop as warm as the room.
      'mechanisms.cooling': false,
      'model.horizon_s': 60,
    })
    expect(summary.outcome).toBe('recedes')
    expect(series.R.at(-1)).toBeLessThan(0.2 * summary.maxRadius)
    const { closures } = problemOf(preset, DEEP_FIELDS).problem
    const volume = series.volume.at(-1)!
    const phi = series.alcohol.at(-1)! / volume
    const rest = restingRadius(
      volume,
      closures.at(phi, CLOSURE.spreading),
      closures.at(phi, CLOSURE.levelling),
    )
    expect(Math.abs(series.R.at(-1)! / rest - 1)).toBeLessThan(0.05)
  })

  it('leaves a middle that has drained to less than a twentieth of the ring', () => {
    const run = life({ ...ETHANOL, 'drop.alcoholMassFraction': 0.7, 'drop.volume_uL': 2 })
    const drained = profiles(run).filter(({ h }) => h[0]! < 0.05 * Math.max(...h) && Math.max(...h) > 1e-5)
    expect(drained.length).toBeGreaterThan(5)
    expect(run.summary.outcome).toBe('recedes')
    // Least thickness, not a hole: nothing is negative.
    for (const { h } of drained) expect(Math.min(...h)).toBeGreaterThanOrEqual(0)
  })

  it('draws back through shapes with more than one ring', () => {
    const run = life({ ...ETHANOL, 'drop.alcoholMassFraction': 0.8 })
    const shapes = profiles(run).map(({ t, h }) => ({ t, rings: ringsOf(h) }))
    expect(shapes[0]!.rings).toBe(1)
    const many = shapes.filter(({ rings }) => rings >= 2)
    expect(many.length).toBeGreaterThan(10)
    expect(many.some(({ t }) => t > run.summary.maxRadiusTime)).toBe(true)
    expect(run.summary.outcome).toBe('recedes')
  })

  it('dries where it lies when there is hardly any water to draw it back', () => {
    const { summary, series } = life({
      ...ETHANOL,
      'drop.alcoholMassFraction': 1,
      'air.relativeHumidity': 0.2,
    })
    expect(summary.outcome).toBe('dries')
    expect(series.R.at(-1)).toBeGreaterThan(0.9 * summary.maxRadius)
    expect(series.volume.at(-1)).toBeLessThan(0.011 * series.volume[0]!)
  })

  it('is stopped by the wall of a small dish, after the life of a wide one until then', () => {
    const strong = { ...ETHANOL, 'drop.alcoholMassFraction': 0.6 }
    const small = life({ ...strong, 'bath.dishRadius_mm': 18 })
    const wide = life({ ...strong, 'bath.dishRadius_mm': 90 })
    expect(small.summary.outcome).toBe('reaches-wall')
    expect(small.summary.maxRadius).toBeGreaterThan(0.96 * 18e-3)
    expect(small.summary.maxRadius).toBeLessThanOrEqual(18e-3)
    expect(wide.summary.maxRadius).toBeGreaterThan(18e-3)
  })

  it('takes up water from humid air, no faster than the air brings it', () => {
    const coefficient = 4e-3
    const humidity = 0.95
    const { summary, series } = life({
      ...ETHANOL,
      'drop.alcoholMassFraction': 1,
      'air.mode': 'moving',
      'air.filmCoefficient_mmPerS': coefficient * 1e3,
      'air.relativeHumidity': humidity,
      'air.temperature_C': 25,
    })
    const water = (k: number) => series.evaporatedVolume[k]! - series.evaporatedAlcohol[k]!
    expect(Math.min(...series.t.map((_, k) => water(k)))).toBeLessThan(-0.02 * series.volume[0]!)
    // Saturated water vapour at 25 °C: 3169.8 Pa (IAPWS-95) → 23.0 g/m³ by the law of the ideal gas.
    const held = (humidity * 3169.8 * 0.018015) / (8.314463 * 298.15)
    for (let k = 1; k < series.t.length; k++) {
      const area = Math.PI * Math.max(series.R[k]!, series.R[k - 1]!) ** 2
      const most = ((coefficient * held) / 997) * area * (series.t[k]! - series.t[k - 1]!)
      // Water vapour spreads faster than alcohol's: the coefficient is given for alcohol, water's may be up to twice it.
      expect(water(k - 1) - water(k)).toBeLessThanOrEqual(2 * most + 1e-9 * series.volume[0]!)
    }
    expect(summary.outcome).not.toBe('failed')
  })
})
