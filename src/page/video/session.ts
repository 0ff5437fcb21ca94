/** The state of the work on one recording, and every change of it. */
import { createStore, type StoreApi } from 'zustand/vanilla'
import type { OwnBath } from '../../measured/video/bathPaint.ts'
import { judge } from '../../measured/video/judge.ts'
import { type Lifetime, lifetimeOf } from '../../measured/video/lifetime.ts'
import { type Scale, type ScaleResult, scaleOfCircle, scaleOfTwoPoints } from '../../measured/video/scale.ts'
import {
  type Correction,
  keyOf,
  pointsOf,
  type RadiusKind,
  type Reading,
  type SeriesPoint,
  slowingOf,
} from '../../measured/video/series.ts'
import type { Rejection } from '../../measured/video/sight.ts'
import {
  type Circle,
  type Frame,
  type FrameResult,
  type Point,
  plainSettings,
  type Settings,
} from '../../measured/video/types.ts'
import { typedInBox } from '../../numerics/typedNumber.ts'
import { plain } from '../format.ts'
import { demoScene } from './demo.ts'
import type { FrameSource, Shot } from './source.ts'

/** What points set in the picture are for. */
export type Placing = 'line' | 'dish' | 'watch' | 'outline'

export interface Run {
  state: 'none' | 'running' | 'stopped' | 'done'
  /** Time of the last frame that was measured, s. */
  at: number
  from: number
}

export interface Session {
  /** Differs from recording to recording and from tab to tab. */
  id: string
  source: FrameSource | null
  shot: Shot | null
  /** The drop in the present shot; null while it is not known. */
  marked: FrameResult | null
  settings: Settings
  /** The frame that shows the bath without a drop; null = a smooth surface is taken instead. */
  bare: (Shot & { frame: Frame }) | null
  /** Time of that frame while its picture is still to be got from a recording that was gone on with; null = none. */
  bareAt: number | null
  /** The picture of the bath that was made from the recording itself; null = not made yet. */
  made: OwnBath | null
  /** True while it is being made. */
  making: boolean
  placing: Placing | null
  /** Points set so far for what is being placed. */
  placed: readonly Point[]
  scalePoints: { of: 'line' | 'dish'; points: readonly Point[] } | null
  /** Distance of the two points or diameter of the dish, mm, as typed. */
  knownLength: string
  start: number
  /** Where `start` is from: nobody has said yet (it is the first frame), set by hand, or found in the frames. */
  startKnown: 'no' | 'hand' | 'found'
  /** Standard uncertainty of a start that was found, s of the recording; 0 = not known. */
  startSigma: number
  /** Recordings of this camera begin with the touch-down. */
  contactFirst: boolean
  /** Moment of the collapse in the recording's time, s; null = not set: all frames after the start may count. */
  collapse: number | null
  /** Frames per second of the camera, as typed; empty = the file's times are right. */
  recorded: string
  /** Every how manieth frame is measured. */
  stride: number
  kind: RadiusKind
  readings: ReadonlyMap<number, Reading>
  /** What was found in the first frame, if touch-down is later: no drop, whatever it is. Null = not looked for. */
  before: FrameResult | null
  /** Settings of the readings, to tell when they are out of date. */
  readWith: Pick<Session, 'settings' | 'bare'> | null
  corrections: ReadonlyMap<number, Correction>
  past: readonly ReadonlyMap<number, Correction>[]
  run: Run
}

export type SessionStore = StoreApi<Session>

export const fresh = (): Session => ({
  id: Math.floor(Math.random() * 36 ** 10).toString(36),
  source: null,
  shot: null,
  marked: null,
  settings: plainSettings(),
  bare: null,
  bareAt: null,
  made: null,
  making: false,
  placing: null,
  placed: [],
  scalePoints: null,
  knownLength: '',
  start: 0,
  startKnown: 'no',
  startSigma: 0,
  contactFirst: false,
  collapse: null,
  recorded: '',
  stride: 1,
  kind: 'area',
  readings: new Map(),
  before: null,
  readWith: null,
  corrections: new Map(),
  past: [],
  run: { state: 'none', at: 0, from: 0 },
})

export const createSession = (): SessionStore => createStore<Session>(fresh)

/**
 * Takes over a recording; everything about the last one is forgotten, unless that was the same one without its
 * pictures: then they are joined to what was measured. False in that case.
 */
