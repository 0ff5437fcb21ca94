/** The measured curves: list with residuals, hide, remove. */
import type { MeasuredCurve } from '../../measured/types.ts'
import { removeCurve, showCurve, undo } from '../actions.ts'
import { markerPath } from '../clock/drawing.ts'
import { el, oncePerFrame, svg } from '../dom.ts'
import { chooseFiles, takeTable } from '../files.ts'
import { type State, type Store, type View, watch } from '../store.ts'
import { curveStyle } from '../theme.ts'
import type { KeeperHere } from './keepingHere.ts'
import { comparison, residualDetail, residualText } from './residual.ts'
import { createStatus, createTrash } from './status.ts'

const demos = import.meta.glob<string>('../../presets/*.csv', {
  query: '?raw',
  import: 'default',
  eager: true,
})

/** A small picture of a measured curve's marker. */
export function markerSwatch(curve: MeasuredCurve, index: number): SVGElement {
  const { colour, marker } = curveStyle(curve, index)
  const path = svg('path', { d: markerPath(marker, 6, 6), fill: colour })
  return svg(
    'svg',
    { class: 'swatch', viewBox: '0 0 12 12', width: 12, height: 12, 'aria-hidden': 'true' },
    path,
  )
}

function row(curve: MeasuredCurve, index: number, state: State, store: Store): HTMLElement {
  const shown = !state.hidden.has(curve.id)
  const box = el('input', {
    type: 'checkbox',
    checked: shown,
    'aria-label': `Show ${curve.name}`,
    onchange: () => showCurve(store, curve.id, box.checked),
  })
  const remove = () => removeCurve(store, curve.id)
  const compared = comparison(state.life, curve)
  return el(
    'li',
    { 'data-curve': curve.id },
    box,
    markerSwatch(curve, index),
    el('span', { class: 'name', title: curve.file }, curve.name),
    el('span', { class: 'figures' }, `${curve.time.length} points`),
    el('span', { class: 'figures rms', title: residualDetail(compared) }, residualText(compared)),
    el('button', { type: 'button', 'aria-label': `Remove ${curve.name}`, onclick: remove }, 'Remove'),
  )
}

function createButtons(store: Store): HTMLElement {
  const encode = (text: string) => new TextEncoder().encode(text)
  const demo = Object.entries(demos).map(([path, text]) => {
    const name = path.slice(path.lastIndexOf('/') + 1)
    const load = () => takeTable(name, encode(text), store)
    return el('button', { type: 'button', onclick: load, title: name }, 'Show invented demo data')
  })
  const choose = el('button', { type: 'button', onclick: () => chooseFiles(store) }, 'Choose files')
  return el('div', { class: 'buttons' }, choose, ...demo)
}

export function createMeasured(root: HTMLElement, store: Store, keeper: KeeperHere): View {
  const list = el('ul', { class: 'list' })
  const empty = el(
    'p',
    { class: 'note' },
    'Drop tables (CSV) of time and radius anywhere on the page. Units stand in the header, as in “t (s)” and “R (mm)”, or are asked for.',
  )
  const back = el('button', { type: 'button', onclick: () => undo(store) }, 'Undo removal')
  let removed = false
  root.append(
    el('h2', { id: 'measured-title', tabindex: -1 }, 'Measured'),
    empty,
    list,
    createButtons(store),
    back,
  )
  const statusRoot = el('div', { class: 'keeping' })
  const trashRoot = el('div', { class: 'wide' })
  root.append(statusRoot, trashRoot)
  const parts = [createStatus(statusRoot, store, keeper), createTrash(trashRoot, store, keeper)]
  const draw = oncePerFrame(() => {
    const state = store.getState()
    empty.hidden = state.measured.length > 0
    back.hidden = !removed
    list.replaceChildren(...state.measured.map((curve, index) => row(curve, index, state, store)))
  })
  const unwatchRemoval = store.subscribe((state, before) => {
    if (state.measured !== before.measured) removed = state.measured.length < before.measured.length
    else if (state.past !== before.past) removed = false
  })
  const unwatch = watch(store, ({ measured, hidden, life, past }) => [measured, hidden, life, past], draw)
  return {
    destroy() {
      unwatch()
      unwatchRemoval()
      for (const part of parts) part.destroy()
      root.replaceChildren()
    },
  }
}
