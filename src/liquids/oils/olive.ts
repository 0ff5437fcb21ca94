import { CLEAN_WATER_TENSION, makeOil, plantOilNotes } from '../oil.ts'

/** Olive oil. */
export const oliveOil = makeOil({
  id: 'olive-oil',
  name: 'olive oil',
  density: [913, -0.66],
  viscosity: [
    [293.15, 84],
    [313.15, 37],
  ],
  tension: [33, -0.075],
  waterTension: 24,
  sources: plantOilNotes('84 mPa·s at 20 °C, 37 at 40 °C, Andrade law between', CLEAN_WATER_TENSION),
})
