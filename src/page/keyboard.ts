/** Keys that work anywhere on the page, unless something that takes text or its own keys has the focus. */
import { redo, setPlaying, undo } from './actions.ts'
import type { Store, View } from './store.ts'

const takesText = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement &&
  (target.isContentEditable || /^(TEXTAREA|SELECT)$/.test(target.tagName) || isTextInput(target))

const isTextInput = (target: HTMLElement): boolean =>
  target instanceof HTMLInputElement && !/^(range|checkbox|radio|button|file)$/.test(target.type)

const takesSpace = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement && target.closest('button, summary, a, input, select, [role=button]') !== null

/** What a key asks of the history; null if nothing, or if a field with a history of its own has the focus. */
export function historyKey(event: KeyboardEvent): 'undo' | 'redo' | null {
  if (takesText(event.target) || !(event.ctrlKey || event.metaKey)) return null
  const key = event.key.toLowerCase()
  if (key === 'z') return event.shiftKey ? 'redo' : 'undo'
  return key === 'y' ? 'redo' : null
}

export function followKeys(store: Store): View {
  const onKey = (event: KeyboardEvent) => {
    if (event.defaultPrevented || takesText(event.target)) return
    const command = event.ctrlKey || event.metaKey
    const step = historyKey(event)
    if (step === 'undo') undo(store)
    else if (step === 'redo') redo(store)
    else if (event.key === ' ' && !command && !takesSpace(event.target))
      setPlaying(store, !store.getState().playing)
    else return
    event.preventDefault()
  }
  addEventListener('keydown', onKey)
  return { destroy: () => removeEventListener('keydown', onKey) }
}
