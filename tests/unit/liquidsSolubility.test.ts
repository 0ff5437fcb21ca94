import { describe, expect, test } from 'vitest'
import { checkOwn } from '../../src/liquids/own/check.ts'
import { buildMixture, buildOil } from '../../src/liquids/own/build.ts'
import type { OwnKind, OwnLiquid } from '../../src/liquids/own/types.ts'
import { gapOf } from '../../src/liquids/miscibility.ts'
import { mixtureOf, mixtures, oilOf, oils } from '../../src/liquids/registry.ts'
import {
  activity,
  dissolvedAt,
  oilDiffusivity,
  solubilityOf,
  uptakeOf,
} from '../../src/liquids/solubility.ts'
import { expectClose } from '../matchers.ts'

const T25 = 298.15
const ROOM = [283.15, 293.15, T25, 308.15]

const said = { source: 'a test', quality: 'measured' } as const

function checked(kind: OwnKind, liquid: unknown): OwnLiquid {
  const result = checkOwn(kind, liquid)
  if (!result.ok) throw new Error(result.problems.map(({ message }) => message).join(' '))
  return result.liquid
}

describe('activity of the alcohol', () => {
  // A stable mixture: the activity of a component rises with its share (Gibbs–Duhem; textbook).
  test.each(Object.keys(mixtures))('%s: 0 in water, 1 pure, rising between and never above 1', (id) => {
    const m = mixtureOf(id)
    for (const T of ROOM) {
      expect(activity(m, 0, T)).toBe(0)
      expect(activity(m, 1, T)).toBe(1)
      let last = 0
      for (let i = 1; i <= 1000; i++) {
        const a = activity(m, i / 1000, T)
        expect(a, `${id} w = ${i / 1000} at ${T} K`).toBeGreaterThan(last)
        expect(a).toBeLessThanOrEqual(1)
        last = a
      }
    }
  })

  test('constants that would part the mixture into two liquids never give an activity above 1 or a falling one', () => {
    const own = buildMixture(
      checked('mixture', {
        name: 'parts',
        like: '1-propanol',
        activity: { model: 'van-laar', vanLaarA: 4.5, vanLaarB: 2.5, ...said },
      }),
    )
    let last = 0
    for (let i = 0; i <= 1000; i++) {
      const a = activity(own, i / 1000, T25)
      expect(a).toBeGreaterThanOrEqual(last - 1e-12)
      expect(a).toBeLessThanOrEqual(1)
      last = a
    }
    // Two liquids in equilibrium: each of both has the same activity in either (textbook).
    const { from, until, level } = gapOf(own, T25)!
    const [weak, strong] = [own.activity(from, T25), own.activity(until, T25)]
    expectClose(from * weak[0], level, { rtol: 1e-9 })
    expectClose(until * strong[0], level, { rtol: 1e-9 })
    expectClose((1 - from) * weak[1], (1 - until) * strong[1], { rtol: 1e-9 })
    expect(until - from).toBeGreaterThan(0.3)
  })

  // All four mix with water in all proportions (handbooks); 1-propanol only just, its activity is nearly level.
  test.each(Object.keys(mixtures))('%s mixes in all proportions at room temperature', (id) => {
    for (const T of ROOM) expect(gapOf(mixtureOf(id), T), `${T} K`).toBeNull()
  })
})

describe('solubility in oils', () => {
  test('every library pair has one with factor and source; the reference bath takes up none', () => {
    for (const m of Object.values(mixtures)) {
      for (const oil of Object.values(oils)) {
        const known = uptakeOf(m, oil, T25)
        expect(known.solubility, `${m.id} in ${oil.id}`).toBeGreaterThan(0)
        expect(known.solubility).toBeLessThan(1)
        expect(known.solubilityFactor).toBeGreaterThan(1)
        expect(known.diffusivityFactor).toBeGreaterThan(1)
        expect(known.sources.map(({ quantity }) => quantity)).toEqual([
          'solubility of the alcohol in the oil',
          'diffusivity of the alcohol in the oil',
        ])
      }
    }
    expect(solubilityOf('reference', 'sunflower-oil', T25).value).toBe(0)
    expect(solubilityOf('ethanol', 'reference', T25).value).toBe(0)
    expect(() => solubilityOf('butanol', 'olive-oil', T25)).toThrow(/butanol.*ethanol/)
  })

  test('at the surface it goes with the activity: none under water, all of it under pure alcohol', () => {
    const [m, oil] = [mixtureOf('2-propanol'), oilOf('sunflower-oil')]
    const { solubility } = uptakeOf(m, oil, T25)
    expect(dissolvedAt(m, oil, 0, T25)).toBe(0)
    expect(dissolvedAt(m, oil, 1, T25)).toBe(solubility)
    expectClose(dissolvedAt(m, oil, 0.5, T25), solubility * activity(m, 0.5, T25), { rtol: 1e-12 })
  })
})

