/** The lab sheet of one drop: recipe, dish, what to expect, camera, cautions. Pure data; fits on one A4. */
import { offNotice } from '../../life/mechanisms.ts'
import type { Problem } from '../../life/types.ts'
import { given } from '../figures.ts'
import { recipeOf } from '../recipe.ts'
import { pairNames, strengthText } from '../threshold.ts'
import { cameraRows } from './cameraRows.ts'
import { cautionRows } from './cautions.ts'
import { expectedRows } from './expectedRows.ts'
import { bathRows, recipeRows } from './makingRows.ts'
import { figuresOf } from './numbers.ts'
import type { LabSheet, SheetResult, SheetWish } from './types.ts'

function countProblem(where: string, value: number, min: number, max: number): Problem[] {
  if (Number.isInteger(value) && value >= min && value <= max) return []
  return [
    { where, message: `The number of ${where} is ${value}. Permitted: whole numbers from ${min} to ${max}.` },
  ]
}

function problemsOf({ life, frames, pixels }: SheetWish): Problem[] {
  const problems = [
    ...countProblem('frames', frames, 2, 100_000),
    ...countProblem('pixels', pixels, 16, 100_000),
  ]
  if (life.preset.drop.alcohol === 'reference') {
    const message =
      'The reference liquids exist only as formulas: choose a real alcohol and a real oil for a lab sheet.'
    problems.push({ where: 'drop.alcohol', message })
  }
  if (life.status !== 'done' || life.summary.outcome === 'failed') {
    const message = `The life is not complete${life.summary.cause ? `: ${life.summary.cause}` : '.'}`
    problems.push({ where: 'life', message })
  }
  return problems
}

/** Lays the sheet out. Problems come back as messages; nothing is guessed. */
export function labSheet(wish: SheetWish): SheetResult {
  const { life } = wish
  const problems = problemsOf(wish)
  if (problems.length > 0) return { ok: false, problems }
  const { drop, air } = life.preset
  const made = recipeOf({
    alcohol: drop.alcohol,
    liquids: life.preset.liquids,
    stock: wish.stock,
    want: { by: 'mass', value: drop.alcoholMassFraction },
    volume_mL: wish.mixture_mL,
    temperature_C: air.temperature_C,
    ...(wish.pipette ? { pipette: wish.pipette } : {}),
  })
  if (!made.ok) return made
  const figures = figuresOf(wish, made.recipe)
  const { alcohol, oil } = pairNames(life.preset)
  const { want, stock } = made.recipe
  const sheet: LabSheet = {
    title: life.preset.title || `${alcohol} and water on ${oil}`,
    note: `${alcohol} and water, ${strengthText(life.preset, drop.alcoholMassFraction)}, on ${oil} at ${given(air.temperature_C)} °C. Expected by a model, not measured.`,
    notice: offNotice(life.preset),
    sections: [
      {
        title: 'Cautions',
        rows: cautionRows(drop.alcohol, want.percent, stock.percent, air.temperature_C, life.preset.liquids),
      },
      { title: 'Mixture', rows: recipeRows(figures) },
      { title: 'Drop and dish', rows: bathRows(life, figures) },
      { title: 'What to expect', rows: expectedRows(wish, figures) },
      { title: 'Camera', rows: cameraRows(figures) },
    ],
    figures,
  }
  return { ok: true, sheet }
}
