/** The chosen drops as runs in random order, so that what changes in the course of a day does not fall in with what is varied. */

import type { Preset } from '../../life/types.ts'
import { massFractionOfPercent } from '../../liquids/composition.ts'
import { hazardNamed, mixtureNamed } from '../../liquids/own/resolve.ts'
import type { CurveMeta } from '../../measured/types.ts'
import { randomStream, shuffled } from '../../numerics/sampling/random.ts'
import { figure, given } from '../figures.ts'
import type { Pipette } from '../pipette.ts'
import { recipeOf } from '../recipe.ts'
import type { Strength } from '../strength.ts'
import { column, type Table } from '../table.ts'
import type { Choice, Varied } from './types.ts'
import { cellOf, dropWords, headOf } from './words.ts'

export interface PlannedRun {
  /** From 1, in the order in which they are put down. */
  run: number
  candidate: number
  words: string
  /** What a curve of it states. */
  meta: CurveMeta
}

/** All runs in an order that hangs on the seed alone. */
export function plannedRuns({ drops, seen, vary, seed }: Choice, preset: Preset): PlannedRun[] {
  const all = drops.flatMap(({ candidate, times }) => new Array<number>(times).fill(candidate))
  const order = shuffled(all.length, randomStream(seed ^ 0x5eed))
  return Array.from(order, (place, i) => {
    const candidate = all[place]!
    const { values, meta } = seen[candidate]!
    return { run: i + 1, candidate, words: dropWords(vary, values, preset), meta }
  })
}

/** What all runs have in common: what is not varied. */
export function commonWords({ vary }: Choice, preset: Preset): string {
  const { drop, bath, air } = preset
  const closed = drop.alcohol === 'reference'
  const same: Varied[] = [
    { key: 'drop.alcoholMassFraction', values: [drop.alcoholMassFraction] },
    { key: 'drop.volume_uL', values: [drop.volume_uL] },
    { key: 'bath.liquid', values: [bath.liquid] },
    { key: 'bath.depth_mm', values: [bath.depth_mm] },
    ...(closed ? [] : [{ key: 'air.temperature_C', values: [air.temperature_C] }]),
  ].filter(({ key }) => !vary.some((one) => one.key === key))
  const values = same.map(({ values: [value] }) => value!)
  const words = [dropWords(same, values, preset), `dish ${given(2 * bath.dishRadius_mm)} mm wide`]
  return `All runs: ${words.filter(Boolean).join(', ')}.`
}

/** Boxes to be filled in by hand, as columns. */
const BOXES = ['Touch-down at', 'Room, °C', 'File', 'Seen'] as const

/** The runs as a table: what varies, then boxes to be filled in. */
export function planTable(choice: Choice, preset: Preset): Table {
  const heads = choice.vary.map(({ key }) => headOf(key, preset))
  return {
    title: `Runs in random order (seed ${choice.seed})`,
    columns: [
      column('run', 'Run'),
      ...heads.map(({ label, unit }) => column(label.toLowerCase(), label, unit)),
      ...BOXES.map((label) => column(label.toLowerCase().replace(/[^a-z]+/g, '_'), label)),
    ],
    rows: plannedRuns(choice, preset).map(({ run, candidate }) => [
      String(run),
      ...choice.vary.map(({ key }, j) => cellOf(key, choice.seen[candidate]!.values[j]!, preset)),
      ...BOXES.map(() => ''),
    ]),
  }
}

export interface Bottle {
  stock: Strength
  mixture_mL: number
  pipette: Pipette
}

/** How each strength of the runs is mixed from the bottle at hand, a line each; what cannot be mixed is said. */
export function mixingLines(choice: Choice, preset: Preset, bottle: Bottle): string[] {
  const { alcohol } = preset.drop
  if (alcohol === 'reference')
    return ['The closed-form liquids cannot be mixed: they stand for no real ones.']
  const wanted = new Set(
    choice.drops.map(({ candidate }) => {
      const { alcoholFraction, fractionBasis } = choice.seen[candidate]!.meta
      if (alcoholFraction === undefined) return preset.drop.alcoholMassFraction
      const mixture = mixtureNamed(alcohol, preset.liquids)
      return fractionBasis === 'volume' && mixture
        ? massFractionOfPercent(mixture, 100 * alcoholFraction)
        : alcoholFraction
    }),
  )
  return [...wanted]
    .toSorted((a, b) => a - b)
    .map((w) => {
      const head = `${figure(100 * w)} % by mass: `
      const made = recipeOf({
        alcohol,
        stock: bottle.stock,
        want: { by: 'mass', value: w },
        volume_mL: bottle.mixture_mL,
        temperature_C: preset.air.temperature_C,
        pipette: bottle.pipette,
        liquids: preset.liquids,
      })
      if (!made.ok) return head + made.problems.map(({ message }) => message).join(' ')
      const { stock_mL, stock_g, water_mL, water_g } = made.recipe
      return `${head}${figure(stock_mL)} mL of the bottle (${figure(stock_g)} g) and ${figure(water_mL)} mL of water (${figure(water_g)} g).`
    })
}

/** What can hurt, as everywhere in the program. */
export const planCautions = ({ drop, liquids }: Preset): readonly string[] =>
  hazardNamed(drop.alcohol, liquids)?.cautions ?? []