describe('diffusivity in oils', () => {
  // Hiss & Cussler, AIChE J. 19, 698 (1973): D ∝ η^(−2/3) in liquids of 0.5 to 5000 mPa·s (abstract).
  test('falls as the viscosity to the power −2/3', () => {
    const at = (eta: number) => oilDiffusivity('ethanol', eta, T25).value
    expectClose(at(0.8) / at(0.1), 1 / 4, { rtol: 1e-12 })
    expectClose(at(0.05) / at(0.4), 4, { rtol: 1e-12 })
  })

  test('what cannot be is refused', () => {
    for (const eta of [0, -1, Number.NaN, Number.POSITIVE_INFINITY])
      expect(() => oilDiffusivity('ethanol', eta, T25)).toThrow(/viscosity/)
    expect(() => oilDiffusivity('ethanol', 0.05, 0)).toThrow(/temperature/)
  })
})

describe('liquids of the user', () => {
  const oil = (more: object) => buildOil(checked('oil', { name: 'mine', like: 'castor-oil', ...more }))

  test('an oil takes what it does not give from the oil that it is like, marked assumed', () => {
    const m = mixtureOf('ethanol')
    const [mine, castor] = [uptakeOf(m, oil({}), T25), uptakeOf(m, oilOf('castor-oil'), T25)]
    expect(mine.solubility).toBe(castor.solubility)
    expect(mine.diffusivity).toBe(castor.diffusivity)
    expect(mine.sources[0]!.quality).toBe('assumed')
    expect(mine.sources[0]!.source).toMatch(/ethanol in castor-oil/)
  })

  test('an oil may give both, with its own sources and within a narrower factor', () => {
    const mine = oil({
      alcoholSolubility: { value: 0.11, ...said },
      alcoholDiffusivity: { values_m2PerS: [1e-10, 2e-10], temperature_C: [20, 30], ...said },
    })
    const known = uptakeOf(mixtureOf('2-propanol'), mine, 303.15)
    expect(known.solubility).toBe(0.11)
    expectClose(known.diffusivity, 2e-10, { rtol: 1e-12 })
    expect(known.solubilityFactor).toBeLessThan(1.5)
    expect(known.sources.map(({ source }) => source)).toEqual(['a test', 'a test'])
  })

  test('a thicker oil of the user takes up more slowly', () => {
    const thick = oil({ viscosity: { value_mPas: 4000, ...said } })
    const m = mixtureOf('ethanol')
    expect(uptakeOf(m, thick, T25).diffusivity).toBeLessThan(
      uptakeOf(m, oilOf('castor-oil'), T25).diffusivity,
    )
  })

  test('an alcohol of the user dissolves as the one that it is like', () => {
    const mine = buildMixture(checked('mixture', { name: 'mine', like: '1-propanol' }))
    const olive = oilOf('olive-oil')
    expect(uptakeOf(mine, olive, T25).solubility).toBe(
      uptakeOf(mixtureOf('1-propanol'), olive, T25).solubility,
    )
  })

  test('values outside the permitted range are refused with the range', () => {
    const wrong = checkOwn('oil', { name: 'x', like: 'olive-oil', alcoholSolubility: { value: 3, ...said } })
    expect(wrong.ok).toBe(false)
    if (!wrong.ok) expect(wrong.problems[0]!.message).toMatch(/0 to 2/)
  })
})
