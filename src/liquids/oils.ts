/** The bath liquids of the library, one table. Values at 20–25 °C are linear in T, viscosities follow Andrade's law. */
import { CLEAN_WATER_TENSION, KITCHEN_WATER_TENSION, makeOil, type OilData, plantOilNotes } from './oil.ts'
import type { Oil } from './types.ts'

/** A plant oil, clean: [K, mPa·s] twice, and the words on them. */
const plantOil = (
  id: string,
  name: string,
  density: number,
  viscosity: OilData['viscosity'],
  words: string,
): OilData => ({
  id,
  name,
  density: [density, -0.66],
  viscosity,
  tension: [33, -0.075],
  waterTension: 24,
  sources: plantOilNotes(`${words}, Andrade law between`, CLEAN_WATER_TENSION),
})

/** As it comes from the kitchen: its traces of surfactants lower the tension against water. */
const kitchenGrade = (clean: OilData, words: string): OilData => ({
  ...clean,
  id: `${clean.id}-kitchen`,
  name: `${clean.name}, kitchen grade`,
  tension: [34, -0.075],
  waterTension: 15,
  sources: plantOilNotes(`${words}, Andrade law between`, KITCHEN_WATER_TENSION),
})

const RAPESEED = '72 mPa·s at 20 °C, 34.5 at 40 °C'
const SUNFLOWER = '62 mPa·s at 20 °C, 31 at 40 °C'

const rapeseed = plantOil(
  'rapeseed-oil',
  'rapeseed oil',
  917,
  [
    [293.15, 72],
    [313.15, 34.5],
  ],
  RAPESEED,
)
const sunflower = plantOil(
  'sunflower-oil',
  'sunflower oil',
  920,
  [
    [293.15, 62],
    [313.15, 31],
  ],
  SUNFLOWER,
)
const olive = plantOil(
  'olive-oil',
  'olive oil',
  913,
  [
    [293.15, 84],
    [313.15, 37],
  ],
  '84 mPa·s at 20 °C, 37 at 40 °C',
)
const soybean = plantOil(
  'soybean-oil',
  'soybean oil',
  920,
  [
    [293.15, 58],
    [313.15, 30.5],
  ],
  '58 mPa·s at 20 °C, 30.5 at 40 °C',
)

const castor: OilData = {
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
}

/** Light liquid paraffin of the pharmacopoeias; brands differ widely. */
const lightParaffin: OilData = {
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
}

/** No alcohol–water mixture spreads on silicone oils. */
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

/** All of them, in the order of the lists. */
export const oilTable: readonly Oil[] = [
  rapeseed,
  sunflower,
  kitchenGrade(rapeseed, RAPESEED),
  kitchenGrade(sunflower, SUNFLOWER),
  olive,
  soybean,
  castor,
  lightParaffin,
  silicone('50', 963.5, 48, 36.2),
  silicone('350', 974.5, 340, 258),
].map(makeOil)
