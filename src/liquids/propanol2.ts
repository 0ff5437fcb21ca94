import { alkanol } from './alkanol.ts'
import { tableDensity } from './tableDensity.ts'

/** 2-propanol and water. */
export const propanol2 = alkanol({
  id: '2-propanol',
  name: '2-propanol',
  carbons: 3,
  molarMass: 0.06009502,
  density: tableDensity({
    rows: [
      [0.1, 981.6],
      [0.2, 969.6],
      [0.4, 930.2],
      [0.6, 882.4],
      [0.8, 834.1],
    ],
    alcohol: 784.8,
    alcoholSlope: -0.84,
  }),
  // 10 and 20 % are measured at 20 °C; the rest is carried over from 25 °C values known from memory only
  // (30 % left to the curve, 40 % raised by 2 % so that it runs smoothly).
  viscosity: {
    rows: [
      [0.1, 1.629],
      [0.2, 2.55],
      [0.4, 3.5],
      [0.5, 3.68],
      [0.6, 3.68],
      [0.7, 3.53],
      [0.8, 3.12],
      [0.9, 2.72],
    ],
    alcohol: 2.37,
    alcoholSlope: 2650,
  },
  tension: {
    at: 298.15,
    rows: [
      [0, 72.01],
      [0.05, 49.58],
      [0.1, 40.42],
      [0.15, 34.63],
      [0.2, 30.57],
      [0.25, 28.28],
      [0.3, 26.82],
      [0.4, 25.27],
      [0.5, 24.26],
      [0.6, 23.51],
      [0.7, 22.68],
      [0.8, 22.14],
      [0.9, 21.69],
      [1, 21.22],
    ],
    stretch: 0.0167,
    roughness: 1e-3,
    alcoholSlope: -0.0789,
  },
  // Fitted to five measured boiling points at 1 atm (x 0.298–0.954), which the usual constants 2.4702 and 1.0938
  // miss by 0.28 K and 0.016 in y; these miss them by 0.15 K and 0.009.
  // Boiling: fitted to five measured boiling points at 1 atm (x 0.298–0.954), which the usual constants 2.4702 and
  // 1.0938 miss by 0.28 K and 0.016 in y; these miss them by 0.15 K and 0.009.
  // Henry constant: 8.10e-6 atm m³/mol; slope of the dilute end (−12.9 kJ/mol over the gas constant) from memory.
  activity: {
    boiling: { A: 2.288, B: 1.148, from: 353.2 },
    room: { A: 2.2042, B: 1.2739 },
    henry: 1.218,
    slope: { A: -300, B: 87, dilute: -1552 },
    source:
      'boiling-point constants fitted to five measured boiling points at 1 atm, within 0.15 K and 0.01 in y; between the boiling point and 25 °C both constants move as modified UNIFAC (Dortmund) does; dilute 2-propanol at 25 °C from the Henry constant 8.10e-6 atm m³/mol (US Hazardous Substances Data Bank)',
  },
  antoine: { A: 10.24268, B: 1580.92, C: -53.54 },
  diffusion: [
    [0, 1.05],
    [0.05, 0.62],
    [0.1, 0.38],
    [0.2, 0.22],
    [0.3, 0.2],
    [0.5, 0.27],
    [0.75, 0.45],
    [1, 0.62],
  ],
  index: 1.3776,
  sources: [
    {
      quantity: 'density of 2-propanol–water',
      source:
        'CRC Handbook, 102nd ed., aqueous solutions at 20 °C; slope of the pure alcohol from memory, excess volume taken as constant',
      quality: 'measured',
      range: '0–100 %, 20 °C (10–35 °C within 0.2 %)',
    },
    {
      quantity: 'viscosity of 2-propanol–water at 20 °C',
      source: 'CRC Handbook, 102nd ed., at 10, 20 and 100 %; between 20 and 100 % from memory',
      quality: 'from memory',
      range: '0–100 %, within 15 % from 20 to 100 %',
    },
    {
      quantity: 'surface tension of 2-propanol–water',
      source:
        'Vázquez, Alvarez & Navaza, J. Chem. Eng. Data 40, 611 (1995), values for 25 °C from memory, smoothed by at most 0.08 mN/m; water IAPWS R1-76, slope of the pure alcohol Jasper, J. Phys. Chem. Ref. Data 1, 841 (1972)',
      quality: 'from memory',
      range: '0–100 %, 25 °C (10–35 °C by the slopes of the pure liquids)',
      celsius: [25, 25],
    },
  ],
})
