/** The controls: two large sliders above everything, the other keys of the preset in groups. */
import { GUI } from 'lil-gui'
import { KEYS } from '../../life/keys.ts'
import { defaultPreset } from '../../life/preset.ts'
import { redo, setPreset, undo } from '../actions.ts'
import { el } from '../dom.ts'
import { type Store, type View, watch } from '../store.ts'
import { idlePaths, idleReason } from './idle.ts'
import { createLargeSlider } from './large.ts'
import { addRow } from './row.ts'

const groups: readonly { name: string; title: string; open: boolean }[] = [
  { name: 'drop', title: 'Drop', open: true },
  { name: 'bath', title: 'Bath', open: true },
  { name: 'air', title: 'Air', open: true },
  { name: 'ring', title: 'Ring', open: true },
  { name: 'interface', title: 'Drop/oil tension', open: false },
  { name: 'model', title: 'Accuracy and model', open: false },
  { name: 'mechanisms', title: 'Mechanisms', open: false },
]

/** Keys that have a large slider of their own. */
const large = new Set(['drop.alcoholMassFraction', 'drop.volume_uL'])

function createHead(root: HTMLElement, store: Store): () => void {
  const button = (text: string, act: () => void) => el('button', { type: 'button', onclick: act }, text)
  const back = button('Undo', () => undo(store))
  const forth = button('Redo', () => redo(store))
  const reset = button('All to default', () => {
    const { title, note, liquids } = store.getState().preset
    setPreset(store, { ...defaultPreset(), title, note, ...(liquids ? { liquids } : {}) })
  })
  root.append(el('div', { class: 'controls-head' }, back, forth, reset))
  return watch(
    store,
    (state) => [state.past.length, state.future.length],
    ([past, future]) => {
      back.disabled = past === 0
      forth.disabled = future === 0
    },
  )
}

/** The reason as a tip, and as words in the label for those who hear the page. */
function tellWhy(row: HTMLElement, reason: string): void {
  row.title = reason
  const name = row.querySelector('.lil-name')
  const told = name?.querySelector('.why-idle') ?? el('span', { class: 'why-idle visually-hidden' })
  told.textContent = reason && ` (${reason})`
  name?.append(told)
}

let opened: ((path: string) => void) | null = null

/** Opens the group of a key, scrolls to its row and puts the focus into it. */
export const revealControl = (path: string): void => opened?.(path)

/** Builds both parts; `root` scrolls by itself on a wide screen. */
export function createControls(largeRoot: HTMLElement, root: HTMLElement, store: Store): View {
  const sliders = [
    createLargeSlider(largeRoot, store, {
      path: 'drop.alcoholMassFraction',
      id: 'strength',
      label: 'Strength, by mass',
    }),
    createLargeSlider(largeRoot, store, {
      path: 'drop.volume_uL',
      id: 'volume',
      label: 'Volume',
      logarithmic: true,
    }),
  ]
  const unwatch = [createHead(root, store)]
  const gui = new GUI({ container: root, injectStyles: false, title: 'All inputs' })
  const rows = new Map<string, HTMLElement>()
  const folders = new Map<string, GUI>()
  opened = (path) => {
    folders.get(path)?.open(true)
    const row = rows.get(path)
    row?.scrollIntoView({ block: 'center' })
    row?.querySelector<HTMLElement>('input:not(:disabled), select, button')?.focus()
  }
  for (const { name, title, open } of groups) {
    const folder = gui.addFolder(title)
    if (!open) folder.close()
    for (const key of KEYS.filter(({ path }) => path.startsWith(`${name}.`) && !large.has(path))) {
      const row = addRow(folder, key, store)
      rows.set(key.path, row.controller.domElement)
      folders.set(key.path, folder)
      unwatch.push(row.destroy)
    }
  }
  unwatch.push(
    watch(
      store,
      ({ preset }) => idlePaths.map((path) => idleReason(path, preset)),
      (told) => {
        told.forEach((reason, i) => {
          const row = rows.get(idlePaths[i]!)
          row?.classList.toggle('idle', reason !== '')
          if (row) tellWhy(row, reason)
        })
      },
    ),
  )
  return {
    destroy() {
      for (const end of unwatch) end()
      for (const slider of sliders) slider.destroy()
      gui.destroy()
      root.replaceChildren()
    },
  }
}
