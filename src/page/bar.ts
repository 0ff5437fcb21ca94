/** The bar at the top: the drop's name, presets, file, link, light and dark. */

import type { Preset } from '../life/types.ts'
import { redo, say, setDrawer, setPhysics, setPreset, setRoom, undo } from './actions.ts'
import { el } from './dom.ts'
import { chooseFiles } from './files.ts'
import { forgetPreset, keepPreset, keptPresets, type Written } from './keptPresets.ts'
import { keptNotes, sayAside } from './keptView.ts'
import { linkTo } from './link.ts'
import { printPlace } from './places/printing.ts'
import { savePreset, shippedPresets } from './presets.ts'
import { type Store, type View, watch } from './store.ts'
import { createThemeChoice } from './theme.ts'

/** A button that opens a panel under it; Escape and a click outside close it. */
function createMenu(title: string, fill: (panel: HTMLElement, close: () => void) => void): HTMLElement {
  const panel = el('div', { class: 'menu-panel' })
  const menu = el('details', { class: 'menu' }, el('summary', {}, title), panel)
  const close = () => {
    // What is pressed in the menu goes with it: the focus stays at its head.
    const held = panel.contains(document.activeElement)
    menu.open = false
    if (held) menu.querySelector('summary')?.focus()
  }
  menu.addEventListener('toggle', () => {
    if (menu.open) fill(panel, close)
  })
  menu.addEventListener('keydown', (event) => {
    if (event.key !== 'Escape' || !menu.open) return
    close()
    menu.querySelector('summary')?.focus()
  })
  document.addEventListener('pointerdown', (event) => {
    if (menu.open && !menu.contains(event.target as Node)) close()
  })
  return menu
}

function presetButton(preset: Preset, store: Store, close: () => void): HTMLElement {
  const take = () => {
    setPreset(store, preset)
    close()
  }
  const note = preset.note ? [el('span', { class: 'note' }, preset.note)] : []
  return el(
    'button',
    { type: 'button', class: 'preset', onclick: take },
    el('span', {}, preset.title || 'untitled'),
    ...note,
  )
}

function sayWritten(store: Store, { aside, wrong }: Written, instead: string): void {
  sayAside(store, aside)
  if (wrong) say(store, 'error', wrong, instead)
}

function keptRow(preset: Preset, store: Store, refill: () => void, close: () => void): HTMLElement {
  const forget = () => {
    sayWritten(store, forgetPreset(preset.title), 'The list is as it was.')
    refill()
  }
  return el(
    'div',
    { class: 'kept-row' },
    presetButton(preset, store, close),
    el(
      'button',
      { type: 'button', 'aria-label': `Forget ${preset.title || 'untitled'}`, onclick: forget },
      'Forget',
    ),
  )
}

function fillPresets(panel: HTMLElement, store: Store, close: () => void): void {
  const refill = () => fillPresets(panel, store, close)
  const kept = keptPresets()
  sayAside(store, kept.aside)
  const rename = (title: string, note: string) =>
    setPreset(store, { ...store.getState().preset, title, note }, 'title')
  const { preset } = store.getState()
  const title = el('input', {
    type: 'text',
    maxlength: 200,
    value: preset.title,
    oninput: () => rename(title.value, note.value),
  })
  const note = el('textarea', { maxlength: 2000, rows: 3, oninput: () => rename(title.value, note.value) })
  note.value = preset.note
  const keep = () => {
    const written = keepPreset(store.getState().preset)
    sayWritten(store, written, 'The drop itself is still here: save it as a file instead.')
    refill()
  }
  panel.replaceChildren(
    el('h2', {}, 'Come with the page'),
    ...shippedPresets.map((shipped) => presetButton(shipped, store, close)),
    el('h2', {}, 'Kept in this browser'),
    ...(kept.presets.length > 0
      ? kept.presets.map((one) => keptRow(one, store, refill, close))
      : [el('p', { class: 'note' }, 'None yet.')]),
    ...keptNotes(kept, refill),
    el('h2', {}, 'The present drop'),
    el('label', {}, 'Title', title),
    el('label', {}, 'Note', note),
    el(
      'div',
      { class: 'buttons' },
      el('button', { type: 'button', onclick: keep }, 'Keep in this browser'),
      el('button', { type: 'button', onclick: () => savePreset(store.getState().preset) }, 'Save as file'),
    ),
  )
}

async function copyLink(store: Store): Promise<void> {
  const address = linkTo(store.getState())
  try {
    await navigator.clipboard.writeText(address)
    say(store, 'note', 'The link to this drop is copied.')
  } catch {
    history.replaceState(history.state, '', address)
    say(store, 'note', 'This browser does not let the page copy.', 'The link stands in the address bar.')
  }
}

const button = (text: string, act: () => void, attributes = {}): HTMLButtonElement =>
  el('button', { type: 'button', onclick: act, ...attributes }, text)

/** What is needed now and then; made when it is first opened. */
function fillMore(panel: HTMLElement, store: Store, close: () => void): void {
  const thenClose = (act: () => void) => () => {
    close()
    act()
  }
  if (panel.childElementCount > 0) return
  panel.replaceChildren(
    button(
      'Open file',
      thenClose(() => chooseFiles(store)),
    ),
    button(
      'Copy link',
      thenClose(() => void copyLink(store)),
    ),
    button(
      'For a classroom',
      thenClose(() => setRoom(store, true)),
    ),
    button(
      'Print this place',
      thenClose(() => void printPlace(store)),
    ),
  )
  createThemeChoice(panel, store)
}

/** What opens beside the drop: the physics in Watch, all inputs everywhere. */
function createTools(store: Store) {
  const physics = button('The physics', () => setPhysics(store, !store.getState().physics), {
    title: 'Section, pulls and traces beside the drop',
  })
  const inputs = button('All inputs', () => setDrawer(store, !store.getState().drawer), {
    'aria-controls': 'controls',
  })
  const unwatch = watch(
    store,
    (state) => [state.place, state.physics, state.drawer],
    ([place, shown, open]) => {
      physics.hidden = place !== 'watch'
      physics.setAttribute('aria-pressed', String(shown))
      inputs.setAttribute('aria-expanded', String(open))
    },
  )
  return { buttons: [physics, inputs], unwatch }
}

function createHistory(store: Store) {
  const back = button('Undo', () => undo(store))
  const forth = button('Redo', () => redo(store))
  const unwatch = watch(
    store,
    (state) => [state.past.length, state.future.length],
    ([past, future]) => {
      back.disabled = past === 0
      forth.disabled = future === 0
    },
  )
  return { buttons: [back, forth], unwatch }
}

export function createBar(root: HTMLElement, store: Store): View {
  const name = el('span', { class: 'drop-name' })
  const presets = createMenu('Presets', (panel, close) => fillPresets(panel, store, close))
  const more = createMenu('More', (panel, close) => fillMore(panel, store, close))
  const tools = createTools(store)
  const past = createHistory(store)
  root.append(name, ...tools.buttons, ...past.buttons, presets, more)
  const unwatch = watch(
    store,
    (state) => [state.preset.title],
    ([title]) => {
      name.textContent = title
      name.title = title
    },
  )
  return {
    destroy() {
      for (const end of [unwatch, tools.unwatch, past.unwatch]) end()
      root.replaceChildren()
    },
  }
}
