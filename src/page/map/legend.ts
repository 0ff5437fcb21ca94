/** Legend of the map: letters of the outcomes, with swatches or a scale. */
import { outcomeLetter, outcomeWord } from '../controls/track.ts'
import { el } from '../dom.ts'
import { gradientOf } from '../stage/legend.ts'
import { STATES, swatchColour } from './mapData.ts'
import { type OutputScale, outputTitle, placeIn, scaleNumbers } from './outputScale.ts'
import { NONE, type Painted } from './painted.ts'

/** Places in `STATES` of the outcomes that a map shows. */
export const kindsShown = ({ grid }: Painted): number[] => {
  const met = new Set(Array.from(grid.kinds))
  return STATES.map((_, kind) => kind).filter((kind) => met.has(kind))
}

/** Whether a point is shown whose life does not have the number. */
export const hasNone = ({ values, grid, scale }: Painted): boolean =>
  values !== null &&
  Array.from(grid.kinds).some(
    (kind, k) =>
      kind >= 0 &&
      STATES[kind] !== 'failed' &&
      STATES[kind] !== 'not-permitted' &&
      !(scale && Number.isFinite(values[k]!)),
  )

/** Entries for what the map has. @param paper colour of the page behind it */
export function mapLegend(painted: Painted, paper: string): HTMLElement[] {
  const { by, scale } = painted
  const letters = kindsShown(painted).map((kind) => {
    const outcome = STATES[kind]!
    const swatch = el('span', { class: 'letter' }, outcomeLetter[outcome])
    if (by === 'outcome') swatch.style.background = swatchColour(outcome, paper)
    return el('span', { class: 'entry' }, swatch, outcomeWord[outcome])
  })
  const entries = scale ? [scaleEntry(scale), ...letters] : letters
  if (hasNone(painted))
    entries.push(el('span', { class: 'entry' }, el('span', { class: `letter ${NONE}` }), 'no such number'))
  return entries
}

function scaleEntry(scale: OutputScale): HTMLElement {
  const bar = el('span', { class: 'scale-bar' })
  bar.style.background = gradientOf(scale.table)
  const numbers = scaleNumbers(scale, scale.ticks)
  const ticks = scale.ticks.map((tick, i) => {
    const at = el('span', { class: 'tick' }, numbers[i]!)
    at.style.left = `${100 * placeIn(scale, tick)}%`
    return at
  })
  return el(
    'span',
    { class: 'entry scale' },
    el('span', {}, outputTitle(scale.output)),
    el('span', { class: 'scale-box' }, bar, el('span', { class: 'ticks' }, ...ticks)),
  )
}
