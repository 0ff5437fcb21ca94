/** Recipes, strengths and pipettes, against tables and dilutions published elsewhere. */
import * as fc from 'fast-check'
import { describe, expect, it, test } from 'vitest'
import { mixtureOf, mixtures } from '../../src/liquids/registry.ts'
import { GRADUATED_PIPETTE, pipetteErrors } from '../../src/plan/pipette.ts'
import { type AmendmentWish, amendmentOf, type RecipeWish, recipeOf } from '../../src/plan/recipe.ts'
import { readStrength, type Strength, strengthsOf, strengthWords } from '../../src/plan/strength.ts'
import { expectClose } from '../matchers.ts'

const mass = (value: number): Strength => ({ by: 'mass', value })
const vol = (value: number): Strength => ({ by: 'volume', value })
const wish = (change: Partial<RecipeWish>): RecipeWish => ({
  alcohol: 'ethanol',
  stock: vol(96),
  want: mass(0.5),
  volume_mL: 50,
  temperature_C: 20,
  ...change,
})
function made(change: Partial<RecipeWish>) {
  const result = recipeOf(wish(change))
  if (!result.ok) throw new Error(result.problems.map((p) => p.message).join(' '))
  return result.recipe
}
function amended(change: Partial<AmendmentWish>) {
  const result = amendmentOf({ ...wish(change), have: mass(0.3), ...change })
  if (!result.ok) throw new Error(result.problems.map((p) => p.message).join(' '))
  return result.amendment
}

// Densities in kg/m³ printed in the tables of OIML R 22 (1973); the arithmetic beside them done by hand.
describe('ethanol, worked from the densities of OIML R 22', () => {
  it('90 % by mass down to 50 % by mass, 50 mL at 20 °C', () => {
    // ρ(0.5) = 913.771, ρ(0.9) = 817.883, ρ(0) = 998.201:
    // 50 mL weigh 45.68855 g, of which 5/9 = 25.38253 g are stock, 31.03443 mL; water 20.30602 g, 20.34262 mL.
    const r = made({ stock: mass(0.9) })
    expectClose(r.mass_g, 45.68855, { atol: 1e-4 })
    expectClose(r.stock_g, 25.38253, { atol: 1e-4 })
    expectClose(r.stock_mL, 31.03443, { atol: 2e-4 })
    expectClose(r.water_g, 20.30602, { atol: 1e-4 })
    expectClose(r.water_mL, 20.34262, { atol: 2e-4 })
    expectClose(r.contraction_mL, 1.37705, { atol: 3e-4 })
    expectClose(r.stock.percent, 93.266, { atol: 6e-4 })
    expectClose(r.want.percent, 57.889, { atol: 6e-4 })
  })
  it('the same at 25 °C', () => {
    // ρ(0.5) = 909.770, ρ(0.9) = 813.527, ρ(0) = 997.043 (column for 25 °C):
    // 45.4885 g; stock 25.27139 g, 31.06399 mL; water 20.21711 g, 20.27707 mL. Strength by volume stays that of 20 °C.
    const r = made({ stock: mass(0.9), temperature_C: 25 })
    expectClose(r.mass_g, 45.4885, { atol: 1e-4 })
    expectClose(r.stock_mL, 31.06399, { atol: 2e-4 })
    expectClose(r.water_mL, 20.27707, { atol: 2e-4 })
    expectClose(r.want.percent, 57.889, { atol: 6e-4 })
  })
  it('a shop bottle of 70 % by volume down to 40 % by volume', () => {
    // w(70) = 0.62386, w(40) = 0.33300; ρ = q ρ(1)/(100 w) with ρ(1) = 789.239: 885.566 and 948.035 kg/m³.
    // At 20 °C the alcohol's volume is kept: stock 50·40/70 = 28.5714 mL. Water 47.40175 − 25.30187 g = 22.13971 mL.
    const r = made({ stock: vol(70), want: vol(40) })
    expectClose(r.stock_mL, 28.5714, { atol: 1e-4 })
    expectClose(r.stock_g, 25.30187, { atol: 1e-3 })
    expectClose(r.water_mL, 22.13971, { atol: 2e-3 })
    expectClose(r.stock.mass, 0.62386, { atol: 6e-6 })
    expectClose(r.want.mass, 0.333, { atol: 6e-6 })
  })
  it('half and half of pure ethanol and water', () => {
    // 39.46195 g in 89.372 g: w = 0.44155; 96.463 mL, 51.83 % by volume.
    const { equalVolumes } = made({ stock: mass(1) })
    expectClose(equalVolumes.w, 0.44155, { atol: 6e-6 })
    expectClose(equalVolumes.volume, 96.463, { atol: 6e-4 })
    expectClose(equalVolumes.percent, 51.83, { atol: 6e-3 })
  })
})

