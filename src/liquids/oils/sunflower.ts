import { CLEAN_WATER_TENSION, KITCHEN_WATER_TENSION, makeOil, type OilData, plantOilNotes } from '../oil.ts'

const VISCOSITY = '62 mPa·s at 20 °C, 31 at 40 °C, Andrade law between'

const clean: OilData = {
  id: 'sunflower-oil',
  name: 'sunflower oil',
  density: [920, -0.66],
  viscosity: [
    [293.15, 62],
    [313.15, 31],
  ],
  tension: [33, -0.075],
  waterTension: 24,
  sources: plantOilNotes(VISCOSITY, CLEAN_WATER_TENSION),
}

/** Sunflower oil, clean. */
export const sunflowerOil = makeOil(clean)

/** Sunflower oil as it comes from the kitchen: its traces of surfactants lower the tension against water. */
export const sunflowerOilKitchen = makeOil({
  ...clean,
  id: 'sunflower-oil-kitchen',
  name: 'sunflower oil, kitchen grade',
  tension: [34, -0.075],
  waterTension: 15,
  sources: plantOilNotes(VISCOSITY, KITCHEN_WATER_TENSION),
})
