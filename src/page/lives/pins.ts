/** Pinned lives: kept for comparison, drawn as ghosts in every plot. */
import { offWords } from '../../life/mechanisms.ts'
import type { Life } from '../../life/types.ts'
import { addPin, removePin, say, setPreset } from '../actions.ts'
import { el, svg } from '../dom.ts'
import { duration, length, percent } from '../format.ts'
import { newId } from '../newId.ts'
import { type PinnedLife, type State, type Store, type View, watch } from '../store.ts'
import { seriesStyles } from '../theme.ts'

/** A short name for a life: what sets drops apart most often. */
export function labelFor({ preset }: Pick<Life, 'preset'>): string {
  const { alcohol, alcoholMassFraction, volume_uL } = preset.drop
  const kind = alcohol === 'reference' ? 'reference' : alcohol
  const off = offWords(preset)
  return `${percent(alcoholMassFraction, 3).replace(/\.0+ /, ' ')} ${kind}, ${volume_uL} µL${off && `, without ${off}`}`
}

/** The same life may come twice, the second time with its errors. */
const isOf = (life: Life) => (pin: PinnedLife) => pin.life.frames === life.frames

/** The present life as a pin with the first style that is free; null if there is none, or it is pinned already. */
function pinOf({ life, pins }: Pick<State, 'life' | 'pins'>): PinnedLife | null {
  if (life?.status !== 'done' || pins.some(isOf(life))) return null
  const style = seriesStyles.find(({ colour }) => pins.every((pin) => pin.colour !== colour))
  return style ? { id: newId('pin'), label: labelFor(life), life, ...style } : null
}

/** Pins the present life. */
export function pinLife(store: Store): void {
  const { life, pins, stale } = store.getState()
  if (!life || life.status === 'growing' || stale) {
    say(store, 'note', 'This life is still being worked out.', 'Pin it again in a moment.')
    return
  }
  if (pins.some(isOf(life))) return
  const pin = pinOf({ life, pins })
  if (!pin) {
    say(
      store,
      'note',
      `${seriesStyles.length} lives are pinned; more could not be told apart.`,
      'Remove one first.',
    )
    return
  }
  addPin(store, pin)
}

const swatch = ({ colour, dash }: PinnedLife): SVGElement =>
  svg(
    'svg',
    { class: 'swatch', viewBox: '0 0 40 10', width: 40, height: 10, 'aria-hidden': 'true' },
    svg('line', {
      x1: 0,
      x2: 40,
      y1: 5,
      y2: 5,
      stroke: colour,
      'stroke-width': 2.5,
      'stroke-dasharray': dash.join(' '),
    }),
  )

function row(pin: PinnedLife, store: Store): HTMLElement {
  const { maxRadius, lifeEnd } = pin.life.summary
  const button = (text: string, act: () => void) =>
    el('button', { type: 'button', 'aria-label': `${text}: ${pin.label}`, onclick: act }, text)
  return el(
    'li',
    {},
    swatch(pin),
    el('span', { class: 'name' }, pin.label),
    el('span', { class: 'figures' }, `${length(maxRadius)}, ${duration(lifeEnd)}`),
    button('Load', () => setPreset(store, pin.life.preset)),
    button('Remove', () => removePin(store, pin.id)),
  )
}

export function createPins(root: HTMLElement, store: Store): View {
  const list = el('ul', { class: 'list' })
  const empty = el(
    'p',
    { class: 'note' },
    'A pinned life stays as a ghost in every plot while you change the drop.',
  )
  root.append(
    el('h2', { id: 'pins-title' }, 'Pinned lives'),
    empty,
    list,
    el('button', { type: 'button', onclick: () => pinLife(store) }, 'Pin this life'),
  )
  const unwatch = watch(
    store,
    (state) => [state.pins],
    ([pins]) => {
      empty.hidden = pins.length > 0
      list.replaceChildren(...pins.map((pin) => row(pin, store)))
    },
  )
  return {
    destroy() {
      unwatch()
      root.replaceChildren()
    },
  }
}
