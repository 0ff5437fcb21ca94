/** The stage's legend: what the colours show, with unit and ticks, and the choice of it. */
import { setColourBy, setDye, setWavelength } from '../actions.ts'
import { cssColour, tableSize } from '../colour.ts'
import { legendText, placeOf, tickText } from '../colourScale.ts'
import { el } from '../dom.ts'
import type { ColourBy, Store } from '../store.ts'
import type { Look } from './look.ts'

const choices: readonly [ColourBy, string][] = [
  ['thickness', 'Thickness'],
  ['alcohol', 'Alcohol fraction'],
  ['tension', 'Tension'],
  ['speed', 'Surface speed'],
  ['white', 'As seen: white light'],
  ['mono', 'As seen: one wavelength'],
  ['dyed', 'As seen: dyed'],
]

/** CSS gradient through a colour table; fringes want many parts. */
export function gradientOf(table: Uint8Array, parts = 16): string {
  const stops = Array.from({ length: parts + 1 }, (_, i) => {
    const x = Math.round((i / parts) * (tableSize - 1)) / (tableSize - 1)
    return `${cssColour(table, x)} ${(100 * i) / parts}%`
  })
  return `linear-gradient(to right, ${stops.join(', ')})`
}

/** "Thick is dark." in the row of the unit. */
const short = (note = ''): string => note.toLowerCase().replace('.', '')

/** A number with its unit. What lies outside the limits is refused in words, and the last good one stays in force. */
function numberRow(
  label: string,
  unit: string,
  min: number,
  max: number,
  get: () => number,
  set: (value: number) => void,
): HTMLElement {
  const input = el('input', { type: 'number', min, max, step: 'any', value: get() })
  input.addEventListener('change', () => {
    const value = input.valueAsNumber
    const good = value >= min && value <= max
    input.setCustomValidity(good ? '' : `${label}: a number from ${min} to ${max} (${unit}).`)
    if (good) set(value)
    else input.reportValidity()
  })
  return el('label', { class: 'stage-legend-number', hidden: true }, `${label} `, input, ` ${unit}`)
}

export class Legend {
  readonly root: HTMLElement
  private readonly select = el('select', { 'aria-label': 'Colour the drop by' })
  private readonly unit = el('span', { class: 'stage-legend-unit' })
  private readonly bar = el('div', { class: 'stage-legend-bar' })
  private readonly ticks = el('div', { class: 'stage-legend-ticks', 'aria-hidden': 'true' })
  /** What else must be known; belongs under the picture, where it hides nothing. */
  readonly note = el('p', { class: 'stage-caption stage-look', hidden: true })
  private readonly wavelength: HTMLElement
  private readonly dye: HTMLElement
  private readonly words = el('span', { class: 'visually-hidden' })

  constructor(store: Store) {
    for (const [value, text] of choices) this.select.add(new Option(text, value))
    this.select.addEventListener('change', () => setColourBy(store, this.select.value as ColourBy))
    this.wavelength = numberRow(
      'Wavelength',
      'nm',
      400,
      700,
      () => store.getState().wavelength,
      (value) => setWavelength(store, value),
    )
    this.dye = numberRow(
      'Dye strength',
      'per mm',
      0,
      200,
      () => store.getState().dye,
      (value) => setDye(store, value),
    )
    this.root = el(
      'div',
      { class: 'stage-legend' },
      el('div', { class: 'stage-legend-head' }, this.select, this.unit),
      this.wavelength,
      this.dye,
      this.bar,
      this.ticks,
      this.words,
    )
  }

  set({ by, scale, table, film }: Look): void {
    this.select.value = by
    this.wavelength.hidden = by !== 'mono'
    this.dye.hidden = by !== 'dyed'
    this.note.textContent = film ? (scale.note ?? '') : ''
    this.note.hidden = !film
    const kind = scale.logarithmic ? 'log' : scale.quantity === 'speed' ? 'out +' : ''
    this.unit.textContent = [scale.unit || 'by volume', kind, film ? '' : short(scale.note)]
      .filter(Boolean)
      .join(', ')
    this.bar.style.background = gradientOf(table, film ? tableSize - 1 : 16)
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
