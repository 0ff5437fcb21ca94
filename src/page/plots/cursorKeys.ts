/** Moving the hair line by keyboard. */
import { setCursorRadius } from '../actions.ts'
import type { Store } from '../store.ts'
import { marksAt, shownLife } from './shown.ts'

/** Radii (m) that Page Up and Page Down go through: axis, thin spot, ring, edge. */
function stations(store: Store): number[] {
  const state = store.getState()
  const { life } = shownLife(state)
  if (!life) return [0, state.radialSpan]
  const marks = marksAt(life, state.time)
  const edge = life.series.R.length > 0 ? edgeAt(store) : 0
  return [0, marks.thinRadius, marks.ringRadius, edge, state.radialSpan]
    .filter(Number.isFinite)
    .sort((a, b) => a - b)
}

function edgeAt(store: Store): number {
  const state = store.getState()
  const { life } = shownLife(state)
  if (!life) return 0
  const { t, R } = life.series
  let k = 0
  while (k < t.length - 1 && t[k + 1]! <= state.time) k++
  return R[k] ?? 0
}

/** The radius that a key leads to, or null if the key does not move the hair line. Lengths in m. */
export function radiusAfterKey(
  key: string,
  shift: boolean,
  radius: number,
  span: number,
  stops: readonly number[],
): number | null {
  const step = (shift ? 0.05 : 0.005) * span
  if (key === 'ArrowRight' || key === 'ArrowUp') return Math.min(span, radius + step)
  if (key === 'ArrowLeft' || key === 'ArrowDown') return Math.max(0, radius - step)
  if (key === 'Home') return 0
  if (key === 'End') return span
  const slack = 1e-6 * span
  if (key === 'PageUp') return stops.find((stop) => stop > radius + slack) ?? span
  if (key === 'PageDown') return stops.findLast((stop) => stop < radius - slack) ?? 0
  return null
}

/** Part of an axis that a key moves a cursor by; to an end for Home and End. */
export const keyParts: Readonly<Record<string, number>> = {
  ArrowRight: 0.01,
  ArrowUp: 0.01,
  ArrowLeft: -0.01,
  ArrowDown: -0.01,
  PageUp: 0.1,
  PageDown: -0.1,
  Home: -1,
  End: 1,
}

/** Listens on `element`; gives back the function that ends it. */
export function followCursorKeys(element: HTMLElement, store: Store): () => void {
  const react = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.target !== element) return
    const { cursorRadius, radialSpan } = store.getState()
    const next = radiusAfterKey(event.key, event.shiftKey, cursorRadius, radialSpan, stations(store))
    if (next === null) return
    event.preventDefault()
    setCursorRadius(store, next)
  }
  element.addEventListener('keydown', react)
  return () => element.removeEventListener('keydown', react)
}
