/** Every change of the page's state, as small functions on the store. */
import { shortened } from '../life/problemWords.ts'
import type { Life, Preset } from '../life/types.ts'
import type { Course } from '../measured/fit/types.ts'
import type { MeasuredCurve } from '../measured/types.ts'
import { newId } from './newId.ts'
import type { Spot } from './places/places.ts'
import { lastPart } from './places/remembered.ts'
import type { Bottle } from './recipe/bottle.ts'
import { playedTo, radialSpanOf, timeSpanOf } from './spans.ts'
import { type Camera, limited, sameCamera } from './stage/camera.ts'
import type { PinnedLife, State, Store } from './store.ts'
import { type KnownStretches, type Message, type Neighbours, noNeighbours } from './store.ts'
import { gather } from './together.ts'

const historyLength = 100
/** Changes of the same thing closer together than this (ms) are one step of undo. */
const joinWithin = 1200

let lastChange = { of: '', at: Number.NEGATIVE_INFINITY }

const stepOf = ({ preset, pins, measured, stated }: State) => ({ preset, pins, measured, stated })

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
  const { life, time, playing, restAtMaximum } = store.getState()
  const atEnd = life !== null && !playing && time >= (life.series.t.at(-1) ?? 0) - 1e-9
  applyStep(store, of, {
    preset,
    stale: true,
    neighbours: noNeighbours,
    restAtMaximum: restAtMaximum || atEnd,
  })
}

/** Chooses what the companion drop is without. No step of undo: the user's drop stays as it is. */
export const setWithout = (store: Store, ids: readonly string[]): void => apply(store, { without: [...ids] })
/** Takes over the companion's life; null while the two drops are not looked at. */
export const receiveCompanion = (store: Store, companion: Life | null): void => apply(store, { companion })

/** The companion becomes the user's drop: one step of undo. Nothing is chosen any more. */
export function takeCompanion(store: Store, preset: Preset): void {
  setPreset(store, preset)
  apply(store, { without: [], companion: null })
}

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
  const state = store.getState()
  const { time } = state
  const end = playedTo(state)
  const again = playing && time >= end - 1e-6
  store.setState({ playing, ...(again ? { time: 0 } : {}), ...(playing ? { restAtMaximum: false } : {}) })
}

export const setSpeed = (store: Store, speed: number): void => store.setState({ speed })
export const setColourBy = (store: Store, colourBy: State['colourBy']): void => store.setState({ colourBy })
export const setWavelength = (store: Store, wavelength: number): void => store.setState({ wavelength })
export const setDye = (store: Store, dye: number): void => store.setState({ dye })
export const setHeightFactor = (store: Store, heightFactor: number): void => store.setState({ heightFactor })
export const setLogHeight = (store: Store, logHeight: boolean): void => store.setState({ logHeight })
/** Goes to a place; without `part` to the part that was last in sight there. */
export function goTo(store: Store, spot: Spot): void {
  const { place, part } = store.getState()
  if (place === spot.place && (part === spot.part || spot.part === '')) return
  store.setState({ place: spot.place, part: spot.part || lastPart(spot.place) })
}
export const setStep = (store: Store, step: number): void => store.setState({ step: Math.max(0, step) })
export const setPhysics = (store: Store, physics: boolean): void => store.setState({ physics })
export const setDrawer = (store: Store, drawer: boolean): void => store.setState({ drawer })
export const setRoom = (store: Store, room: boolean): void => store.setState({ room })
/** Looks at the drop from elsewhere; kept within what the stage can show. */
export function setCamera(store: Store, camera: Camera): void {
  const next = limited(camera)
  if (!sameCamera(next, store.getState().camera)) store.setState({ camera: next })
}
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

/** Most messages that are kept until they are dismissed. */
const mostMessages = 30

/** Says something to the user without blocking anything. The same text stands there once, with a count. */
export function say(
  store: Store,
  kind: Message['kind'],
  whole: string,
  kept = '',
  action?: Message['action'],
): void {
  const text = shortened(whole)
  const message: Message = { id: newId('message'), kind, text, kept, ...(action ? { action } : {}) }
  if (!gather(store, message)) tell(store, message)
}

/** What tells a message from others: what it says, with all its parts. */
const wordsOf = ({ text, parts = [] }: Message): string =>
  [text, ...parts.map((one) => `${one.text} ${one.kept}`)].join('\n')

/** Puts a message before the user's eyes, the same one with its count. */
export function tell(store: Store, message: Message): void {
  const { messages } = store.getState()
  const words = wordsOf(message)
  const before = messages.find((one) => wordsOf(one) === words)
  const counted = before ? { ...message, times: (before.times ?? 1) + 1 } : message
  store.setState({ messages: [...messages.filter((one) => one !== before), counted].slice(-mostMessages) })
}
export const dismiss = (store: Store, id: string): void =>
  store.setState((state) => ({ messages: state.messages.filter((message) => message.id !== id) }))
