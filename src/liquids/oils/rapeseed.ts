import { CLEAN_WATER_TENSION, KITCHEN_WATER_TENSION, makeOil, type OilData, plantOilNotes } from '../oil.ts'

const VISCOSITY = '72 mPa·s at 20 °C, 34.5 at 40 °C, Andrade law between'

const clean: OilData = {
  id: 'rapeseed-oil',
  name: 'rapeseed oil',
  density: [917, -0.66],
  viscosity: [
    [293.15, 72],
    [313.15, 34.5],
  ],
  tension: [33, -0.075],
  waterTension: 24,
  sources: plantOilNotes(VISCOSITY, CLEAN_WATER_TENSION),
}

/** Rapeseed oil, clean. */
export const rapeseedOil = makeOil(clean)

/** Rapeseed oil as it comes from the kitchen: its traces of surfactants lower the tension against water. */
export const rapeseedOilKitchen = makeOil({
  ...clean,
  id: 'rapeseed-oil-kitchen',
  name: 'rapeseed oil, kitchen grade',
  tension: [34, -0.075],
  waterTension: 15,
  sources: plantOilNotes(VISCOSITY, KITCHEN_WATER_TENSION),
})
