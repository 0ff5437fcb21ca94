/**
 * The address: the drop and what is looked at, in the fragment. A change of the drop renews the entry of the browser's
 * history that is there; another place, step or moment makes a new one, so that Back and Forward lead between them.
 * Back never changes the drop: that is what Undo is for.
 */
import { isPresetLink, presetFromLink, presetToLink } from '../life/preset.ts'
import type { Preset, Problem } from '../life/types.ts'
import { goTo, restingTime, setPreset } from './actions.ts'
import { seenToLink, type Wanted, wantedOf } from './places/address.ts'
import { spotOf } from './places/places.ts'
import { focusPart } from './places/show.ts'
import { refuse } from './refuse.ts'
import { startCamera } from './stage/camera.ts'
import type { State, Store, View } from './store.ts'

const renewAfter = 400
/** Moments closer together than this (ms) are one entry of the history. */
const joinWithin = 2000
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
  const elsewhere = spotOf(text) !== null || document.getElementById(text) !== null
  if (text === '' || (!isPresetLink(text) && elsewhere)) return { preset: null, problems: [] }
  const result = presetFromLink(text)
  return result.ok ? { preset: result.preset, problems: [] } : { preset: null, problems: result.problems }
}

/** The fragment that restores drop and view. */
function fragmentOf(state: State): string {
  const seen = seenToLink(state)
  return `#${presetToLink(state.preset)}${seen && `&${seen}`}`
}

/** The whole address that restores drop and view. */
export function linkTo(state: State): string {
  const address = new URL(location.href)
  address.hash = fragmentOf(state)
  return address.href
}

const complain = (store: Store, problems: Problem[], kept: string): void =>
  refuse(store, 'The link cannot be used.', problems, kept)

/** Takes over what an address asks to be seen. What it leaves out is as at the start where `whole`, else as it is. */
export function takeWanted(store: Store, wanted: Wanted, whole: boolean): void {
  const { spot, time, step, colourBy, wavelength, dye, camera, without, physics, room } = wanted
  if (spot) goTo(store, spot)
  else if (whole) goTo(store, { place: 'watch', part: '' })
  const change: Partial<State> = {}
  if (step !== undefined || whole) change.step = step ?? 0
  if (colourBy || whole) change.colourBy = colourBy ?? 'thickness'
  if (wavelength !== undefined) change.wavelength = wavelength
  if (dye !== undefined) change.dye = dye
  if (camera || whole) change.camera = camera ?? startCamera
  if (without || whole) change.without = without ?? []
  if (physics) change.physics = true
  if (room !== undefined || whole) change.room = room ?? false
  // Not limited to the life that is known: that of the address is still to come.
  if (time !== undefined) Object.assign(change, { time, restAtMaximum: false, playing: false })
  else if (whole && !store.getState().restAtMaximum) {
    const { life } = store.getState()
    Object.assign(change, { restAtMaximum: true, ...(life ? { time: restingTime(life) } : {}) })
  }
  store.setState(change)
}

/** Entries that this page made, or began with, are told from addresses that were typed or pasted. */
const OWN = { rimtide: true }
const isOwn = (): boolean => (history.state as Partial<typeof OWN> | null)?.rimtide === true

const placeOf = ({ place, part, step, room }: State): string => [place, part, step, room].join(' ')
const momentOf = ({ restAtMaximum, time }: State): number => (restAtMaximum ? Number.NaN : time)

/** The reader begins at the heading of the part that the address names. */
function focusAsked(): void {
  const { spot } = wantedOf(location.hash)
  if (spot?.part) focusPart(spot.part)
}

/** Keeps address and state in step; `problems` are those of the address the page was opened with. */
export function followLink(store: Store, problems: Problem[]): View {
  if (problems.length > 0) complain(store, problems, 'The drop that the page starts with is shown instead.')
  history.replaceState(OWN, '')
  focusAsked()
  let timer = 0
  let changed = false
  let lastMoment = momentOf(store.getState())
  let pushedAt = Number.NEGATIVE_INFINITY
  /** The clock has run since: where it ends was not chosen. */
  let played = false

  /** A new entry where the moment that was chosen by hand has come to rest elsewhere. */
  const renew = () => {
    timer = 0
    const state = store.getState()
    const moment = momentOf(state)
    const moved = !state.playing && !played && !Object.is(moment, lastMoment)
    played = state.playing
    const joined = performance.now() - pushedAt < joinWithin
    lastMoment = moment
    if (moved && !joined) {
      history.pushState(OWN, '', fragmentOf(state))
      pushedAt = performance.now()
    } else if (fragmentOf(state) !== location.hash) history.replaceState(OWN, '', fragmentOf(state))
  }
  const push = () => {
    clearTimeout(timer)
    history.pushState(OWN, '', fragmentOf(store.getState()))
    // The moment that belongs to a new step is no entry of its own.
    pushedAt = performance.now()
    timer = window.setTimeout(renew, renewAfter)
  }
  let applying = false
  const unsubscribe = store.subscribe((state, before) => {
    if (state.preset !== before.preset) changed = true
    if (state.playing) played = true
    if (applying) return
    if (placeOf(state) !== placeOf(before)) push()
    else if (
      state.preset !== before.preset ||
      seenToLink({ ...state, time: 0 }) !== seenToLink({ ...before, time: 0 }) ||
      (!state.playing && !Object.is(momentOf(state), momentOf(before))) ||
      state.playing !== before.playing
    ) {
      clearTimeout(timer)
      timer = window.setTimeout(renew, renewAfter)
    }
  })
  const onHide = () => {
    if (changed) noteAddress(fragmentOf(store.getState()))
  }
  const apply = (work: () => void) => {
    applying = true
    work()
    applying = false
    clearTimeout(timer)
    lastMoment = momentOf(store.getState())
  }
  const onHash = () => {
    if (isOwn()) {
      apply(() => takeWanted(store, wantedOf(location.hash), true))
      const now = fragmentOf(store.getState())
      if (now !== location.hash) history.replaceState(OWN, '', now)
      return
    }
    const { preset, problems: wrong } = presetOfLink(location.hash)
    if (wrong.length > 0) complain(store, wrong, 'The present drop is kept.')
    else if (preset) setPreset(store, preset)
    apply(() => takeWanted(store, wantedOf(location.hash), false))
    focusAsked()
    history.replaceState(OWN, '')
    timer = window.setTimeout(renew, renewAfter)
  }
  // Between the step of the history and the event that tells of the address, nothing may be written over that address.
  const onStep = () => {
    if (timer === 0) return
    clearTimeout(timer)
    timer = window.setTimeout(renew, renewAfter)
  }
  addEventListener('popstate', onStep)
  addEventListener('hashchange', onHash)
  addEventListener('pagehide', onHide)
  return {
    destroy() {
      clearTimeout(timer)
      unsubscribe()
      removeEventListener('popstate', onStep)
      removeEventListener('hashchange', onHash)
      removeEventListener('pagehide', onHide)
    },
  }
}
