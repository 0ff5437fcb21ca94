/** Legend of the map: letters of the outcomes, with swatches or a scale. */
import type { OutcomeMap, PointState } from '../../plan/outcomeMap.ts'
import { outcomeLetter, outcomeWord } from '../controls/track.ts'
import { el } from '../dom.ts'
import { gradientOf } from '../stage/legend.ts'
import { type MapColour, scaleTable, swatchColour, topOf } from './mapData.ts'

const legendOrder: readonly PointState[] = [
  'lens',
  'spreads',
  'recedes',
  'sheds',
  'dries',
  'reaches-wall',
  'failed',
]

/** Entries for the outcomes that the map has. @param paper colour of the page behind it */
export function mapLegend(of: OutcomeMap, by: MapColour, paper: string): HTMLElement[] {
  const letters = legendOrder
    .filter((outcome) => of.outcome.includes(outcome))
    .map((outcome) => {
      const swatch = el('span', { class: 'letter' }, outcomeLetter[outcome])
      if (by === 'outcome') swatch.style.background = swatchColour(outcome, paper)
      return el('span', { class: 'entry' }, swatch, outcomeWord[outcome])
    })
  const top = topOf(of, by)
  return by === 'outcome' || Number.isNaN(top) ? letters : [...letters, scaleEntry(by, top)]
}

function scaleEntry(by: MapColour, top: number): HTMLElement {
  const scale = el('span', { class: 'scale-bar' })
  scale.style.background = gradientOf(scaleTable)
  const unit = by === 'maxRadius' ? `${1e3 * top} mm` : `${top} s`
  return el('span', { class: 'entry' }, '0', scale, unit)
}
