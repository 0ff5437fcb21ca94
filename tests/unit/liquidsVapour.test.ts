import { describe, expect, test } from 'vitest'
import { massFraction } from '../../src/liquids/composition.ts'
import { mixtureOf, mixtures, water } from '../../src/liquids/registry.ts'
import type { Mixture } from '../../src/liquids/types.ts'
import {
  ambientLiquidVolume,
  ambientVapour,
  saturatedLiquidVolume,
  saturatedVapour,
} from '../../src/liquids/vapour.ts'
import { expectClose } from '../matchers.ts'

const T20 = 293.15
const T25 = 298.15
const ATMOSPHERE = 101325

/** Root of a rising function by halving. */
function root(f: (x: number) => number, low: number, high: number): number {
  let [a, b] = [low, high]
  for (let i = 0; i < 60; i++) {
    const middle = (a + b) / 2
    if (f(middle) < 0) a = middle
    else b = middle
  }
  return (a + b) / 2
}

function boiling(m: Mixture, x: number): { t: number; y: number } {
  const partial = (T: number) => {
    const [alcohol, aqueous] = m.activity(x, T)
    return [x * alcohol * m.vapourPressure(T), (1 - x) * aqueous * water.vapourPressure(T)] as const
  }
  const T = root((T) => partial(T)[0] + partial(T)[1] - ATMOSPHERE, 320, 380)
  return { t: T - 273.15, y: partial(T)[0] / ATMOSPHERE }
}

// Poling, Prausnitz & O'Connell, Properties of Gases and Liquids (2001), Pa at 20 and 25 °C.
test.each([
  ['methanol', 12997, 16941, 64.5],
  ['ethanol', 5861, 7876, 78.3],
  ['1-propanol', 1994, 2786, 97.1],
  ['2-propanol', 4414, 6021, 82.3],
])('vapour pressure and boiling point of %s (Poling et al. 2001)', (id, p20, p25, t) => {
  const m = mixtureOf(id)
  expectClose(m.vapourPressure(T20), p20, { rtol: 2e-3 })
  expectClose(m.vapourPressure(T25), p25, { rtol: 2e-3 })
  expectClose(root((T) => m.vapourPressure(T) - ATMOSPHERE, 320, 380) - 273.15, t, { atol: 0.1 })
})

// CoolProp's Helmholtz equations, Pa: an independent source for two of them; 0.7 % apart at 10 °C.
test.each([
  ['methanol', 283.15, 7438.4],
  ['methanol', T25, 16981],
  ['ethanol', 283.15, 3148.5],
  ['ethanol', T25, 7885.9],
  ['ethanol', 308.15, 13748.6],
])('vapour pressure of %s at %d K (CoolProp)', (id, T, p) => {
  expectClose(mixtureOf(id).vapourPressure(T), p, { rtol: 7e-3 })
})

describe('boiling at 101.325 kPa', () => {
  // Measured points for 2-propanol–water, and ethanol–water from Perry's handbook: °C, x, y.
  test.each([
    ['2-propanol', 81.48, 0.9535, 0.9325],
    ['2-propanol', 80.37, 0.809, 0.7745],
    ['2-propanol', 80.11, 0.6955, 0.6915],
    ['2-propanol', 80.67, 0.446, 0.592],
    ['2-propanol', 81.28, 0.298, 0.551],
    ['ethanol', 95.5, 0.019, 0.17],
    ['ethanol', 85.3, 0.124, 0.47],
    ['ethanol', 80.7, 0.397, 0.612],
    ['ethanol', 78.74, 0.676, 0.739],
  ])('%s at %d °C, x = %d', (id, t, x, y) => {
    const point = boiling(mixtureOf(id), x)
    expectClose(point.t, t, { atol: 0.3 })
    expectClose(point.y, y, { atol: 0.01 })
  })

  // Azeotropes of handbooks: mass fraction and °C.
  test.each([
    ['ethanol', 0.956, 78.2],
    ['2-propanol', 0.877, 80.3],
    ['1-propanol', 0.717, 87.7],
  ])('azeotrope of %s near w = %d, %d °C', (id, w, t) => {
    const m = mixtureOf(id)
    const x = root((x) => x - boiling(m, x).y, 0.1, 0.98)
    expectClose(massFraction(m.molarMass, x), w, { atol: 0.03 })
    expectClose(boiling(m, x).t, t, { atol: 1 })
  })
})

