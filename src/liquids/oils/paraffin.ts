import { makeOil } from '../oil.ts'

/** Light paraffin oil (light liquid paraffin of the pharmacopoeias; brands differ widely). */
export const paraffinOilLight = makeOil({
  id: 'paraffin-oil-light',
  name: 'light paraffin oil',
  density: [850, -0.63],
  viscosity: [
    [293.15, 30],
    [313.15, 14],
  ],
  tension: [30, -0.08],
  waterTension: 50,
  sources: [
    {
      quantity: 'density',
      source: 'middle of the usual range 0.82–0.88 g/cm³',
      quality: 'from memory',
      range: '10–35 °C, within 3 %',
    },
    {
      quantity: 'viscosity',
      source: '30 mPa·s at 20 °C, 14 at 40 °C, Andrade law between; enter the value of your bottle',
      quality: 'from memory',
      range: '10–40 °C, 25–80 mPa·s at 20 °C occur',
    },
    {
      quantity: 'tension against air',
      source: 'usual range 28–32 mN/m',
      quality: 'from memory',
      range: '20–25 °C; slope assumed',
      celsius: [20, 25],
    },
    {
      quantity: 'tension against pure water',
      source: 'usual range 45–52 mN/m, clean oil without additives',
      quality: 'from memory',
      range: 'about 20–25 °C',
      celsius: [20, 25],
    },
  ],
})
