import { pow, square } from '../numerics/elementary.ts'
import { ZERO_CELSIUS } from './constants.ts'
import { airDiffusivity, DIFFUSION_VOLUME } from './fuller.ts'
import type { Water } from './types.ts'

/** Molar mass of water, kg/mol (IAPWS R6-95). */
export const WATER_MOLAR_MASS = 0.018015268

/** Density at 101 325 Pa, kg/m³, 273–313 K: Tanaka, Girard, Davis, Peuto & Bignell, Metrologia 38, 301 (2001). */
function density(T: number): number {
  const t = T - ZERO_CELSIUS
  return 999.97495 * (1 - (square(t - 3.983035) * (t + 301.797)) / (522528.9 * (t + 69.34881)))
}

/** Viscosity at 0.1 MPa, Pa·s, 253–383 K: IAPWS SR6-08(2011). */
function viscosity(T: number): number {
  const r = T / 300
  return (
    1e-6 * (280.68 * pow(r, -1.9) + 511.45 * pow(r, -7.7) + 61.131 * pow(r, -19.6) + 0.45903 * pow(r, -40))
  )
}

/** Tension against air, N/m, triple to critical point: IAPWS R1-76(2014). */
function surfaceTension(T: number): number {
  const tau = 1 - T / 647.096
  return 0.2358 * pow(tau, 1.256) * (1 - 0.625 * tau)
}

const N = [
  1167.0521452767, -724213.16703206, -17.073846940092, 12020.82470247, -3232555.0322333, 14.91510861353,
  -4823.2657361591, 405113.40542057, -0.23855557567849, 650.17534844798,
] as const

/** Saturation pressure, Pa, 273–647 K: IAPWS-IF97 (R7-97), region 4. */
function vapourPressure(T: number): number {
  const theta = T + N[8] / (T - N[9])
  const a = theta * theta + N[0] * theta + N[1]
  const b = N[2] * theta * theta + N[3] * theta + N[4]
  const c = N[5] * theta * theta + N[6] * theta + N[7]
  return 1e6 * square(square((2 * c) / (-b + Math.sqrt(b * b - 4 * a * c))))
}

/** A function of the temperature that need not compute its last value again: a drop asks at one temperature all along. */
function rememberLast(f: (T: number) => number): (T: number) => number {
  let last = Number.NaN
  let value = Number.NaN
  return (T) => {
    if (T !== last) {
      value = f(T)
      last = T
    }
    return value
  }
}

/** Pure water at atmospheric pressure. */
export const water: Water = {
  molarMass: WATER_MOLAR_MASS,
  density: rememberLast(density),
  viscosity: rememberLast(viscosity),
  surfaceTension: rememberLast(surfaceTension),
  vapourPressure: rememberLast(vapourPressure),
  vapourDiffusivity: (T) => airDiffusivity(WATER_MOLAR_MASS, DIFFUSION_VOLUME.water, T),
  sources: [
    {
      quantity: 'density of water',
      source: 'Tanaka et al., Metrologia 38, 301 (2001)',
      quality: 'correlated',
      range: '0–40 °C, 1 atm',
    },
    {
      quantity: 'viscosity of water',
      source: 'IAPWS SR6-08(2011), liquid water at 0.1 MPa',
      quality: 'correlated',
      range: '−20–110 °C, 0.1 MPa',
    },
    {
      quantity: 'surface tension of water',
      source: 'IAPWS R1-76(2014)',
      quality: 'correlated',
      range: '0.01–374 °C',
    },
    {
      quantity: 'saturation pressure of water',
      source: 'IAPWS-IF97, R7-97(2012), region 4',
      quality: 'correlated',
      range: '0–374 °C',
    },
    {
      quantity: 'diffusivity of water vapour in air',
      source:
        'Fuller, Ensley & Giddings, J. Phys. Chem. 73, 3679 (1969); diffusion volume of water from memory',
      quality: 'correlated',
      range: '1 atm, about 5 %',
    },
  ],
}