describe('ethanol, dilutions published elsewhere', () => {
  // Volumes of water to add to 100 volumes of spirit, % by volume; Alcohol Dilution Reduction Table (from the
  // US Gauging Manual), at 60 °F and printed to three digits, hence 0.7 %.
  test.each([
    [95, 70, 39.1],
    [95, 50, 95.9],
    [90, 60, 53.6],
    [80, 40, 104],
    [70, 50, 41.7],
    [95, 20, 382],
  ])('%d %% by volume to %d %%', (from, to, water) => {
    const r = made({ stock: vol(from), want: vol(to), volume_mL: 100 })
    expectClose((100 * r.water_mL) / r.stock_mL, water, { rtol: 7e-3 })
  })
  it('20 % by volume out of 96.3 %: British Pharmacopoeia, dilute 207 mL to 1000 mL (permitted 19.5–20.5 %)', () => {
    const { stock_mL } = made({ stock: vol(96.3), want: vol(20), volume_mL: 1000 })
    expectClose(stock_mL, 207, { atol: 1 })
  })
  it('equal volumes at 25 °C: United States Pharmacopeia, 500 + 500 mL give about 970 mL of 41–42 % by weight', () => {
    // Its "Alcohol" holds 92.3–93.8 % by weight.
    for (const w of [0.923, 0.938]) {
      const { equalVolumes } = made({ stock: mass(w), want: mass(0.4), temperature_C: 25 })
      expectClose(10 * equalVolumes.volume, 970, { atol: 5 })
      expect(equalVolumes.w).toBeGreaterThan(0.405)
      expect(equalVolumes.w).toBeLessThan(0.42)
    }
  })
})

describe('strengths', () => {
  // Mole fraction beside mass % in Table 1 of Vázquez et al., J. Chem. Eng. Data 40, 611 (1995): methanol.
  test.each([
    [0.2, 0.123],
    [0.5, 0.36],
  ])('methanol %d by mass is %d by mole', (w, x) => {
    const there = strengthsOf(mixtureOf('methanol'), mass(w), 'want')
    expect(there.ok && Math.abs(there.strength.mole - x)).toBeLessThan(6e-4)
  })
  it('go round through all three measures', () => {
    for (const mixture of Object.values(mixtures)) {
      fc.assert(
        fc.property(fc.double({ min: 0, max: 1, noNaN: true }), (w) => {
          const first = strengthsOf(mixture, mass(w), 'a')
          if (!first.ok) return false
          const byVolume = strengthsOf(mixture, vol(Math.min(100, first.strength.percent)), 'a')
          const byMole = strengthsOf(mixture, { by: 'mole', value: Math.min(1, first.strength.mole) }, 'a')
          return (
            byVolume.ok &&
            byMole.ok &&
            Math.abs(byVolume.strength.mass - w) < 1e-9 &&
            Math.abs(byMole.strength.mass - w) < 1e-12
          )
        }),
      )
    }
  })
  test.each([
    ['96%vol', vol(96)],
    [' 96 % vol ', vol(96)],
    ['50%w', mass(0.5)],
    ['0.5w', mass(0.5)],
    ['.28x', { by: 'mole', value: 0.28 }],
    ['-5%VOL', vol(-5)],
  ])('reads %j', (text, strength) => {
    expect(readStrength(text, 'stock')).toEqual({ ok: true, strength })
  })
  test.each([
    ['96', /by mass or by volume/],
    ['96%', /by mass or by volume/],
    ['0,5w', /decimal point/],
    ['strong', /written as/],
    ['', /written as/],
  ])('does not guess at %j', (text, message) => {
    const read = readStrength(text, 'stock')
    expect(read.ok).toBe(false)
    if (!read.ok) expect(read.problems[0]!.message).toMatch(message)
  })
  it('are put into words', () => {
    expect(strengthWords({ mass: 0.5, percent: 57.889, mole: 0.2811 })).toBe(
      '50.0 % by mass = 57.9 % by volume (20 °C) = 28.1 % by mole',
    )
  })
})

