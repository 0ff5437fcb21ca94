import { makeOil } from '../oil.ts'

/** Castor oil. */
export const castorOil = makeOil({
  id: 'castor-oil',
  name: 'castor oil',
  density: [961, -0.67],
  viscosity: [
    [293.15, 985],
    [298.15, 650],
  ],
  tension: [35, -0.07],
  waterTension: 24,
  sources: [
    { quantity: 'density', source: 'handbook value', quality: 'from memory', range: '10–35 °C, within 1 %' },
    {
      quantity: 'viscosity',
      source: '985 mPa·s at 20 °C, 650 at 25 °C, Andrade law through both',
      quality: 'from memory',
      range: '10–35 °C, within 15 %',
    },
    {
      quantity: 'tension against air',
      source: 'handbook value about 35 mN/m',
      quality: 'from memory',
      range: '20–25 °C, within 1 mN/m; slope assumed',
      celsius: [20, 25],
    },
    {
      quantity: 'tension against pure water',
      source: 'taken as that of the other plant oils; castor oil carries hydroxyl groups and may lie lower',
      quality: 'assumed',
      range: 'about 20–25 °C',
      celsius: [20, 25],
    },
  ],
})
