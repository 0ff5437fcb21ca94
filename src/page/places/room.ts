/**
 * The classroom: the drop and one sentence, as large as a room needs it. The keys that a presenter's remote sends ask the
 * question of a step, tell its answer, and go on; Escape, or the button, leads back.
 */
import { setRoom } from '../actions.ts'
import { el } from '../dom.ts'
import { presentStep } from '../explain/stepping.ts'
import { type Store, type View, watch } from '../store.ts'

/** By how many steps a key goes on. */
const moves: Readonly<Record<string, number>> = {
  ArrowRight: 1,
  ArrowDown: 1,
  PageDown: 1,
  Enter: 1,
  ArrowLeft: -1,
  ArrowUp: -1,
  PageUp: -1,
  Backspace: -1,
}

/** The whole screen, where the browser lets the page have it: nothing hangs on it. */
const takeScreen = (): void => {
  document.documentElement.requestFullscreen?.().catch(() => {})
}
const giveScreen = (): void => {
  if (document.fullscreenElement) document.exitFullscreen().catch(() => {})
}

export function followRoom(store: Store): View {
  const leave = el(
    'button',
    { type: 'button', class: 'leave-room', onclick: () => setRoom(store, false) },
    'Leave',
  )
  let before: Element | null = null

  const onKey = (event: KeyboardEvent) => {
    if (!store.getState().room || event.ctrlKey || event.metaKey || event.altKey) return
    const move = moves[event.key]
    if (event.key === 'Escape') setRoom(store, false)
    // Whoever stands on the button presses it with Enter.
    else if (move === undefined || (event.key === 'Enter' && event.target === leave)) return
    else presentStep(move)
    event.preventDefault()
    event.stopPropagation()
  }
  /** The browser's own way out of the whole screen is a way out of the classroom. */
  const onScreen = () => {
    if (!document.fullscreenElement) setRoom(store, false)
  }
  addEventListener('keydown', onKey, true)
  document.addEventListener('fullscreenchange', onScreen)
  const unwatch = watch(
    store,
    ({ room }) => [room],
    ([room]) => {
      if (room) {
        before = document.activeElement
        document.body.append(leave)
        takeScreen()
        leave.focus({ preventScroll: true })
        return
      }
      if (!leave.isConnected) return
      leave.remove()
      giveScreen()
      if (before instanceof HTMLElement && before.checkVisibility()) before.focus({ preventScroll: true })
    },
  )
  return {
    destroy() {
      unwatch()
      removeEventListener('keydown', onKey, true)
      document.removeEventListener('fullscreenchange', onScreen)
      leave.remove()
    },
  }
}