describe('wishes that cannot be met', () => {
  const nan = Number.NaN
  test.each([
    ['stronger than the stock', { stock: vol(70), want: vol(80) }, 'want', /above that of the stock/],
    ['negative', { want: mass(-0.1) }, 'want', /−10 % by mass.*0 to 100 %, a fraction of 0 to 1/],
    ['no number', { want: mass(nan) }, 'want', /NaN.*0 to 1/],
    ['percent where a fraction belongs', { want: mass(50) }, 'want', /50%w/],
    ['stock of nothing', { stock: vol(0) }, 'stock', /no alcohol/],
    ['stock beyond pure', { stock: vol(101) }, 'stock', /101.*0 to 100/],
    ['plain water', { want: mass(0) }, 'want', /plain water/],
    ['no volume', { volume_mL: 0 }, 'volume', /0 mL.*0\.001 to 10000/],
    ['volume of no number', { volume_mL: nan }, 'volume', /NaN/],
    ['endless volume', { volume_mL: Number.POSITIVE_INFINITY }, 'volume', /Infinity/],
    ['boiling', { temperature_C: 90 }, 'temperature', /90 °C.*10 to 35/],
    ['closed-form liquids', { alcohol: 'reference' }, 'alcohol', /reference.*ethanol/],
    ['inherited name', { alcohol: 'constructor' }, 'alcohol', /no recipe/],
    ['odd pipette', { pipette: { ...GRADUATED_PIPETTE, relative: -1 } }, 'pipette', /zero or more/],
  ] as [string, Partial<RecipeWish>, string, RegExp][])('%s', (_, change, where, message) => {
    const result = recipeOf(wish(change))
    expect(result.ok).toBe(false)
    if (result.ok) return
    expect(result.problems.map((p) => p.where)).toEqual([where])
    expect(result.problems[0]!.message).toMatch(message)
  })
  it('are reported all at once', () => {
    const result = recipeOf(wish({ stock: vol(-1), want: mass(2), volume_mL: -3 }))
    expect(!result.ok && result.problems.map((p) => p.where)).toEqual(['stock', 'want', 'volume'])
  })
})

describe('every recipe', () => {
  const alcohols = Object.keys(mixtures)
  it('keeps mass and alcohol, whatever the alcohol', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...alcohols),
        fc.double({ min: 0.01, max: 1, noNaN: true }),
        fc.double({ min: 0.01, max: 1, noNaN: true }),
        fc.double({ min: 10, max: 35, noNaN: true }),
        (alcohol, a, b, temperature_C) => {
          const r = made({ alcohol, stock: mass(Math.max(a, b)), want: mass(Math.min(a, b)), temperature_C })
          expectClose(r.stock_g + r.water_g, r.mass_g, { rtol: 1e-12 })
          expectClose(r.stock_g * r.stock.mass, r.mass_g * r.want.mass, { rtol: 1e-9 })
          expect(r.water_mL).toBeGreaterThanOrEqual(0)
        },
      ),
    )
  })
  it('out of the stock itself needs no water', () => {
    const r = made({ stock: vol(70), want: vol(70) })
    expectClose(r.stock_mL, 50, { rtol: 1e-9 })
    expectClose(r.water_mL, 0, { atol: 1e-9 })
    expect(r.notes[0]).toMatch(/stock itself/)
  })
})

