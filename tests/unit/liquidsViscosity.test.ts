import { describe, expect, test } from 'vitest'
import { mixtureOf, mixtures, oilOf, water } from '../../src/liquids/registry.ts'
import { expectClose } from '../matchers.ts'

const T20 = 293.15
const T25 = 298.15

// CRC Handbook, 102nd ed., concentrative properties of aqueous solutions, 20 °C, mPa·s.
const CRC: [string, [number, number][]][] = [
  [
    'ethanol',
    [
      [0.1, 1.501],
      [0.2, 2.142],
      [0.3, 2.667],
      [0.4, 2.846],
      [0.42, 2.852],
      [0.5, 2.813],
      [0.6, 2.547],
      [0.7, 2.214],
      [0.8, 1.881],
      [0.9, 1.542],
      [1, 1.203],
    ],
  ],
  [
    'methanol',
    [
      [0.1, 1.329],
      [0.2, 1.604],
      [0.4, 1.837],
      [0.6, 1.6],
      [0.8, 1.128],
      [1, 0.586],
    ],
  ],
  [
    '1-propanol',
    [
      [0.1, 1.577],
      [0.2, 2.218],
      [0.4, 3.01],
      [0.6, 3.186],
      [0.8, 2.822],
      [1, 2.227],
    ],
  ],
  [
    '2-propanol',
    [
      [0.1, 1.629],
      [0.2, 2.55],
      [1, 2.37],
    ],
  ],
]

describe.each(CRC)('%s–water', (id, rows) => {
  const m = mixtureOf(id)
  test('viscosity at 20 °C (CRC Handbook)', () => {
    for (const [w, eta] of rows) expectClose(1e3 * m.viscosity(w, T20), eta, { rtol: 1e-3 }, `w = ${w}`)
  })
  test('is that of water without alcohol', () => {
    for (const T of [285, T20, 305]) expectClose(m.viscosity(0, T), water.viscosity(T), { rtol: 1e-12 })
  })
})

test('ethanol–water is thickest near 42 % by mass (CRC Handbook)', () => {
  const m = mixtureOf('ethanol')
  let best = 0
  for (let w = 0; w <= 1; w += 0.005) if (m.viscosity(w, T20) > m.viscosity(best, T20)) best = w
  expectClose(best, 0.42, { atol: 0.02 })
})

// From memory: 2-propanol–water at 25 °C; other support only at 20 °C, 10, 20 and 100 %.
test.each([
  [0.1, 1.33],
  [0.2, 1.86],
  [0.3, 2.4],
  [0.4, 2.8],
  [0.5, 3],
  [0.6, 3],
  [0.7, 2.9],
  [0.8, 2.6],
  [0.9, 2.3],
  [1, 2.05],
])('2-propanol–water at 25 °C, w = %d, within 15 %% (from memory)', (w, eta) => {
  expectClose(1e3 * mixtureOf('2-propanol').viscosity(w, T25), eta, { rtol: 0.15 })
})

// From memory: CRC Handbook, viscosity of liquids at 25 °C, mPa·s. The slopes rest on the same memory.
test.each([
  ['methanol', 0.544],
  ['ethanol', 1.074],
  ['1-propanol', 1.945],
  ['2-propanol', 2.038],
])('pure %s at 25 °C within 3 %% (from memory)', (id, eta) => {
  expectClose(1e3 * mixtureOf(id).viscosity(1, T25), eta, { rtol: 0.03 })
})

// From memory: Bingham's ethanol–water table, mPa·s at 10 and 30 °C.
test.each([
  [0.2, 3.215, 1.553],
  [0.4, 4.39, 2.02],
  [0.6, 3.77, 1.93],
  [0.8, 2.71, 1.531],
  [1, 1.466, 1.003],
])('ethanol–water at 10 and 30 °C, w = %d, within 8 %% (from memory)', (w, cold, warm) => {
  const m = mixtureOf('ethanol')
  expectClose(1e3 * m.viscosity(w, 283.15), cold, { rtol: 0.08 })
  expectClose(1e3 * m.viscosity(w, 303.15), warm, { rtol: 0.08 })
})

test('viscosity has one maximum and no ripple between the table points', () => {
  for (const m of Object.values(mixtures)) {
    let turns = 0
    let before = 1
    for (let w = 0.005; w <= 1; w += 0.005) {
      const sign = Math.sign(m.viscosity(w, T20) - m.viscosity(w - 0.005, T20))
      if (sign !== before) turns++
      before = sign
    }
    expect(turns, m.id).toBe(1)
  }
})

describe('oils', () => {
  // From memory, mPa·s at 20 and 25 °C; ranges as found.
  test.each([
    ['sunflower-oil', 60, 65, 49, 55],
    ['rapeseed-oil', 71, 73, 58, 63],
    ['olive-oil', 83, 85, 63, 68],
    ['soybean-oil', 57, 59, 48, 52],
    ['castor-oil', 980, 990, 645, 655],
  ])('%s lies in the range of handbooks (from memory)', (id, low20, high20, low25, high25) => {
    const at20 = 1e3 * oilOf(id).viscosity(T20)
    const at25 = 1e3 * oilOf(id).viscosity(T25)
    expect(at20).toBeGreaterThan(low20)
    expect(at20).toBeLessThan(high20)
    expect(at25).toBeGreaterThan(low25)
    expect(at25).toBeLessThan(high25)
  })

  // The grade names the kinematic viscosity at 25 °C, mm²/s: common practice of makers, no source.
  test.each([
    ['silicone-oil-50', 50],
    ['silicone-oil-350', 350],
  ])('%s keeps what its name says', (id, grade) => {
    const oil = oilOf(id)
    expectClose((1e6 * oil.viscosity(T25)) / oil.density(T25), grade, { rtol: 0.01 })
  })
})
