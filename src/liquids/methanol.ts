import { alkanol } from './alkanol.ts'
import { tableDensity } from './tableDensity.ts'

/** Methanol and water. Methanol is toxic, also through the skin: see safety.ts. */
export const methanol = alkanol({
  id: 'methanol',
  name: 'methanol',
  carbons: 1,
  molarMass: 0.03204186,
  density: tableDensity({
    rows: [
      [0.1, 981.6],
      [0.2, 966.6],
      [0.4, 934.7],
      [0.6, 894.4],
      [0.8, 846.8],
    ],
    alcohol: 791.7,
    alcoholSlope: -0.935,
  }),
  viscosity: {
    rows: [
      [0.1, 1.329],
      [0.2, 1.604],
      [0.4, 1.837],
      [0.6, 1.6],
      [0.8, 1.128],
    ],
    alcohol: 0.586,
    alcoholSlope: 1228,
  },
  // Mean of the tables for 20 and 25 °C.
  tension: {
    at: 295.65,
    rows: [
      [0, 72.38],
      [0.05, 63.115],
      [0.1, 56.525],
      [0.15, 51.5],
      [0.2, 47.535],
      [0.25, 44.08],
      [0.3, 41.38],
      [0.4, 36.765],
      [0.5, 33.115],
      [0.6, 30.075],
      [0.7, 27.695],
      [0.8, 25.76],
      [0.9, 24.15],
      [1, 22.73],
    ],
    stretch: 0.1,
    roughness: 1e-4,
    alcoholSlope: -0.0773,
  },
  // Henry constant: 2.2 in the compilation's reading of Snider & Dawson (1985), 2.0 in later ones (from memory); slope
  // of the dilute end −7.3 kJ/mol over the gas constant, from memory.
  activity: {
    boiling: { A: 0.8041, B: 0.5619, from: 337.6 },
    room: { A: 0.6763, B: 0.4368 },
    henry: 2.1,
    slope: { A: -427, B: -406, dilute: -878 },
    source:
      'boiling-point constants from memory; between the boiling point and 25 °C both constants move as modified UNIFAC (Dortmund) does; dilute methanol at 25 °C from the Henry constant 2.1 mol/(m³ Pa), between 2.2 (Sander’s compilation) and 2.0 (from memory), with its slope from memory',
  },
  antoine: { A: 10.20277, B: 1580.08, C: -33.65 },
  diffusion: [
    [0, 1.57],
    [0.1, 1.25],
    [0.2, 1.08],
    [0.35, 1.03],
    [0.5, 1.13],
    [0.75, 1.6],
    [1, 2.2],
  ],
  index: 1.3288,
  sources: [
    {
      quantity: 'density of methanol–water',
      source:
        'CRC Handbook, 102nd ed., aqueous solutions at 20 °C; slope of the pure alcohol from memory, excess volume taken as constant',
      quality: 'measured',
      range: '0–100 %, 20 °C (10–35 °C within 0.2 %)',
    },
    {
      quantity: 'viscosity of methanol–water at 20 °C',
      source: 'CRC Handbook, 102nd ed., concentrative properties of aqueous solutions',
      quality: 'measured',
      range: '0–100 %, 20 °C',
    },
    {
      quantity: 'surface tension of methanol–water',
      source:
        'Vázquez, Alvarez & Navaza, J. Chem. Eng. Data 40, 611 (1995), smoothed by at most 0.1 mN/m; water IAPWS R1-76, slope of the pure alcohol Jasper, J. Phys. Chem. Ref. Data 1, 841 (1972)',
      quality: 'measured',
      range: '0–100 %, 20–25 °C (10–35 °C by the slopes of the pure liquids)',
      celsius: [20, 25],
    },
  ],
})