describe('activity coefficients', () => {
  test('are one for the pure liquids; when the mixture boils they end in the van Laar constants', () => {
    for (const m of Object.values(mixtures)) {
      expect(m.activity(1, T20)[0]).toBe(1)
      expect(m.activity(0, T20)[1]).toBe(1)
    }
    // Constants from memory, supported by the boiling points above.
    expectClose(mixtureOf('ethanol').activity(0, 355)[0], Math.exp(1.6798), { rtol: 1e-12 })
    expectClose(mixtureOf('ethanol').activity(1, 355)[1], Math.exp(0.9227), { rtol: 1e-12 })
  })

  // Henry constants at 25 °C, mol/(m³ Pa): ethanol 1.9 (R. Sander, Atmos. Chem. Phys. 15, 4399 (2015), most of 20
  // entries), 2-propanol 8.10e-6 atm m³/mol (Hazardous Substances Data Bank), methanol 220 mol/(L atm) (Snider & Dawson
  // 1985, as Sander has it), 1-propanol 1.4 (from memory). γ∞ = 1/(H p V), V of water 18.07 cm³/mol.
  test.each([
    ['ethanol', 1.9, 0.005],
    ['2-propanol', 1 / (8.1e-6 * ATMOSPHERE), 0.005],
    ['methanol', (220 / ATMOSPHERE) * 1e3, 0.05],
    ['1-propanol', 1.4, 0.005],
  ])('dilute %s in water at 25 °C has the Henry constant %d', (id, henry, rtol) => {
    const m = mixtureOf(id)
    const gamma = 1 / (henry * m.vapourPressure(T25) * 18.07e-6)
    expectClose(m.activity(0, T25)[0], gamma, { rtol })
  })

  // Temperature of the Henry constant of ethanol: d ln H/d(1/T) = 6400 K (Sander 2015).
  test('the Henry constant of ethanol changes with the temperature as measured', () => {
    const m = mixtureOf('ethanol')
    const lnH = (T: number) => -Math.log(m.activity(0, T)[0] * m.vapourPressure(T))
    expectClose((lnH(296.15) - lnH(300.15)) / (1 / 296.15 - 1 / 300.15), 6400, { rtol: 0.01 })
  })

  // Partial pressures over ethanol–water at 298 K, torr: [x, ethanol, water], of a physical chemistry problem book
  // (numerade.com 38161; probably Dobson, J. Chem. Soc. 127, 2866 (1925), from memory). Pure: 59.20 and 23.78.
  // Water at x = 0.05 repeats the value of 0.08 and lies under pure water's slope: a slip, left out.
  test.each([
    [0.02, 4.28, 23.31],
    [0.05, 9.96, null],
    [0.08, 14.84, 22.07],
    [0.1, 17.65, 21.7],
    [0.2, 27.02, 20.25],
    [0.5, 36.86, 17.29],
    [0.8, 48.24, 9.89],
    [0.9, 53.45, 5.38],
    [0.93, 55.14, 3.83],
    [0.96, 56.87, 2.23],
    [0.98, 58.02, 1.13],
  ])('partial pressures over ethanol–water at 25 °C, x = %d', (x, alcohol, aqueous) => {
    const [ga, gw] = mixtureOf('ethanol').activity(x, T25)
    expectClose(x * ga * 59.2, alcohol, { rtol: 0.03 })
    if (aqueous !== null) expectClose((1 - x) * gw * 23.78, aqueous, { rtol: 0.04 })
  })

  // Modified UNIFAC (Dortmund, parameters of 2016) by the Python library thermo 0.6: a group-contribution method whose
  // stated error in activity coefficients is a few percent; [w, γ alcohol, γ water] at 25 °C.
  test.each([
    ['2-propanol', 0.4, 3.432, 1.107],
    ['2-propanol', 0.6, 1.95, 1.316],
    ['2-propanol', 0.8, 1.234, 1.829],
    ['1-propanol', 0.4, 3.716, 1.115],
    ['1-propanol', 0.6, 2.035, 1.34],
    ['1-propanol', 0.8, 1.25, 1.901],
    ['ethanol', 0.4, 2.141, 1.089],
    ['ethanol', 0.6, 1.499, 1.255],
    ['methanol', 0.4, 1.297, 1.062],
    ['methanol', 0.8, 1.028, 1.293],
  ])('%s at w = %d is near modified UNIFAC at 25 °C', (id, w, alcohol, aqueous) => {
    const m = mixtureOf(id)
    const x = w / m.molarMass / (w / m.molarMass + (1 - w) / 0.01801528)
    const [ga, gw] = m.activity(x, T25)
    expectClose(ga, alcohol, { rtol: 0.1 })
    expectClose(gw, aqueous, { rtol: 0.1 })
  })

  test('run without a kink from 10 °C to boiling', () => {
    for (const m of Object.values(mixtures)) {
      for (const x of [0, 0.1, 0.4, 1]) {
        const slope = (T: number) =>
          (Math.log(m.activity(x, T + 0.01)[x === 1 ? 1 : 0]) -
            Math.log(m.activity(x, T - 0.01)[x === 1 ? 1 : 0])) /
          0.02
        for (let T = 283; T < 375; T += 0.25)
          expectClose(slope(T + 0.25), slope(T), { atol: 5e-4 }, `${m.id} x = ${x} at ${T} K`)
      }
    }
  })

  test.each([283.15, T20, 308.15, 340, 370])('obey the Gibbs–Duhem equation at %d K', (T) => {
    for (const m of Object.values(mixtures)) {
      for (const x of [0.02, 0.1, 0.3, 0.5, 0.8]) {
        const h = 1e-5
        const slope = (k: 0 | 1) =>
          (Math.log(m.activity(x + h, T)[k]) - Math.log(m.activity(x - h, T)[k])) / (2 * h)
        expectClose(x * slope(0) + (1 - x) * slope(1), 0, { atol: 1e-7 }, `${m.id}, x = ${x}`)
      }
    }
  })
})

