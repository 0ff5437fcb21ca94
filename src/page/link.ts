/** The link that restores the state: the preset in the address's fragment, renewed as it changes. */
import { isPresetLink, presetFromLink, presetToLink } from '../life/preset.ts'
import type { Preset, Problem } from '../life/types.ts'
import { setPreset } from './actions.ts'
import { refuse } from './refuse.ts'
import type { Store, View } from './store.ts'

const renewAfter = 400
const noteKey = 'rimtide.address'

/** Notes the address that should be: a page that goes away can no longer change the one it is loaded again from. */
function noteAddress(to: string): void {
  try {
    sessionStorage.setItem(noteKey, JSON.stringify({ from: location.hash, to }))
  } catch {
    // A refused storage only means that a reload within a moment of a change forgets that change.
  }
}

/** Brings the address up to the last change if the page was loaded again before it could be renewed. */
export function catchUpAddress(): void {
  try {
    const note: unknown = JSON.parse(sessionStorage.getItem(noteKey) ?? 'null')
    sessionStorage.removeItem(noteKey)
    const [visit] = performance.getEntriesByType('navigation') as PerformanceNavigationTiming[]
    const { from, to } = (note ?? {}) as Partial<Record<'from' | 'to', unknown>>
    // A reload that was under way while the address was renewed loads the one before; going back may lead elsewhere.
    const same = visit?.type === 'reload' || (visit?.type === 'back_forward' && from === location.hash)
    if (same && typeof to === 'string' && to !== location.hash) history.replaceState(null, '', to)
  } catch {
    // Nothing was noted.
  }
}

/** The preset of a fragment; problems if it carries rubbish, nothing if it carries none. */
export function presetOfLink(hash: string): { preset: Preset | null; problems: Problem[] } {
  const text = hash.replace(/^#/, '')
  const own = text !== '' && (isPresetLink(text) || !document.getElementById(text))
  if (!own) return { preset: null, problems: [] }
  const result = presetFromLink(text)
  return result.ok ? { preset: result.preset, problems: [] } : { preset: null, problems: result.problems }
}

/** The whole address that restores this preset. */
export function linkTo(preset: Preset): string {
  const address = new URL(location.href)
  address.hash = presetToLink(preset)
  return address.href
}

const complain = (store: Store, problems: Problem[], kept: string): void =>
  refuse(store, 'The link cannot be used.', problems, kept)

/** Keeps address and preset in step; `problems` are those of the address the page was opened with. */
export function followLink(store: Store, problems: Problem[]): View {
  if (problems.length > 0) complain(store, problems, 'The drop that the page starts with is shown instead.')
  let timer = 0
  let changed = false
  const fragment = () => `#${presetToLink(store.getState().preset)}`
  const renew = () => {
    timer = 0
    history.replaceState(null, '', fragment())
  }
  const unsubscribe = store.subscribe((state, before) => {
    if (state.preset === before.preset) return
    changed = true
    clearTimeout(timer)
    timer = window.setTimeout(renew, renewAfter)
  })
  const onHide = () => {
    if (changed) noteAddress(fragment())
  }
  const onHash = () => {
    const { preset, problems: wrong } = presetOfLink(location.hash)
    if (wrong.length > 0) complain(store, wrong, 'The present drop is kept.')
    else if (preset) setPreset(store, preset)
  }
  addEventListener('hashchange', onHash)
  addEventListener('pagehide', onHide)
  return {
    destroy() {
      clearTimeout(timer)
      unsubscribe()
      removeEventListener('hashchange', onHash)
      removeEventListener('pagehide', onHide)
    },
  }
}
