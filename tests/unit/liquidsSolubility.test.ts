import { describe, expect, test } from 'vitest'
import { gapOf } from '../../src/liquids/miscibility.ts'
import { buildMixture, buildOil } from '../../src/liquids/own/build.ts'
import { checkOwn } from '../../src/liquids/own/check.ts'
import type { OwnKind, OwnLiquid } from '../../src/liquids/own/types.ts'
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

  // c* at 25 °C and an activity of 0.5 by two group-contribution methods, Python library thermo 0.6: [modified UNIFAC
  // (Dortmund), UNIFAC] for triolein, triricinolein and tetracosane; the value must lie between, or beside by 10 %.
  test.each([
    ['methanol', 'sunflower-oil', 0.0216, 0.0383],
    ['ethanol', 'sunflower-oil', 0.0413, 0.0517],
    ['1-propanol', 'olive-oil', 0.0594, 0.074],
    ['2-propanol', 'rapeseed-oil', 0.0701, 0.0759],
    ['methanol', 'castor-oil', 0.1033, 0.1798],
    ['ethanol', 'castor-oil', 0.159, 0.2303],
    ['1-propanol', 'castor-oil', 0.2156, 0.3067],
    ['2-propanol', 'castor-oil', 0.2297, 0.3142],
    ['methanol', 'paraffin-oil-light', 0.0038, 0.0161],
    ['ethanol', 'paraffin-oil-light', 0.0087, 0.0146],
    ['1-propanol', 'paraffin-oil-light', 0.0134, 0.0221],
    ['2-propanol', 'paraffin-oil-light', 0.0184, 0.0226],
  ])('%s in %s lies between two group-contribution methods', (id, oil, low, high) => {
    const { value } = solubilityOf(id, oil, T25)
    expect(value).toBeGreaterThan(low / 1.1)
    expect(value).toBeLessThan(high * 1.1)
  })

  // Gas–olive oil equation of Abraham & Weathersby (1994) with Antoine pressures, 37 °C, in traces: from memory, and not
  // alone. At the strengths of drops it is up to a factor 1.5 more.
  test.each([
    ['methanol', 0.025],
    ['ethanol', 0.041],
    ['2-propanol', 0.058],
    ['1-propanol', 0.059],
  ])('%s in olive oil is within its factor of remembered partition coefficients', (id, traces) => {
    const { value, factor } = solubilityOf(id, 'olive-oil', 310.15)
    expect(value / traces).toBeGreaterThan(1 / factor)
    expect(value / traces).toBeLessThan(factor)
  })

  // Mutual solubility of plant oils and alcohols rises with the temperature: J. Chem. Eng. Data 55, 440 (2010) and Fluid
  // Phase Equilib. 404, 17 (2015), abstracts.
  test('rises with the temperature', () => {
    for (const id of Object.keys(mixtures))
      for (const oil of Object.keys(oils))
        expect(solubilityOf(id, oil, 303.15).value).toBeGreaterThan(solubilityOf(id, oil, 288.15).value)
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

  // Hexane in itself, 4.2e-9 m²/s at 0.294 mPa·s (from memory), and the usual estimate for alcohols in plant oils,
  // 2e-10 m²/s within a factor 2 (from memory): neither stands alone.
  test('is about 2e-10 m²/s in an oil of 60 mPa·s, less for larger molecules', () => {
    const at = (id: string) => oilDiffusivity(id, 0.06, T25).value
    for (const id of Object.keys(mixtures)) {
      expect(at(id)).toBeGreaterThan(1.4e-10)
      expect(at(id)).toBeLessThan(2.8e-10)
    }
    expect(at('methanol')).toBeGreaterThan(at('ethanol'))
    expect(at('ethanol')).toBeGreaterThan(at('2-propanol'))
  })

  test('a viscosity of the user counts, but not in silicone, where the chains are mobile', () => {
    const m = mixtureOf('ethanol')
    const thicker = (id: string) =>
      uptakeOf(m, oilOf(id), T25, 0.4).diffusivity / uptakeOf(m, oilOf(id), T25, 0.05).diffusivity
    expectClose(thicker('sunflower-oil'), 1 / 4, { rtol: 1e-12 })
    expect(thicker('silicone-oil-50')).toBe(1)
  })

  test('what cannot be is refused', () => {
    for (const eta of [0, -1, Number.NaN, Number.POSITIVE_INFINITY])
      expect(() => oilDiffusivity('ethanol', eta, T25)).toThrow(/viscosity/)
    expect(() => oilDiffusivity('ethanol', 0.05, 0)).toThrow(/temperature/)
    expect(() => oilDiffusivity('butanol', 0.05, T25)).toThrow(/butanol.*ethanol/)
    expect(() => solubilityOf('ethanol', 'olive-oil', Number.NaN)).toThrow(/temperature/)
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
