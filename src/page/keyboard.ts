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

export function followKeys(store: Store): View {
  const onKey = (event: KeyboardEvent) => {
    if (event.defaultPrevented || takesText(event.target)) return
    const command = event.ctrlKey || event.metaKey
    const key = event.key.toLowerCase()
    if (command && key === 'z' && !event.shiftKey) undo(store)
    else if (command && (key === 'y' || (key === 'z' && event.shiftKey))) redo(store)
    else if (key === ' ' && !command && !takesSpace(event.target))
      setPlaying(store, !store.getState().playing)
    else return
    event.preventDefault()
  }
  addEventListener('keydown', onKey)
  return { destroy: () => removeEventListener('keydown', onKey) }
}