export function takeSource(session: SessionStore, source: FrameSource, shot: Shot): boolean {
  const { source: last } = session.getState()
  last?.close()
  if (last?.withoutPictures && sameRecording(last, source)) {
    session.setState({ source, shot, marked: null })
    return false
  }
  session.setState({ ...fresh(), source, shot, start: shot.time })
  return true
}

/** True if a recording is the one that was kept, as far as can be told. */
export const sameRecording = (a: RecordingFacts, b: RecordingFacts): boolean =>
  a.name === b.name &&
  a.kind === b.kind &&
  a.width === b.width &&
  a.height === b.height &&
  (a.bytes === undefined || b.bytes === undefined || a.bytes === b.bytes)

/** What a recording is known again by; `bytes`: length of its files together, missing in older notes. */
export interface RecordingFacts extends Pick<FrameSource, 'name' | 'kind' | 'width' | 'height'> {
  bytes?: number | undefined
}

/** The demo comes with its dish, its touch-down and its watched circle, so that it can be measured at once. */
export function takeDemo(session: SessionStore, source: FrameSource, shot: Shot): void {
  if (!takeSource(session, source, shot)) return
  const { dish, touchDown, metresPerPixel } = demoScene
  const points = [0.4, 2.6, 4.7].map((angle) => ({
    x: dish.x + dish.r * Math.cos(angle),
    y: dish.y + dish.r * Math.sin(angle),
  }))
  session.setState(({ settings }) => ({
    scalePoints: { of: 'dish', points },
    knownLength: String(Math.round(2 * dish.r * metresPerPixel * 1e3)),
    start: touchDown,
    startKnown: 'hand',
    settings: { ...settings, watch: { ...dish, r: watchedShare * dish.r } },
  }))
}

/** The dish's wall and its shadow are left out of the watched circle. */
export const watchedShare = 0.97

export const setSettings = (session: SessionStore, change: Partial<Settings>): void =>
  session.setState(({ settings }) => ({ settings: { ...settings, ...change } }))

export const startPlacing = (session: SessionStore, placing: Placing | null): void =>
  session.setState({ placing, placed: [] })

export const pointsFor: Record<Placing, number> = { line: 2, dish: 3, watch: 3, outline: 3 }

/** Scale from what is set; a message if it cannot be made, null while something is missing. */
export function scaleOf({ scalePoints, knownLength }: Session): ScaleResult | null {
  if (!scalePoints || knownLength.trim() === '') return null
  const known = typedInBox(knownLength) / 1e3
  const [a, b] = scalePoints.points
  return scalePoints.of === 'line'
    ? scaleOfTwoPoints(a!, b!, known)
    : scaleOfCircle(scalePoints.points, known)
}

const positive = (text: string): number | null => {
  const value = typedInBox(text)
  return value > 0 ? value : null
}

/** Seconds of the recording per second in the lab. Still pictures are counted by ones until a rate is given. */
export function slowing({ source, recorded }: Session): number {
  if (!source) return 1
  const played = source.kind === 'stills' ? 1 : 1 / source.interval
  return slowingOf(positive(recorded), played)
}

/** Frames per second in the lab; null for still pictures without a rate, whose times count pictures. */
export function labRate({ source, recorded }: Session): number | null {
  const typed = positive(recorded)
  if (!source) return null
  if (source.kind === 'stills') return typed
  return typed ?? 1 / source.interval
}

/** False while times count still pictures, for nobody has said how many were taken per second. */
export const isTimed = (state: Session): boolean => state.source?.kind !== 'stills' || labRate(state) !== null

/** The text of a rate that cannot be used, in words. */
export const rateProblem = ({ recorded }: Session): string =>
  recorded.trim() !== '' && positive(recorded) === null ? 'A rate is a number above 0 per second.' : ''

/** Until a scale is set, radii are counted in pixels (one metre each): for the table only. */
const inPixels: Scale = { metresPerPixel: 1, relativeUncertainty: 0 }

/** The picture that frames are compared with: the user's, or one made from the recording; null = a smooth surface. */
export const comparedWith = ({ bare, made, settings }: Session): Frame | null =>
  bare?.frame ?? (settings.ownBath === false ? null : (made?.picture ?? null))

/** Where the drop is expected at a moment: where it was in the last frame before that shows it without a doubt. */
export function expectedAt({ readings, source, stride }: Session, time: number): Circle | null {
  let last: Reading | null = null
  const reach = 20 * stride * (source?.interval ?? 1)
  for (const reading of readings.values()) {
    if (reading.time >= time || reading.time < time - reach || (last && reading.time <= last.time)) continue
    if (soundSight(reading)) last = reading
  }
  const drop = last?.result.drop
  return drop ? { x: drop.x, y: drop.y, r: drop.equivalentRadius } : null
}

