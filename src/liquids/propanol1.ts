import { alkanol } from './alkanol.ts'
import { tableDensity } from './tableDensity.ts'

/** 1-propanol and water. */
export const propanol1 = alkanol({
  id: '1-propanol',
  name: '1-propanol',
  carbons: 3,
  molarMass: 0.06009502,
  density: tableDensity({
    rows: [
      [0.1, 982.9],
      [0.2, 968.6],
      [0.4, 928.8],
      [0.6, 887.5],
      [0.8, 847],
    ],
    alcohol: 803.4,
    alcoholSlope: -0.8,
  }),
  viscosity: {
    rows: [
      [0.1, 1.577],
      [0.2, 2.218],
      [0.4, 3.01],
      [0.6, 3.186],
      [0.8, 2.822],
    ],
    alcohol: 2.227,
    alcoholSlope: 2195,
  },
  tension: {
    at: 298.15,
    rows: [
      [0, 72.01],
      [0.1, 34.32],
      [0.2, 27.84],
      [0.25, 26.64],
      [0.3, 25.98],
      [0.4, 25.26],
      [0.5, 24.8],
      [0.6, 24.49],
      [0.7, 24.08],
      [0.8, 23.86],
      [0.9, 23.59],
      [1, 23.28],
    ],
    stretch: 0.005,
    roughness: 3e-3,
    alcoholSlope: -0.0777,
  },
  // Henry constant and slope of the dilute end (−10.1 kJ/mol over the gas constant) from memory.
  activity: {
    boiling: { A: 2.9095, B: 1.1572, from: 360.5 },
    room: { A: 2.571, B: 1.293 },
    henry: 1.4,
    slope: { A: -323, B: 69, dilute: -1215 },
    source:
      'boiling-point constants from memory, they reproduce the azeotrope at 1 atm; constants at 25 °C fitted to modified UNIFAC (Dortmund) from 20 to 90 % by mass; dilute 1-propanol from the Henry constant 1.4 mol/(m³ Pa), from memory (modified UNIFAC has 1.43)',
  },
  antoine: { A: 9.99991, B: 1512.94, C: -67.343 },
  diffusion: [
    [0, 1.07],
    [0.05, 0.6],
    [0.1, 0.35],
    [0.2, 0.2],
    [0.3, 0.18],
    [0.5, 0.25],
    [0.75, 0.43],
    [1, 0.6],
  ],
  index: 1.385,
  sources: [
    {
      quantity: 'density of 1-propanol–water',
      source:
        'CRC Handbook, 102nd ed., aqueous solutions at 20 °C; slope of the pure alcohol from memory, excess volume taken as constant',
      quality: 'measured',
      range: '0–100 %, 20 °C (10–35 °C within 0.2 %)',
    },
    {
      quantity: 'viscosity of 1-propanol–water at 20 °C',
      source: 'CRC Handbook, 102nd ed., concentrative properties of aqueous solutions',
      quality: 'measured',
      range: '0–100 %, 20 °C',
    },
    {
      quantity: 'surface tension of 1-propanol–water',
      source:
        'Vázquez, Alvarez & Navaza, J. Chem. Eng. Data 40, 611 (1995), values for 25 °C from memory (none below 10 %, where the curve only joins water), smoothed by at most 0.08 mN/m; water IAPWS R1-76, slope of the pure alcohol Jasper, J. Phys. Chem. Ref. Data 1, 841 (1972)',
      quality: 'from memory',
      range: '0–100 %, 25 °C (10–35 °C by the slopes of the pure liquids)',
      celsius: [25, 25],
    },
  ],
})