// Fuller, Ensley & Giddings 1969, cm²/s at 20 °C; measured values at 25 °C from memory.
test.each([
  ['methanol', 0.155, 0.152],
  ['ethanol', 0.119, 0.118],
  ['1-propanol', 0.099, 0.099],
  ['2-propanol', 0.099, 0.101],
])('diffusivity of %s in air', (id, at20, measured25) => {
  const m = mixtureOf(id)
  expectClose(1e4 * m.vapourDiffusivity(T20), at20, { rtol: 0.01 })
  expectClose(1e4 * m.vapourDiffusivity(T25), measured25, { rtol: 0.07 }, 'measured, from memory')
})

test('diffusivity of water vapour in air (Fuller et al.; volume of water from memory)', () => {
  expectClose(1e4 * water.vapourDiffusivity(T20), 0.243, { rtol: 0.01 })
})

// Disc-mean thickness loss 4 D R y/(π R²), R = 5 mm, dry still air, 20 °C, µm/s: derived for this project.
test.each([
  ['methanol', 0.848],
  ['ethanol', 0.426],
  ['1-propanol', 0.155],
  ['2-propanol', 0.352],
])('a disc of pure %s thins at %d µm/s', (id, rate) => {
  const m = mixtureOf(id)
  const y = saturatedLiquidVolume(m, 1, T20).alcohol
  expectClose((1e6 * (4 * m.vapourDiffusivity(T20) * y)) / (Math.PI * 5e-3), rate, { rtol: 0.01 })
})

test('a disc of water thins at 0.108 µm/s', () => {
  const y = saturatedLiquidVolume(mixtureOf('ethanol'), 0, T20).water
  expectClose((1e6 * (4 * water.vapourDiffusivity(T20) * y)) / (Math.PI * 5e-3), 0.108, { rtol: 0.01 })
})

describe('vapour over a mixture', () => {
  test('is that of the pure liquids at the ends', () => {
    for (const m of Object.values(mixtures)) {
      const RT = 8.31446261815324 * T20
      expectClose(saturatedVapour(m, 1, T20).alcohol, m.vapourPressure(T20) / RT, { rtol: 1e-12 })
      expectClose(saturatedVapour(m, 0, T20).water, water.vapourPressure(T20) / RT, { rtol: 1e-12 })
      expect(saturatedVapour(m, 0, T20).alcohol).toBe(0)
      expect(saturatedVapour(m, 1, T20).water).toBe(0)
    }
  })

  // y = x γ p M/(ρ R T) with γ = 2.565 (modified UNIFAC at 25 °C as above), p = 6021 Pa (Poling et al.), ρ = 781 kg/m³
  // (CRC Handbook): 0.308 µm/s at 2.9 mm/s and 1.02 µm/s at 9.6 mm/s.
  test('2-propanol at w = 0.5 loses 0.3 µm/s at 2.9 mm/s and 1 µm/s at 9.6 mm/s', () => {
    const y = saturatedLiquidVolume(mixtureOf('2-propanol'), 0.5, T25).alcohol
    const x = 0.5 / 0.06009502 / (0.5 / 0.06009502 + 0.5 / 0.01801528)
    const published = (x * 2.565 * 6021 * 0.06009502) / (781 * 8.314462618 * T25)
    expectClose(2.9e-3 * y, 2.9e-3 * published, { rtol: 0.05 })
    expectClose(9.6e-3 * published, 1e-6, { rtol: 0.1 })
    expectClose(y, published, { rtol: 0.05 })
  })

  test('the room holds no alcohol, and water in proportion to the humidity', () => {
    const m = mixtureOf('ethanol')
    expect(ambientVapour(0.5, T20).alcohol).toBe(0)
    expectClose(ambientVapour(1, T20).water, saturatedVapour(m, 0, T20).water, { rtol: 1e-12 })
    expectClose(ambientVapour(0.3, T20).water, 0.3 * ambientVapour(1, T20).water, { rtol: 1e-12 })
    expectClose(ambientLiquidVolume(m, 1, T20).water, saturatedLiquidVolume(m, 0, T20).water, {
      rtol: 1e-12,
    })
  })
})