/** True if a frame by itself shows what may be the drop. */
const soundSight = (reading: Reading): boolean =>
  reading.result.drop !== null &&
  !reading.result.flags.includes('touches-border') &&
  judge([reading]).size === 0

/** Touch-down and collapse as the frames show them; what the user left out is not seen, what he took in is. */
export function lifetime(state: Session): Lifetime {
  const rejections = new Map(rejectionsOf(state))
  const left: Rejection = { kind: 'jumped', text: () => 'left out by hand' }
  for (const [key, { dropped, taken }] of state.corrections) {
    if (dropped) rejections.set(key, left)
    else if (taken) rejections.delete(key)
  }
  return lifetimeOf(state.readings.values(), rejections)
}

const judged = new WeakMap<
  Session['readings'],
  { before: FrameResult | null; rejections: ReadonlyMap<number, Rejection> }
>()

/** Frames that do not count by themselves, with their reasons. */
function rejectionsOf({ readings, before }: Session): ReadonlyMap<number, Rejection> {
  const known = judged.get(readings)
  if (known && known.before === before) return known.rejections
  const rejections = judge(readings.values(), before)
  judged.set(readings, { before, rejections })
  return rejections
}

/** Why the shown frame does not count, as far as it is known; null if it does. */
export function rejectionHere(state: Session): Rejection | null {
  const { shot, marked, readings, before, run } = state
  if (!shot || !marked) return null
  const key = keyOf(shot.time)
  if (run.state !== 'running' && readings.has(key) && !outOfDate(state))
    return rejectionsOf(state).get(key) ?? null
  return judge([{ time: shot.time, result: marked }], before).get(key) ?? null
}

export interface Series {
  points: SeriesPoint[]
  /** False while lengths are pixels. */
  scaled: boolean
  /** Writes a length in pixels with its unit. */
  length(pixels: number): string
}

/** All points with the present scale. */
export function seriesOf(state: Session): Series {
  const scale = scaleOf(state)
  const timing = { start: state.start, collapse: state.collapse, slowing: slowing(state) }
  const used = scale?.ok ? scale.scale : inPixels
  const { readings, corrections, kind } = state
  const points = pointsOf(readings.values(), corrections, used, timing, kind, rejectionsOf(state))
  const scaled = scale?.ok === true
  const length = (pixels: number) =>
    scaled ? `${plain(1e3 * pixels * used.metresPerPixel, 2)} mm` : `${plain(pixels, 2)} px`
  return { points, scaled, length }
}

/** Adds what was found in a frame. */
export function addReading(session: SessionStore, reading: Reading): void {
  const { readings, run } = session.getState()
  const next = new Map(readings).set(keyOf(reading.time), reading)
  session.setState({ readings: next, run: { ...run, at: reading.time } })
}

/** Changes the correction of one frame (radius null = as measured); the last ones can be taken back. */
export function correct(
  session: SessionStore,
  key: number,
  change: { dropped?: boolean; taken?: boolean; radius?: number | null },
): void {
  const { corrections, past } = session.getState()
  const next = new Map(corrections)
  const before = next.get(key)
  const dropped = change.dropped ?? before?.dropped ?? false
  const taken = change.taken ?? before?.taken ?? false
  const radius = change.radius === undefined ? before?.radius : (change.radius ?? undefined)
  if (radius === undefined && !dropped && !taken) next.delete(key)
  else next.set(key, { dropped, taken, ...(radius === undefined ? {} : { radius }) })
  session.setState({ corrections: next, past: [...past, corrections].slice(-200) })
}

export function undoCorrection(session: SessionStore): boolean {
  const { past } = session.getState()
  const last = past.at(-1)
  if (!last) return false
  session.setState({ corrections: last, past: past.slice(0, -1) })
  return true
}

/** True if the readings were made with other settings than the present ones. */
export const outOfDate = ({ readings, readWith, settings, bare }: Session): boolean =>
  readings.size > 0 && readWith !== null && (readWith.settings !== settings || readWith.bare !== bare)

const pointKeys = [
  'readings',
  'before',
  'corrections',
  'scalePoints',
  'knownLength',
  'start',
  'collapse',
  'recorded',
  'kind',
  'source',
] as const

/** True if what the points of a recording are made of has changed. */
export const pointsChanged = (state: Session, before: Session): boolean =>
  pointKeys.some((key) => state[key] !== before[key])
