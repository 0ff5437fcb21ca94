/** Marks of many frames → points with corrections → a measured curve. */
import { typedInBox } from '../../numerics/typedNumber.ts'
import type { CurveMeta, MeasuredCurve, SharedCause, SharedError } from '../types.ts'
import { tally } from './judge.ts'
import type { Scale } from './scale.ts'
import { keyOf, type Reading, type Rejection } from './sight.ts'
import type { DropMark, Flag } from './types.ts'

export { keyOf, type Reading }

/** What the user says about a frame: leave it out, take it in although it was rejected, or a radius of his own, m. */
export interface Correction {
  dropped?: boolean
  taken?: boolean
  radius?: number
}

/** Which of the two radii counts. */
export type RadiusKind = 'area' | 'edge'

export interface Timing {
  /** Moment of touch-down in the recording's time, s. */
  start: number
  /** Moment of the collapse in the recording's time, s; null or missing = not set. Later points do not count. */
  collapse?: number | null
  /** Seconds of the recording per second of the lab: frames per second recorded over frames per second played. */
  slowing: number
}

export interface SeriesPoint {
  key: number
  /** The recording's time, s. */
  recordingTime: number
  /** Time since the start, in the lab, s. */
  time: number
  /** Radius, m; NaN where there is none. */
  radius: number
  /** Standard uncertainty, m, of all causes; NaN where there is none. */
  uncertainty: number
  /** What the radius errs by when a cause that all points share is one standard uncertainty off, m. */
  shared: Readonly<Record<SharedCause, number>>
  flags: readonly Flag[]
  byHand: boolean
  dropped: boolean
  /** Why the point does not count unless the user takes it in; null = it counts by itself. */
  rejection: Rejection | null
  /** True if the user took it in although it was rejected. */
  taken: boolean
  /** True if the point goes into the curve. */
  counts: boolean
}

/** Slowing of a recording made with `recorded` and played with `played` frames per second; 1 if either is missing. */
export const slowingOf = (recorded: number | null, played: number | null): number =>
  recorded && played ? recorded / played : 1

/**
 * All points in the order of time. The uncertainty is that of the frame and those of scale, level and child drops, which
 * all points of a recording share, in quadrature. A radius set by hand keeps the edge's part, or two pixels where no
 * edge was found (common practice, no source), and the scale's. Points before the start or after the collapse and frames that touch the border or have no
 * drop do not count unless a radius was set by hand, nor those with a rejection unless they were taken in by hand.
 */
export function pointsOf(
  readings: Iterable<Reading>,
  corrections: ReadonlyMap<number, Correction>,
  scale: Scale,
  timing: Timing,
  kind: RadiusKind,
  rejections: ReadonlyMap<number, Rejection> = new Map(),
): SeriesPoint[] {
  const points = [...readings].map((reading) => {
    const rejection = rejections.get(keyOf(reading.time)) ?? null
    return pointOf(reading, corrections, scale, timing, kind, rejection)
  })
  return points.sort((a, b) => a.recordingTime - b.recordingTime)
}

function pointOf(
  { time, result }: Reading,
  corrections: ReadonlyMap<number, Correction>,
  { metresPerPixel, relativeUncertainty }: Scale,
  { start, collapse = null, slowing }: Timing,
  kind: RadiusKind,
  rejection: Rejection | null,
): SeriesPoint {
  const key = keyOf(time)
  const { drop, flags } = result
  const { dropped = false, taken = false, radius: own } = corrections.get(key) ?? {}
  const pixels = drop ? (kind === 'area' ? drop.equivalentRadius : drop.edgeRadius) : Number.NaN
  const radius = own ?? pixels * metresPerPixel
  const edge = ownPart(drop, own !== undefined) * metresPerPixel
  const read = own === undefined && drop !== null ? metresPerPixel : 0
  // Works that were kept by an earlier version have no parts.
  const shared = {
    scale: Number.isNaN(radius) ? 0 : radius * relativeUncertainty,
    threshold: (drop?.threshold ?? 0) * read,
    children: (drop?.children ?? 0) * read,
  }
  const spoiled = flags.includes('touches-border') || flags.includes('size-changed')
  const sound = own !== undefined || (drop !== null && !spoiled && (rejection === null || taken))
  return {
    key,
    recordingTime: time,
    time: (time - start) / slowing,
    radius,
    uncertainty: Math.hypot(edge, shared.scale, shared.threshold, shared.children),
    shared,
    flags,
    byHand: own !== undefined,
    dropped,
    rejection,
    taken,
    counts:
      sound && !dropped && time >= start - 5e-7 && time <= (collapse ?? Number.POSITIVE_INFINITY) + 5e-7,
  }
}

/** The part of the uncertainty that is the frame's alone, px. */
function ownPart(drop: DropMark | null, byHand: boolean): number {
  if (!drop) return byHand ? 2 : Number.NaN
  return byHand ? drop.uncertainty : (drop.own ?? drop.uncertainty)
}

/** Fewer than this share of what was found, and one point alone, are no drop. */
const leastCounting = 0.1

