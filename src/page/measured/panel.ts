/** The measured curves: list with residuals, ways in and out, editor, removed ones. */

import type { MeasuredCurve } from '../../measured/types.ts'
import { usedCount } from '../../measured/usable.ts'
import { removeCurve, showCurve, undo } from '../actions.ts'
import { el, oncePerFrame } from '../dom.ts'
import { chooseFiles, takePasted } from '../files.ts'
import { plain } from '../format.ts'
import { type State, type Store, type View, watch } from '../store.ts'
import { lookOf } from '../theme.ts'
import { loadDemo } from './demo.ts'
import { createEditor } from './editor.ts'
import { inTurn } from './inTurn.ts'
import type { KeeperHere } from './keepingHere.ts'
import './measured.css'
import { besideIn, residualDetail, residualSentence } from './residual.ts'
import { createRuns } from './runs.ts'
import { saveCurves, saveTable } from './saving.ts'
import { createStatus, createTrash } from './status.ts'
import { curveSwatch } from './swatch.ts'

/** "60 % by mass, 10 µL, 36 points, 2 set aside" */
function aboutCurve(curve: MeasuredCurve): string {
  const { alcoholFraction, fractionBasis = 'mass', alcohol, volume_uL } = curve.meta
  const kind = alcohol ? ` ${alcohol}` : ''
  const aside = curve.time.length - usedCount(curve)
  return [
    alcoholFraction === undefined
      ? kind.trim()
      : `${plain(alcoholFraction * 100, 3).replace(/\.0+$/, '')} %${kind} by ${fractionBasis}`,
    volume_uL === undefined ? '' : `${plain(volume_uL, 3).replace(/\.0+$/, '')} µL`,
    `${curve.time.length} points`,
    aside > 0 ? `${aside} set aside` : '',
  ]
    .filter(Boolean)
    .join(', ')
}

function row(curve: MeasuredCurve, index: number, state: State, store: Store, edit: () => void): HTMLElement {
  const box = el('input', { type: 'checkbox', checked: !state.hidden.has(curve.id) })
  box.setAttribute('aria-label', `Show ${curve.name}`)
  box.addEventListener('change', () => showCurve(store, curve.id, box.checked))
  const button = (text: string, act: () => void) =>
    el('button', { type: 'button', 'aria-label': `${text} ${curve.name}`, onclick: act }, text)
  return el(
    'li',
    { 'data-curve': curve.id },
    el('label', { class: 'tick' }, box),
    curveSwatch(curve, lookOf(state.measured, index)),
    el('span', { class: 'name', title: curve.file }, curve.name),
    el('span', { class: 'figures' }, aboutCurve(curve)),
    el('span', { class: 'figures rms' }),
    button('Edit', edit),
    button('Remove', () => removeCurve(store, curve.id)),
  )
}

function createPasteBox(store: Store): HTMLElement {
  const area = el('textarea', { rows: 5, 'aria-label': 'Table to be read' })
  const details = el(
    'details',
    { class: 'paste' },
    el('summary', {}, 'Paste a table'),
    el(
      'p',
      { class: 'note' },
      'Cells copied from a spreadsheet, or lines of text. You see how they are understood before they are taken. Without this box: Ctrl+V anywhere outside a field.',
    ),
    area,
  )
  const read = () => {
    takePasted(area.value, store)
    details.open = false
  }
  // What was pasted stays until something else is: it may not have been taken.
  details.addEventListener('toggle', () => {
    if (details.open) area.select()
  })
  details.append(el('button', { type: 'button', class: 'main', onclick: read }, 'Look at it'))
  return details
}

/** Buttons below the list. */
function createButtons(store: Store) {
  const button = (text: string, act: () => void, attributes = {}) =>
    el('button', { type: 'button', onclick: act, ...attributes }, text)
  const all = () => store.getState().measured
  const saving = [
    button('Save all to one file', () => saveCurves(all()), {
      title: 'Everything that is known; this page reads it again',
    }),
    button('Save all as a table', () => saveTable(all()), { title: 'CSV for other programs' }),
  ]
  const back = button('Undo removal', () => undo(store))
  const root = el(
    'div',
    { class: 'buttons' },
    button('Choose files', () => chooseFiles(store)),
    button('Show invented demo data', () => loadDemo(store)),
    ...saving,
    back,
  )
  return { root, saving, back }
}

export function createMeasured(root: HTMLElement, store: Store, keeper: KeeperHere): View {
  const list = el('ul', { class: 'list curves' })
  const empty = el(
    'p',
    { class: 'note' },
    'Measured curves are listed here and drawn over the life. Drop tables of time and radius anywhere on the page, paste them with Ctrl+V, or begin with the invented demo data.',
  )
  const { root: buttons, saving, back } = createButtons(store)
  const [editorRoot, runsRoot, statusRoot, trashRoot] = ['curve-editor', 'runs', 'keeping', 'wide'].map(
    (name) => el('div', { class: name }),
  )
  let removed = false
  root.append(
    el('h2', { id: 'measured-title', tabindex: -1 }, 'Curves'),
    empty,
    list,
    editorRoot!,
    buttons,
    runsRoot!,
    createPasteBox(store),
    statusRoot!,
    trashRoot!,
  )
  const editor = createEditor(editorRoot!, store, (id) =>
    (
      list.querySelector<HTMLElement>(`[data-curve="${CSS.escape(id)}"] button`) ?? root.querySelector('h2')
    )?.focus(),
  )
  const parts = [
    editor,
    createRuns(runsRoot!, store),
    createStatus(statusRoot!, store, keeper),
    createTrash(trashRoot!, store, keeper),
  ]

  function drawRows(state: State): void {
    const held = document.activeElement
    const label = list.contains(held) ? held?.getAttribute('aria-label') : null
    const rows = state.measured.map((curve, index) =>
      row(curve, index, state, store, () => editor.open(curve.id)),
    )
    list.replaceChildren(...rows)
    if (label)
      list.querySelector<HTMLElement>(`[aria-label="${CSS.escape(label)}"]`)?.focus({ preventScroll: true })
  }

  function drawResiduals(state: State): void {
    state.measured.forEach((curve, i) => {
      const place = list.children[i]?.querySelector<HTMLElement>('.rms')
      const beside = besideIn(state, curve)
      if (!place) return
      place.textContent = residualSentence(beside)
      place.title = residualDetail(beside)
    })
  }

  let seen: State | null = null
  const draw = oncePerFrame(() => {
    const state = store.getState()
    empty.hidden = state.measured.length > 0
    back.hidden = !removed
    for (const one of saving) one.hidden = state.measured.length === 0
    if (state.measured !== seen?.measured || state.hidden !== seen.hidden) drawRows(state)
    inTurn(store, drawResiduals)
    seen = state
  })
  const unwatchRemoval = store.subscribe((state, before) => {
    if (state.measured !== before.measured) removed = state.measured.length < before.measured.length
    else if (state.past !== before.past) removed = false
  })
  const unwatch = watch(
    store,
    ({ measured, hidden, life, ownLives, past }) => [measured, hidden, life, ownLives, past],
    draw,
  )
  return {
    destroy() {
      unwatch()
      unwatchRemoval()
      for (const part of parts) part.destroy()
      root.replaceChildren()
    },
  }
}
