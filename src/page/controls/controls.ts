/** The controls: two large sliders above everything, the other keys of the preset in groups. */
import { GUI } from 'lil-gui'
import { KEYS } from '../../life/keys.ts'
import { defaultPreset } from '../../life/preset.ts'
import { setDrawer, setPreset } from '../actions.ts'
import { el } from '../dom.ts'
import { type Store, type View, watch } from '../store.ts'
import { groups } from './groups.ts'
import { createLargeSlider } from './large.ts'
import { pathsWithoutEffect, whyNoEffect } from './noEffect.ts'
import { addRow } from './row.ts'

/** Keys that have a large slider of their own. */
const large = new Set(['drop.alcoholMassFraction', 'drop.volume_uL'])

function createHead(root: HTMLElement, store: Store): void {
  const button = (text: string, act: () => void, attributes = {}) =>
    el('button', { type: 'button', onclick: act, ...attributes }, text)
  const reset = button('All to default', () => {
    const { title, note, liquids } = store.getState().preset
    setPreset(store, { ...defaultPreset(), title, note, ...(liquids ? { liquids } : {}) })
  })
  const shut = () => {
    setDrawer(store, false)
    document.querySelector<HTMLElement>('.bar [aria-controls="controls"]')?.focus()
  }
  const close = button('Close', shut, { 'aria-label': 'Close all inputs' })
  // On its way down: the groups let no key out. An open help closes first.
  const onKey = ({ key, target }: KeyboardEvent) => {
    const inHelp = (target as Element).closest('.help, .help-button[aria-expanded="true"]')
    if (key === 'Escape' && !inHelp) shut()
  }
  root.addEventListener('keydown', onKey, true)
  root.append(el('div', { class: 'controls-head' }, el('h2', {}, 'All inputs'), reset, close))
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

/** Opens all inputs and the group of a key, scrolls to its row and puts the focus into it. */
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
  const unwatch: (() => void)[] = []
  createHead(root, store)
  const gui = new GUI({ container: root, injectStyles: false, title: 'All inputs' })
  const rows = new Map<string, HTMLElement>()
  const folders = new Map<string, GUI>()
  opened = (path) => {
    setDrawer(store, true)
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
      ({ preset }) => pathsWithoutEffect.map((path) => whyNoEffect(path, preset)),
      (told) => {
        told.forEach((reason, i) => {
          const row = rows.get(pathsWithoutEffect[i]!)
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
