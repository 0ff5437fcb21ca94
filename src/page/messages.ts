/** Messages to the user: what is wrong, what was kept; dismissible, never in the way of the rest. */
import { dismiss } from './actions.ts'
import { el } from './dom.ts'
import { cut } from './format.ts'
import { type Message, type Store, type View, watch } from './store.ts'

/** Most characters of a message that are shown: what a message quotes may be of any length. */
const LONGEST = 1500

/** So little room that messages would cover what is worked on. */
const phone = '(max-width: 30em)'

const actionOf = ({ action }: Message): HTMLElement[] =>
  action ? [el('button', { type: 'button', class: 'act', onclick: () => action.run() }, action.label)] : []

const keptOf = ({ kept }: Message): HTMLElement[] =>
  kept ? [el('p', { class: 'kept' }, cut(kept, LONGEST))] : []

/** What a message sums up, each with what it can do; folded where there is little room. */
const partsOf = ({ parts = [] }: Message): HTMLElement[] =>
  parts.length === 0
    ? []
    : [
        el(
          'details',
          { open: !matchMedia(phone).matches },
          el('summary', {}, 'Each by itself'),
          el('ul', { class: 'told-parts' }, ...parts.map(partOf)),
        ),
      ]

const partOf = (one: Message): HTMLElement =>
  el('li', { class: one.kind }, el('p', {}, cut(one.text, LONGEST)), ...keptOf(one), ...actionOf(one))

function card(message: Message, store: Store): HTMLElement {
  const close = el(
    'button',
    {
      type: 'button',
      class: 'close',
      'aria-label': 'Dismiss this message',
      onclick: () => dismiss(store, message.id),
    },
    '×',
  )
  const count = message.times ? [el('span', { class: 'times' }, ` (${message.times} times)`)] : []
  const text = el('p', {}, cut(message.text, LONGEST), ...count)
  return el(
    'div',
    { class: `message ${message.kind}`, 'data-id': message.id },
    el('div', {}, text, ...partsOf(message), ...keptOf(message), ...actionOf(message)),
    close,
  )
}

/** A message that goes takes no focus with it: the next one gets it, or what all messages lie over. */
function keepFocusNear(root: HTMLElement): void {
  const main = document.querySelector('main')
  if (main) main.tabIndex = -1
  const next = root.querySelector<HTMLElement>('.close') ?? main
  next?.focus({ preventScroll: true })
}

/** Most messages in sight, and on a phone; older ones are folded. */
const mostInSight = 3
const mostOnPhone = 1

/** Notes that only confirm something go by themselves, ms; warnings and errors stay until they are dismissed. */
const noteStays = 12_000

export function createMessages(root: HTMLElement, store: Store): View {
  root.setAttribute('role', 'log')
  root.setAttribute('aria-live', 'polite')
  root.setAttribute('aria-label', 'Messages')
  const leaving = new Set<string>()
  const letGo = (messages: readonly Message[]) => {
    for (const { id, kind } of messages) {
      if (kind !== 'note' || leaving.has(id)) continue
      leaving.add(id)
      setTimeout(() => dismiss(store, id), noteStays)
    }
  }
  let unfolded = false
  const narrow = matchMedia(phone)
  const redraw = () => draw(store.getState().messages)
  narrow.addEventListener('change', redraw)
  const fold = el('button', { type: 'button', class: 'fold' })
  fold.addEventListener('click', () => {
    unfolded = !unfolded
    draw(store.getState().messages)
    fold.focus({ preventScroll: true })
  })
  const draw = (all: readonly Message[]) => {
    const most = narrow.matches ? mostOnPhone : mostInSight
    const folded = Math.max(0, all.length - most)
    if (folded === 0) unfolded = false
    const messages = unfolded ? all : all.slice(-most)
    fold.textContent = unfolded
      ? `Show the last ${most === 1 ? 'message' : 'three messages'} only`
      : `${folded} more ${folded === 1 ? 'message' : 'messages'}`
    fold.setAttribute('aria-expanded', String(unfolded))
    const present = new Map([...root.children].map((child) => [(child as HTMLElement).dataset.id, child]))
    const held = root.contains(document.activeElement)
    root.replaceChildren(
      ...(folded > 0 ? [fold] : []),
      ...messages.map((message) => present.get(message.id) ?? card(message, store)),
    )
    if (held && !root.contains(document.activeElement)) keepFocusNear(root)
    // The newest stands last, and the list may be longer than its room: it is read from its beginning.
    const newest = root.lastElementChild as HTMLElement | null
    if (newest && messages.some(({ id }) => !present.has(id)))
      root.scrollTop = unfolded ? 0 : newest.offsetTop
  }
  const unwatch = watch(
    store,
    (state) => [state.messages],
    ([messages]) => {
      letGo(messages)
      draw(messages)
    },
  )
  return {
    destroy() {
      unwatch()
      narrow.removeEventListener('change', redraw)
      root.replaceChildren()
    },
  }
}
