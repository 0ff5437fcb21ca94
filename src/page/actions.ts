/** Every change of the page's state, as small functions on the store. */
import { shortened } from '../life/problemWords.ts'
import { KEYS } from '../life/keys.ts'
import { presetToLink } from '../life/preset.ts'
import type { Life, Preset } from '../life/types.ts'
import type { Course } from '../measured/fit/types.ts'
import type { MeasuredCurve } from '../measured/types.ts'
import type { Bottle } from './recipe/bottle.ts'
import { radialSpanOf, timeSpanOf } from './spans.ts'
import type { PinnedLife, State, Store, WhatIf } from './store.ts'
import { type KnownStretches, type Message, type Neighbours, noNeighbours } from './store.ts'

const historyLength = 100
/** Changes of the same thing closer together than this (ms) are one step of undo. */
const joinWithin = 1200

let lastChange = { of: '', at: Number.NEGATIVE_INFINITY }
let counter = 0
/** A short id, unique within this visit. */
export const newId = (stem: string): string => `${stem}-${++counter}`

const stepOf = ({ preset, whatIf, pins, measured }: State) => ({ preset, whatIf, pins, measured })

/** Adds what follows from the change (spans) and stores it. */
export function apply(store: Store, change: Partial<State>): void {
  const next = { ...store.getState(), ...change }
  const radialSpan = radialSpanOf(next)
  store.setState({
    ...change,
    radialSpan,
    timeSpan: timeSpanOf(next),
    cursorRadius: Math.min(next.cursorRadius, radialSpan),
  })
}

/** Keeps the present step for undo, then applies the change. `of` names what changes: repeats are joined. */
export function applyStep(store: Store, of: string, change: Partial<State>): void {
  const state = store.getState()
  const now = performance.now()
  const joined = of !== '' && of === lastChange.of && now - lastChange.at < joinWithin
  lastChange = { of, at: now }
  const past = joined ? state.past : [...state.past, stepOf(state)].slice(-historyLength)
  apply(store, { ...change, past, future: [] })
}

/** Takes over a preset. `of` is the key being moved (dotted path), empty for a whole new preset. */
export function setPreset(store: Store, preset: Preset, of = ''): void {
  const { life, time, playing, restAtMaximum, whatIf, preset: before } = store.getState()
  const atEnd = life !== null && !playing && time >= (life.series.t.at(-1) ?? 0) - 1e-9
  applyStep(store, of, {
    preset,
    whatIf: whatIf && of !== '' ? followed(whatIf, before, preset) : null,
    stale: true,
    neighbours: noNeighbours,
    restAtMaximum: restAtMaximum || atEnd,
  })
}

/** What the user changes during a what-if changes the drop as set, too; null once both are the same. */
function followed({ name, base }: WhatIf, before: Preset, after: Preset): WhatIf | null {
  const { title, note, liquids } = after
  let own: Preset = { ...base, title, note, ...(liquids ? { liquids } : {}) }
  for (const { path } of KEYS) {
    const value = keyValue(after, path)
    if (!Object.is(value, keyValue(before, path))) own = withKey(own, path, value)
  }
  return presetToLink(own) === presetToLink(after) ? null : { name, base: own }
}

/** Takes over a changed preset as a what-if (null: the drop as set) and keeps the life before it as a ghost: one step of undo. */
export function tryVariant(
  store: Store,
  preset: Preset,
  whatIf: WhatIf | null,
  pin: PinnedLife | null,
): void {
  const { pins } = store.getState()
  applyStep(store, '', {
    preset,
    whatIf,
    stale: true,
    neighbours: noNeighbours,
    ...(pin ? { pins: [...pins, pin] } : {}),
  })
}

/** The changed drop is from now on the drop as set; the next what-if adds to it. */
export const keepVariant = (store: Store): void => applyStep(store, '', { whatIf: null })

/** The preset with one key (dotted path) changed; undefined takes an optional key out. */
export function withKey(preset: Preset, path: string, value: unknown): Preset {
  const [group, name] = path.split('.') as [keyof Preset, string]
  const entries = { ...(preset[group] as unknown as Record<string, unknown>) }
  if (value === undefined) delete entries[name]
  else entries[name] = value
  return { ...preset, [group]: entries }
}

/** Value of a dotted key, undefined if it is left to the library. */
export function keyValue(preset: Preset, path: string): unknown {
  const [group, name] = path.split('.') as [keyof Preset, string]
  return (preset[group] as unknown as Record<string, unknown>)[name]
}

/** Changes one key; nothing happens if it has that value already. */
export function setKey(store: Store, path: string, value: unknown): void {
  const { preset } = store.getState()
  if (Object.is(keyValue(preset, path), value)) return
  setPreset(store, withKey(preset, path, value), path)
}

function travel(store: Store, from: 'past' | 'future', to: 'past' | 'future', take: 'last' | 'first'): void {
  const state = store.getState()
  const step = take === 'last' ? state[from].at(-1) : state[from][0]
  if (!step) return
  const rest = take === 'last' ? state[from].slice(0, -1) : state[from].slice(1)
  const kept = take === 'last' ? [stepOf(state), ...state[to]] : [...state[to], stepOf(state)]
  lastChange = { of: '', at: Number.NEGATIVE_INFINITY }
  const other = step.preset !== state.preset
  apply(store, {
    ...step,
    stale: state.stale || other,
    ...(other ? { neighbours: noNeighbours } : {}),
    [from]: rest,
    [to]: kept,
  })
}

