/** Rows of the lab sheet on what is made ready: mixture, drop, bath and dish. */
import type { Life } from '../../life/types.ts'
import { figure, given } from '../figures.ts'
import { strengthWords } from '../strength.ts'
import { pairNames } from '../threshold.ts'
import { row, type SheetFigures, type SheetRow } from './types.ts'

export function recipeRows({ recipe }: SheetFigures): SheetRow[] {
  const { errors } = recipe
  const measured = (mL: number, error: number, g: number) =>
    row('', mL, 'mL', `or ${figure(g)} g${error > 0 ? `; pipette ± ${figure(error, 2)} mL` : ''}`)
  return [
    row('Wanted', strengthWords(recipe.want)),
    row('Stock', strengthWords(recipe.stock)),
    { ...measured(recipe.stock_mL, errors.stock_mL, recipe.stock_g), label: 'Measure stock' },
    { ...measured(recipe.water_mL, errors.water_mL, recipe.water_g), label: 'Measure water' },
    row(
      'Gives',
      recipe.volume_mL,
      'mL',
      `${figure(recipe.contraction_mL, 2)} mL are lost on mixing; at ${given(recipe.temperature_C)} °C`,
    ),
    row(
      'Strength',
      `± ${figure(100 * errors.largest, 2)}`,
      '% by mass',
      'with the pipette alone; weighing is more accurate',
    ),
    ...recipe.notes.map((note) => row('Note', note)),
  ]
}

export function bathRows(life: Life, f: SheetFigures): SheetRow[] {
  const { drop, bath } = life.preset
  const narrow = bath.dishRadius_mm < f.smallestDish_mm ? 'THIS DISH IS TOO NARROW; ' : ''
  return [
    row(
      'Drop',
      given(drop.volume_uL),
      'µL',
      `${figure(f.dropsPer_mL)} drops per mL; set down ${given(2 * drop.startRadius_mm)} mm wide`,
    ),
    row(
      'Oil',
      f.oil_mL,
      'mL',
      `or ${figure(f.oil_g)} g of ${pairNames(life.preset).oil}: ${given(bath.depth_mm)} mm deep in a dish ${given(2 * bath.dishRadius_mm)} mm wide (flat floor)`,
    ),
    row('Smallest dish', given(2 * f.smallestDish_mm), 'mm wide', `${narrow}${f.smallestDishBy}`),
  ]
}
