import { CLEAN_WATER_TENSION, makeOil, plantOilNotes } from '../oil.ts'

/** Soybean oil. */
export const soybeanOil = makeOil({
  id: 'soybean-oil',
  name: 'soybean oil',
  density: [920, -0.66],
  viscosity: [
    [293.15, 58],
    [313.15, 30.5],
  ],
  tension: [33, -0.075],
  waterTension: 24,
  sources: plantOilNotes('58 mPa·s at 20 °C, 30.5 at 40 °C, Andrade law between', CLEAN_WATER_TENSION),
})
