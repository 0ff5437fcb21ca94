import { alkanol } from './alkanol.ts'
import { clampFraction, ZERO_CELSIUS } from './constants.ts'
import { oimlDensity } from './oiml.ts'

/** Ethanol and water. */
export const ethanol = alkanol({
  id: 'ethanol',
  name: 'ethanol',
  carbons: 2,
  molarMass: 0.04606844,
  density: (w, T) => oimlDensity(clampFraction(w), T - ZERO_CELSIUS),
  viscosity: {
    rows: [
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
    ],
    alcohol: 1.203,
    alcoholSlope: 1660,
  },
  // Mean of the tables for 20 and 25 °C. Strict convexity costs 0.12 mN/m about w = 0.25, where the table has a kink.
  tension: {
    at: 295.65,
    rows: [
      [0, 72.38],
      [0.05, 56.07, 0.5],
      [0.1, 47.835, 0.5],
      [0.15, 42.4],
      [0.2, 38.265, 2.5],
      [0.25, 35.8, 3.7],
      [0.3, 33.255, 2.8],
      [0.4, 30.425],
      [0.5, 28.235, 0.4],
      [0.6, 26.475, 0.85],
      [0.7, 25.245, 0.6],
      [0.8, 24.07, 0.5],
      [0.9, 22.975, 0.4],
      [1, 22.065],
    ],
    stretch: 0.05,
    roughness: 1e-3,
    alcoholSlope: -0.0832,
  },
  // 25 °C: least squares through 11 partial pressures of either vapour, which these constants meet within 1.3 %
  // (root mean square); slope of the dilute end: 6400 K of the Henry constant less 5151 K of the vapour pressure.
  activity: {
    boiling: { A: 1.6798, B: 0.9227, from: 351.2 },
    room: { A: 1.6145, B: 0.9068 },
    henry: 1.9,
    slope: { A: -447, B: -116, dilute: -1249 },
    source:
      'boiling-point constants from memory, they reproduce measured boiling points at 1 atm; constants at 25 °C fitted to a textbook table of partial pressures at 298 K; dilute ethanol from the Henry constant 1.9 mol/(m³ Pa), R. Sander, Atmos. Chem. Phys. 15, 4399 (2015)',
  },
  antoine: { A: 10.33675, B: 1648.22, C: -42.232 },
  diffusion: [
    [0, 1.24],
    [0.05, 0.93],
    [0.1, 0.68],
    [0.2, 0.45],
    [0.3, 0.4],
    [0.4, 0.43],
    [0.6, 0.63],
    [0.8, 0.9],
    [1, 1.2],
  ],
  index: 1.3614,
  sources: [
    {
      quantity: 'density of ethanol–water',
      source: 'OIML R 22 (1973), general formula',
      quality: 'correlated',
      range: '0–100 %, −20–40 °C',
    },
    {
      quantity: 'viscosity of ethanol–water at 20 °C',
      source: 'CRC Handbook, 102nd ed., concentrative properties of aqueous solutions',
      quality: 'measured',
      range: '0–100 %, 20 °C',
    },
    {
      quantity: 'surface tension of ethanol–water',
      source:
        'Vázquez, Alvarez & Navaza, J. Chem. Eng. Data 40, 611 (1995), values from memory, smoothed by at most 0.16 mN/m; water IAPWS R1-76, slope of the pure alcohol Jasper, J. Phys. Chem. Ref. Data 1, 841 (1972)',
      quality: 'from memory',
      range: '0–100 %, 20–25 °C (10–35 °C by the slopes of the pure liquids)',
      celsius: [20, 25],
    },
  ],
})
