import { makeOil, type OilData } from '../oil.ts'

const silicone = (grade: string, density: number, at25: number, at40: number): OilData => ({
  id: `silicone-oil-${grade}`,
  name: `silicone oil ${grade} cSt`,
  density: [density, -0.9],
  viscosity: [
    [298.15, at25],
    [313.15, at40],
  ],
  tension: [20.8, -0.06],
  waterTension: 40,
  sources: [
    {
      quantity: 'density',
      source: 'usual value of polydimethylsiloxane of this grade',
      quality: 'from memory',
      range: '10–40 °C, within 1 %',
    },
    {
      quantity: 'viscosity',
      source: `grade ${grade} mm²/s at 25 °C times density; temperature by the usual coefficient of 0.6 between 38 and 99 °C`,
      quality: 'from memory',
      range: '10–40 °C, grade ±5 %',
    },
    {
      quantity: 'tension against air',
      source: 'about 20.8 mN/m',
      quality: 'from memory',
      range: '20–25 °C, within 0.5 mN/m',
      celsius: [20, 25],
    },
    {
      quantity: 'tension against pure water',
      source: 'usual value about 40 mN/m',
      quality: 'from memory',
      range: '20–25 °C, within 4 mN/m',
      celsius: [20, 25],
    },
  ],
})

/** Silicone oil 50 cSt. No alcohol–water mixture spreads on it. */
export const siliconeOil50 = makeOil(silicone('50', 963.5, 48, 36.2))

/** Silicone oil 350 cSt. No alcohol–water mixture spreads on it. */
export const siliconeOil350 = makeOil(silicone('350', 974.5, 340, 258))