describe('pipettes', () => {
  it('bring the error that differences of recipes show', () => {
    const pipette = { smallest_mL: 0.5, absolute_mL: 0.02, relative: 0.01 }
    const r = made({ stock: mass(0.9), pipette })
    expectClose(r.errors.stock_mL, 0.02 + 0.01 * r.stock_mL, { rtol: 1e-12 })
    // The same mixing done again with wrong volumes; densities cancel in g per mL.
    const strength = (ds: number, dw: number) => {
      const s = (r.stock_g / r.stock_mL) * (r.stock_mL + ds)
      const w = (r.water_g / r.water_mL) * (r.water_mL + dw)
      return (0.9 * s) / (s + w)
    }
    const worst = strength(r.errors.stock_mL, -r.errors.water_mL) - 0.5
    expectClose(r.errors.largest, worst, { rtol: 0.02 })
    const alone = [strength(r.errors.stock_mL, 0) - 0.5, strength(0, -r.errors.water_mL) - 0.5]
    expectClose(r.errors.likely, Math.hypot(...alone), { rtol: 0.02 })
  })
  it('say what is too small for them and how much to make instead', () => {
    const r = made({ stock: vol(96), want: vol(94), volume_mL: 10 })
    expect(r.errors.tooSmall).toEqual(['water'])
    expect(r.notes[0]).toMatch(/mL of water is less than this pipette measures \(1\.00 mL\): make at least/)
    const more = made({ stock: vol(96), want: vol(94), volume_mL: 10 * r.errors.smallestMultiple * 1.0001 })
    expect(more.errors.tooSmall).toEqual([])
    expectClose(more.water_mL, 1, { rtol: 1e-3 })
  })
  it('cannot spoil a stock that is only poured', () => {
    const e = pipetteErrors(
      { stock_mL: 5, stock_g: 4, water_mL: 0, water_g: 0, stockMass: 0.9 },
      GRADUATED_PIPETTE,
    )
    expect(e.largest).toBe(0)
    expect(e.water_mL).toBe(0)
  })
})

describe('putting right a mixture that is there', () => {
  it('adds stock to make it stronger', () => {
    // By hand with OIML R 22 at 20 °C: 50 mL of w = 0.3 weigh 47.6892 g; (0.5 − 0.3)/(0.9 − 0.5) = ½ of that is
    // 23.8446 g of w = 0.9 (817.883 kg/m³): 29.1541 mL.
    const a = amended({ stock: mass(0.9), have: mass(0.3) })
    expect(a.add).toBe('stock')
    expectClose(a.add_g, 23.8446, { atol: 1e-3 })
    expectClose(a.add_mL, 29.1541, { atol: 1e-3 })
    expectClose(a.volume_mL, 71.5338 / 0.913771, { atol: 1e-3 })
  })
  it('adds water to make it weaker', () => {
    // 50 mL of w = 0.6 weigh 44.5549 g; to 0.5 takes a fifth of that in water: 8.91098 g, 8.92704 mL.
    const a = amended({ have: mass(0.6) })
    expect(a.add).toBe('water')
    expectClose(a.add_mL, 8.92704, { atol: 1e-3 })
  })
  it('adds nothing to what is right', () => {
    expect(amended({ have: mass(0.5) })).toMatchObject({ add: 'nothing', add_mL: 0, add_g: 0 })
  })
  test.each([
    ['a stock that is too weak', { stock: mass(0.4) }, 'want', /above that of the stock/],
    ['the strength of the stock', { stock: mass(0.5) }, 'want', /never quite there/],
    ['what is there is no strength', { have: mass(1.2) }, 'have', /120 % by mass/],
    ['down to water', { want: mass(0) }, 'want', /plain water/],
  ] as [string, Partial<AmendmentWish>, string, RegExp][])('refuses: %s', (_, change, where, message) => {
    const result = amendmentOf({ ...wish(change), have: mass(0.3), ...change })
    expect(result.ok).toBe(false)
    if (result.ok) return
    expect(result.problems[0]).toMatchObject({ where, message: expect.stringMatching(message) })
  })
})
