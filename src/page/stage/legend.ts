/** The stage's legend: what the colours show, with unit and ticks, and the choice of it. */
import { setColourBy } from '../actions.ts'
import { cssColour, tableSize } from '../colour.ts'
import { type ColourScale, legendText, placeOf, tickText } from '../colourScale.ts'
import { el } from '../dom.ts'
import type { ColourBy, Store } from '../store.ts'

const choices: readonly [ColourBy, string][] = [
  ['thickness', 'Thickness'],
  ['alcohol', 'Alcohol fraction'],
  ['tension', 'Tension'],
  ['speed', 'Surface speed'],
]

/** CSS gradient through a colour table. */
export function gradientOf(table: Uint8Array): string {
  const stops = Array.from({ length: 17 }, (_, i) => {
    const x = Math.round((i / 16) * (tableSize - 1)) / (tableSize - 1)
    return `${cssColour(table, x)} ${(100 * i) / 16}%`
  })
  return `linear-gradient(to right, ${stops.join(', ')})`
}

export class Legend {
  readonly root: HTMLElement
  private readonly select = el('select', { 'aria-label': 'Colour the drop by' })
  private readonly unit = el('span', { class: 'stage-legend-unit' })
  private readonly bar = el('div', { class: 'stage-legend-bar' })
  private readonly ticks = el('div', { class: 'stage-legend-ticks', 'aria-hidden': 'true' })
  private readonly words = el('span', { class: 'visually-hidden' })

  constructor(store: Store) {
    for (const [value, text] of choices) this.select.add(new Option(text, value))
    this.select.addEventListener('change', () => setColourBy(store, this.select.value as ColourBy))
    this.root = el(
      'div',
      { class: 'stage-legend' },
      el('div', { class: 'stage-legend-head' }, this.select, this.unit),
      this.bar,
      this.ticks,
      this.words,
    )
  }

  set(scale: ColourScale, table: Uint8Array): void {
    this.select.value = scale.quantity
    const note = scale.logarithmic ? 'log' : scale.quantity === 'speed' ? 'out +' : ''
    this.unit.textContent = [scale.unit || 'by volume', note].filter(Boolean).join(', ')
    this.bar.style.background = gradientOf(table)
    this.words.textContent = legendText(scale)
    this.ticks.replaceChildren(
      ...scale.ticks.map((tick) => {
        const mark = el('span', {}, tickText(tick))
        mark.style.left = `${100 * placeOf(scale, tick / scale.perUnit)}%`
        return mark
      }),
    )
  }
}