/** What the frames show, in a sentence: in how many there is a drop, and what the others are. */
export function verdictOf(points: readonly SeriesPoint[]): { found: boolean; text: string } {
  const none =
    'No drop was found in any frame. Choose another difference, a lower threshold, or watch a circle.'
  const rejected = points.flatMap(({ rejection, taken, byHand }) =>
    rejection && !taken && !byHand ? [rejection] : [],
  )
  const counting = points.filter(({ counts }) => counts).length
  const seen = points.filter(({ flags, byHand }) => byHand || !flags.some((flag) => missing.has(flag))).length
  if (seen === 0) return { found: false, text: none }
  const why = tally(rejected)
  const byHand = points.some((point) => point.counts && (point.byHand || point.taken))
  if (rejected.length > 0 && !byHand && (counting < 2 || counting < leastCounting * seen)) {
    const text = `No drop found: of ${points.length} frames ${why}. Tick a frame in the table to take it in by hand.`
    return { found: false, text }
  }
  const aside = why ? ` Not counted: ${why}; tick a frame in the table to take it in.` : ''
  const same = unchanged(points) ? ` ${sameSize}` : ''
  const drops = seen - rejected.length
  return { found: true, text: `Done: a drop in ${drops} of ${points.length} frames.${same}${aside}` }
}

const sameSize =
  'Its radius is the same in all of them: see in the picture that the outline is that of the drop, not of the dish or a mark.'

/** True if all radii of five points or more lie within a hundredth of each other: no drop that spreads or dries. */
function unchanged(points: readonly SeriesPoint[]): boolean {
  const radii = points.flatMap(({ counts, radius }) => (counts ? [radius] : []))
  return radii.length >= 5 && Math.max(...radii) - Math.min(...radii) < 0.01 * Math.max(...radii)
}

const missing: ReadonlySet<Flag> = new Set(['no-drop', 'size-changed', 'unreadable', 'not-kept'])

export interface Naming {
  name: string
  file: string
  meta: CurveMeta
}

export type CurveResult = { ok: true; curve: MeasuredCurve } | { ok: false; message: string }

/** The counting points as a measured curve; a message if there are fewer than two. */
export function curveOf(points: readonly SeriesPoint[], { name, file, meta }: Naming): CurveResult {
  const counting = points.filter((point) => point.counts)
  if (counting.length < 2) {
    const verdict = points.length > 0 ? verdictOf(points) : null
    const message =
      verdict && !verdict.found
        ? verdict.text
        : `A curve needs at least two points after the start; there ${counting.length === 1 ? 'is one' : 'are none'}.`
    return { ok: false, message }
  }
  const pick = (key: 'time' | 'radius' | 'uncertainty') => Float64Array.from(counting, (point) => point[key])
  const curve: MeasuredCurve = {
    id: '',
    name: name.trim() || file,
    time: pick('time'),
    radius: pick('radius'),
    uncertainty: pick('uncertainty'),
    ...sharedOf(counting),
    meta,
    file,
  }
  return { ok: true, curve: { ...curve, id: idOf(curve) } }
}

const causes: readonly SharedCause[] = ['scale', 'threshold', 'children']

/** The parts of the uncertainty that all points share, by cause; causes that shift nothing are left out. */
function sharedOf(points: readonly SeriesPoint[]): { shared?: readonly SharedError[] } {
  const shared = causes.flatMap((cause): SharedError[] => {
    const shift = Float64Array.from(points, (point) => point.shared[cause])
    return shift.some((value) => value !== 0) ? [{ cause, shift }] : []
  })
  return shared.length > 0 ? { shared } : {}
}

/** FNV-1a over names and numbers, as for tables: the same points of the same recording give the same id. */
function idOf({ file, name, time, radius }: MeasuredCurve): string {
  let hash = 0x811c9dc5
  const add = (word: number) => {
    hash = Math.imul(hash ^ word, 0x01000193) >>> 0
  }
  for (const byte of new TextEncoder().encode(`${file}\n${name}`)) add(byte)
  for (const values of [time, radius]) for (const word of new Uint32Array(values.buffer)) add(word)
  return `v${hash.toString(16).padStart(8, '0')}-${time.length}`
}

/** Checks what the user typed about the mixture. Fraction in per cent, volume in µL; empty is allowed. */
export function metaOf(
  fraction: string,
  basis: 'mass' | 'volume',
  volume: string,
  note: string,
): { ok: true; meta: CurveMeta } | { ok: false; field: 'fraction' | 'volume'; message: string } {
  const meta: CurveMeta = {}
  if (note.trim()) meta.note = note.trim()
  const number = (text: string) => (text.trim() === '' ? null : typedInBox(text))
  const percent = number(fraction)
  if (percent !== null) {
    if (!(percent >= 0 && percent <= 100)) {
      return { ok: false, field: 'fraction', message: 'The alcohol fraction lies between 0 % and 100 %.' }
    }
    meta.alcoholFraction = percent / 100
    meta.fractionBasis = basis
  }
  const microlitres = number(volume)
  if (microlitres !== null) {
    if (!(microlitres > 0)) {
      return { ok: false, field: 'volume', message: 'The volume is a number above 0 µL.' }
    }
    meta.volume_uL = microlitres
  }
  return { ok: true, meta }
}