/** One step back over preset, pins and measured curves. */
export const undo = (store: Store): void => travel(store, 'past', 'future', 'last')
/** One step forward again. */
export const redo = (store: Store): void => travel(store, 'future', 'past', 'first')

/** Takes over a life, whole or growing; `current` is false if the preset has changed again meanwhile. */
export function receiveLife(store: Store, life: Life, current = true): void {
  const { life: known, outgoing, restAtMaximum, time, playing } = store.getState()
  if (known?.status === 'done' && known.frames === life.frames) {
    // The same life once more, now with its errors: nothing that is drawn has changed.
    const { maxRadiusError, collapseTimeError, otherOutcome } = life.summary
    learn(store, { radiusError: maxRadiusError, collapseError: collapseTimeError, otherOutcome })
    return
  }
  const finished = known && known.status !== 'growing' ? known : outgoing
  const rests = restAtMaximum && !playing && life.status !== 'growing'
  apply(store, {
    life,
    stale: !current,
    outgoing: life.status === 'growing' ? finished : null,
    time: rests ? restingTime(life) : time,
  })
}

/** Where the clock rests when nobody moves it: at the largest radius, or the end for a lens. */
export const restingTime = (life: Life): number => {
  const { outcome, maxRadiusTime } = life.summary
  const end = life.series.t.at(-1) ?? 0
  return outcome === 'lens' || !Number.isFinite(maxRadiusTime) ? end : maxRadiusTime
}

/** Moves the clock by hand, s (kept within the time span); the clock stops following R_max. */
export function setTime(store: Store, time: number): void {
  const { timeSpan } = store.getState()
  store.setState({ time: Math.min(Math.max(time, 0), timeSpan), restAtMaximum: false })
}

/** Starts or stops the clock; starting at the end of the life begins anew. */
export function setPlaying(store: Store, playing: boolean): void {
  const { life, time } = store.getState()
  const end = life?.series.t.at(-1) ?? 0
  const again = playing && time >= end - 1e-6
  store.setState({ playing, ...(again ? { time: 0 } : {}), ...(playing ? { restAtMaximum: false } : {}) })
}

export const setSpeed = (store: Store, speed: number): void => store.setState({ speed })
export const setColourBy = (store: Store, colourBy: State['colourBy']): void => store.setState({ colourBy })
export const setHeightFactor = (store: Store, heightFactor: number): void => store.setState({ heightFactor })
export const setLogHeight = (store: Store, logHeight: boolean): void => store.setState({ logHeight })
export const setTheme = (store: Store, theme: State['theme']): void => store.setState({ theme })

/** Moves the hair line, m; kept within the radial span. */
export function setCursorRadius(store: Store, radius: number): void {
  const { radialSpan } = store.getState()
  store.setState({ cursorRadius: Math.min(Math.max(radius, 0), radialSpan) })
}

/** Takes over what neighbouring lives tell. */
export const learn = (store: Store, news: Partial<Neighbours>): void =>
  store.setState(({ neighbours }) => ({ neighbours: { ...neighbours, ...news } }))
export const learnStretches = (store: Store, path: string, known: KnownStretches): void =>
  store.setState(({ stretches }) => ({ stretches: { ...stretches, [path]: known } }))

/** Own lives kept at least: undo and the way back of a slider find theirs again. */
const ownLivesKept = 200
/** Takes over the life of a curve's own drop. */
export const learnOwnLife = (store: Store, name: string, course: Course): void =>
  store.setState(({ ownLives, measured }) => {
    const most = Math.max(ownLivesKept, 2 * measured.length)
    const older = [...ownLives].filter(([known]) => known !== name).slice(1 - most)
    return { ownLives: new Map([...older, [name, course]]) }
  })

/** Changes the bottle at hand; what was told with the old one is forgotten. */
export const setBottle = (store: Store, change: Partial<Bottle>): void =>
  store.setState(({ bottle, neighbours }) => ({
    bottle: { ...bottle, ...change },
    neighbours: { ...neighbours, nearest: null },
  }))

/** Keeps a life as a ghost. */
export function addPin(store: Store, pin: PinnedLife): void {
  applyStep(store, '', { pins: [...store.getState().pins, pin] })
}
export function removePin(store: Store, id: string): void {
  applyStep(store, '', { pins: store.getState().pins.filter((pin) => pin.id !== id) })
}

/** Adds measured curves; all of one file are one step of undo. */
export function addCurves(store: Store, curves: readonly MeasuredCurve[]): void {
  if (curves.length === 0) return
  applyStep(store, '', { measured: [...store.getState().measured, ...curves] })
}
export function removeCurve(store: Store, id: string): void {
  applyStep(store, '', { measured: store.getState().measured.filter((curve) => curve.id !== id) })
}
export function showCurve(store: Store, id: string, shown: boolean): void {
  const hidden = new Set(store.getState().hidden)
  if (shown) hidden.delete(id)
  else hidden.add(id)
  apply(store, { hidden })
}

/** Says something to the user without blocking anything. The same text is not said twice. */
export function say(
  store: Store,
  kind: Message['kind'],
  whole: string,
  kept = '',
  action?: Message['action'],
): void {
  const text = shortened(whole)
  const { messages } = store.getState()
  const others = messages.filter((message) => message.text !== text)
  const message: Message = { id: newId('message'), kind, text, kept, ...(action ? { action } : {}) }
  store.setState({ messages: [...others, message].slice(-6) })
}
export const dismiss = (store: Store, id: string): void =>
  store.setState((state) => ({ messages: state.messages.filter((message) => message.id !== id) }))
