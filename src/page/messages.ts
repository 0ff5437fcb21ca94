/** Messages to the user: what is wrong, what was kept; dismissible, never in the way of the rest. */
import { dismiss } from './actions.ts'
import { el } from './dom.ts'
import { cut } from './format.ts'
import { type Message, type Store, type View, watch } from './store.ts'

/** Most characters of a message that are shown: what a message quotes may be of any length. */
const LONGEST = 1500

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
  const text = el('p', {}, cut(message.text, LONGEST))
  const kept = message.kept ? [el('p', { class: 'kept' }, cut(message.kept, LONGEST))] : []
  const { action } = message
  const button = action
    ? [el('button', { type: 'button', class: 'act', onclick: () => action.run() }, action.label)]
    : []
  return el(
    'div',
    { class: `message ${message.kind}`, 'data-id': message.id },
    el('div', {}, text, ...kept, ...button),
    close,
  )
}

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
  const unwatch = watch(
    store,
    (state) => [state.messages],
    ([messages]) => {
      letGo(messages)
      const present = new Map([...root.children].map((child) => [(child as HTMLElement).dataset.id, child]))
      root.replaceChildren(...messages.map((message) => present.get(message.id) ?? card(message, store)))
    },
  )
  return {
    destroy() {
      unwatch()
      root.replaceChildren()
    },
  }
}
