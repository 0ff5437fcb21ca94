import { expect, test } from 'vitest'
import { water } from '../../src/liquids/registry.ts'
import { expectClose } from '../matchers.ts'

// Table of IAPWS R1-76(2014), mN/m; the last digit counts.
test.each([
  [293.15, 72.736],
  [298.15, 71.972],
  [303.15, 71.194],
  [300, 71.686],
  [450, 42.891],
])('surface tension at %d K (IAPWS R1-76)', (T, expected) => {
  expectClose(1e3 * water.surfaceTension(T), expected, { atol: 6e-4 })
})

// IAPWS-95 at 1 atm (density, to 1 ppm: the formula used is CIPM's), IAPWS R12-08 (viscosity), IAPWS-95 (saturation).
// The same figures come from CoolProp's implementation of the three releases.
test.each([
  [293.15, 998.207, 1.0016, 2339.3],
  [298.15, 997.048, 0.89, 3169.9],
  [303.15, 995.65, 0.7972, 4247],
])('density, viscosity, saturation pressure at %d K (IAPWS)', (T, density, viscosity, pressure) => {
  expectClose(water.density(T), density, { atol: 1.5e-3 })
  expectClose(1e3 * water.viscosity(T), viscosity, { atol: 6e-5 })
  expectClose(water.vapourPressure(T), pressure, { rtol: 1e-4 })
})

// Outside the tables' temperatures: CoolProp 283.15 and 308.15 K, 1 atm.
test.each([
  [283.15, 999.7025, 1.3059, 1228.2],
  [308.15, 994.0333, 0.71913, 5629.02],
])('at the ends of the permitted range, %d K (CoolProp)', (T, density, viscosity, pressure) => {
  expectClose(water.density(T), density, { atol: 2e-3 })
  expectClose(1e3 * water.viscosity(T), viscosity, { rtol: 2e-4 })
  expectClose(water.vapourPressure(T), pressure, { rtol: 1e-4 })
})

// Verification value printed in IAPWS R7-97 for region 4.
test('saturation pressure at 300 K is the release’s check value', () => {
  expectClose(water.vapourPressure(300), 3536.58941, { rtol: 1e-8 })
})

test('every datum says where it comes from', () => {
  expect(water.sources.length).toBeGreaterThan(4)
})
