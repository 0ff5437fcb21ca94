import { describe, expect, test } from 'vitest'
import {
  additiveVolumeFraction,
  massFraction,
  massFractionOfAdditive,
  massFractionOfPercent,
  moleFraction,
  percentByVolume,
  pour,
} from '../../src/liquids/composition.ts'
import { mixtureOf, mixtures } from '../../src/liquids/registry.ts'
import { expectClose } from '../matchers.ts'

const ethanol = mixtureOf('ethanol')
const T20 = 293.15
const T25 = 298.15

describe('ethanol–water, International alcoholometric tables, OIML R 22 (1973)', () => {
  const at20 = [
    998.201, 981.848, 968.607, 953.784, 935.145, 913.771, 891.098, 867.611, 843.386, 817.883, 789.239,
  ]
  const at25 = [
    997.043, 980.406, 966.351, 950.634, 931.424, 909.77, 886.94, 863.342, 839.041, 813.527, 784.954,
  ]
  const percent = [12.44, 24.545, 36.255, 47.395, 57.889, 67.744, 76.951, 85.489, 93.266]

  test.each(at20.map((d, i) => [i / 10, d, at25[i]!] as const))('density at w = %d', (w, d20, d25) => {
    expectClose(ethanol.density(w, T20), d20, { atol: 1e-3 })
    expectClose(ethanol.density(w, T25), d25, { atol: 1e-3 })
  })

  test.each(percent.map((p, i) => [(i + 1) / 10, p] as const))('w = %d is %d %% by volume', (w, p) => {
    expectClose(percentByVolume(ethanol, w), p, { atol: 6e-4 })
  })

  test.each([
    [40, 0.333],
    [50, 0.42426],
    [70, 0.62386],
    [95, 0.92408],
  ])('%d %% by volume back to mass fraction %d', (p, w) => {
    expectClose(massFractionOfPercent(ethanol, p), w, { atol: 6e-6 })
  })

  test('equal volumes shrink', () => {
    const poured = pour(ethanol, 50, 50)
    expectClose(poured.volume, 96.463, { atol: 6e-4 })
    expectClose(poured.contraction, 3.537, { atol: 6e-4 })
    expectClose(poured.w, 0.44155, { atol: 6e-6 })
    expectClose(poured.percent, 51.83, { atol: 6e-3 })
  })

  test('40 parts ethanol and 60 parts water', () => {
    const poured = pour(ethanol, 40, 60)
    expectClose(poured.volume, 96.701, { atol: 6e-4 })
    expectClose(poured.w, 0.34517, { atol: 6e-6 })
  })

  // CRC Handbook, 102nd ed., aqueous solutions at 20 °C, g/cm³: a second table, independent of the formula.
  test.each([
    [0.1, 0.9819],
    [0.2, 0.9687],
    [0.3, 0.9539],
    [0.4, 0.9352],
    [0.42, 0.9311],
    [0.5, 0.9139],
    [0.6, 0.8911],
    [0.7, 0.8676],
    [0.8, 0.8436],
    [0.9, 0.818],
    [1, 0.7893],
  ])('agrees with the CRC table at w = %d', (w, d) => {
    expectClose(ethanol.density(w, T20), 1e3 * d, { rtol: 4e-4 })
  })
})

// CRC Handbook, 102nd ed., aqueous solutions at 20 °C, g/cm³ at w = 0.1, 0.2, 0.4, 0.6, 0.8, 1.
describe.each([
  ['methanol', [0.9816, 0.9666, 0.9347, 0.8944, 0.8468, 0.7917]],
  ['1-propanol', [0.9829, 0.9686, 0.9288, 0.8875, 0.847, 0.8034]],
  ['2-propanol', [0.9816, 0.9696, 0.9302, 0.8824, 0.8341, 0.7848]],
])('%s–water, CRC Handbook', (id, values) => {
  const m = mixtureOf(id)
  test('density at 20 °C', () => {
    for (const [i, w] of [0.1, 0.2, 0.4, 0.6, 0.8, 1].entries()) {
      expectClose(m.density(w, T20), 1e3 * values[i]!, { rtol: 1e-4 }, `w = ${w}`)
    }
  })
})

// CoolProp (Helmholtz equation of de Reuck & Craven), pure methanol at 1 atm; 0.1 % as the tables.
test.each([
  [283.15, 800.367],
  [298.15, 786.327],
  [308.15, 776.911],
])('pure methanol at %d K', (T, density) => {
  expectClose(mixtureOf('methanol').density(1, T), density, { rtol: 1e-3 })
})

// Pure propanols at 25 °C from memory (Riddick, Bunger & Sakano, Organic Solvents), hence 0.2 %.
test.each([
  ['1-propanol', 799.6],
  ['2-propanol', 781.3],
])('pure %s at 25 °C', (id, density) => {
  expectClose(mixtureOf(id).density(1, T25), density, { rtol: 2e-3 })
})

describe('composition', () => {
  // Mole fractions printed beside the mass percentages in Table 1 of Vázquez et al., J. Chem. Eng. Data 40, 611 (1995).
  test.each([
    [0.05, 0.029],
    [0.2, 0.123],
    [0.5, 0.36],
    [0.9, 0.835],
  ])('methanol, mass fraction %d is mole fraction %d', (w, x) => {
    expectClose(moleFraction(mixtureOf('methanol').molarMass, w), x, { atol: 6e-4 })
  })

  test('mole and volume fractions go there and back', () => {
    for (const m of Object.values(mixtures)) {
      for (let w = 0; w <= 1; w += 0.05) {
        expectClose(massFraction(m.molarMass, moleFraction(m.molarMass, w)), w, { atol: 1e-14 }, m.id)
        const phi = additiveVolumeFraction(m, w, 290)
        expectClose(massFractionOfAdditive(m, phi, 290), w, { atol: 1e-14 }, m.id)
        expectClose(massFractionOfPercent(m, percentByVolume(m, w)), w, { atol: 1e-11 }, m.id)
      }
    }
  })

  test('mass and alcohol survive a pouring', () => {
    const p = pour(ethanol, 3, 2, 0.9, 0.2)
    const m1 = 3 * ethanol.density(0.9, T20)
    const m2 = 2 * ethanol.density(0.2, T20)
    expectClose(p.volume * ethanol.density(p.w, T20), m1 + m2, { rtol: 1e-14 })
    expectClose(p.w * (m1 + m2), 0.9 * m1 + 0.2 * m2, { rtol: 1e-14 })
  })

  test('impossible strengths and volumes are refused with the permitted range', () => {
    expect(() => massFractionOfPercent(ethanol, 101)).toThrow(/101.*0–100/)
    expect(() => massFractionOfPercent(ethanol, Number.NaN)).toThrow(RangeError)
    expect(() => pour(ethanol, -1, 2)).toThrow(/-1/)
    expect(() => pour(ethanol, 0, 0)).toThrow(RangeError)
  })
})
