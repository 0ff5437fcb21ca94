/**
 * What a view needs of a life: all fields at any time between the kept moments, and their values at any
 * radius. Fields are interpolated at equal relative radius, so that the front stays a front. SI units.
 */
import type { LifeFrames } from './types.ts'

/** The fields at one time. The arrays are reused by the next `moveTo`; copy what must last. */
export interface Fields {
  time: number
  /** Kept moment at or before `time` and the share (0–1) of the way to the next one. */
  row: number
  fraction: number
  /** Edge radius, m; edge speed, m/s; line pull of the edge, N/m. */
  R: number
  U: number
  edgePull: number
  /** Inner radius of the dish, m. */
  dishRadius: number
  inner: number
  outer: number
  /** Cells: length inner. */
  h: Float64Array
  phi: Float64Array
  sigma: Float64Array
  /** Inner faces: length inner + 1. */
  surfaceSpeed: Float64Array
  pullAbove: Float64Array
  pullBelow: Float64Array
  pullCapillary: Float64Array
  /** Faces from r = 0 to the wall: length inner + 1 + outer. */
  u: Float64Array
  /** Radii of the cell centres and of all faces, m. */
  cellRadius: Float64Array
  faceRadius: Float64Array
}

const cellFields = ['h', 'phi', 'sigma'] as const
const faceFields = ['surfaceSpeed', 'pullAbove', 'pullBelow', 'pullCapillary'] as const
const none = new Float64Array(0)

/** Fields to be filled by `moveTo`. */
export const createFields = (): Fields => ({
  time: 0,
  row: 0,
  fraction: 0,
  R: 0,
  U: 0,
  edgePull: 0,
  dishRadius: 0,
  inner: 0,
  outer: 0,
  h: none,
  phi: none,
  sigma: none,
  surfaceSpeed: none,
  pullAbove: none,
  pullBelow: none,
  pullCapillary: none,
  u: none,
  cellRadius: none,
  faceRadius: none,
})

/** Row at or before `time` in ascending `t[0 … count−1]`, and the share of the way to the next; clamped. */
export function locate(t: ArrayLike<number>, count: number, time: number): { row: number; fraction: number } {
  const last = count - 1
  if (last <= 0 || !(time > t[0]!)) return { row: 0, fraction: 0 }
  if (time >= t[last]!) return { row: last, fraction: 0 }
  const row = intervalOf(t, count, time)
  return { row, fraction: (time - t[row]!) / (t[row + 1]! - t[row]!) }
}

/** Largest i ≤ count − 2 with a[i] ≤ x (a ascending, at least two entries); 0 if x lies before a[0]. */
export function intervalOf(a: ArrayLike<number>, count: number, x: number): number {
  let low = 0
  let high = count - 1
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (a[middle]! <= x) low = middle
    else high = middle
  }
  return low
}

function mix(from: Float64Array, width: number, row: number, fraction: number, into: Float64Array): void {
  const a = row * width
  if (fraction === 0) {
    for (let i = 0; i < width; i++) into[i] = from[a + i]!
    return
  }
  const b = a + width
  for (let i = 0; i < width; i++) into[i] = from[a + i]! + fraction * (from[b + i]! - from[a + i]!)
}

const between = (from: Float64Array, row: number, fraction: number): number =>
  fraction === 0 ? from[row]! : from[row]! + fraction * (from[row + 1]! - from[row]!)

function resize(fields: Fields, inner: number, outer: number): void {
  if (fields.inner === inner && fields.outer === outer && fields.h.length === inner) return
  fields.inner = inner
  fields.outer = outer
  for (const field of cellFields) fields[field] = new Float64Array(inner)
  for (const field of faceFields) fields[field] = new Float64Array(inner + 1)
  fields.u = new Float64Array(inner + 1 + outer)
  fields.cellRadius = new Float64Array(inner)
  fields.faceRadius = new Float64Array(inner + 1 + outer)
}

function placeMesh(fields: Fields, frames: LifeFrames): void {
  const { R, dishRadius, inner, outer, cellRadius, faceRadius } = fields
  const { sFaces, gFaces } = frames
  for (let i = 0; i < inner; i++) cellRadius[i] = 0.5 * R * (sFaces[i]! + sFaces[i + 1]!)
  for (let i = 0; i <= inner; i++) faceRadius[i] = R * sFaces[i]!
  for (let j = 1; j <= outer; j++) faceRadius[inner + j] = R + gFaces[j]! * (dishRadius - R)
}

/**
 * Fills `fields` with the fields at `time` (s; kept within the known life). `dishRadius` in m.
 * False, and nothing changed, if no moment is known yet.
 */
export function moveTo(fields: Fields, frames: LifeFrames, dishRadius: number, time: number): boolean {
  if (frames.count < 1) return false
  const { row, fraction } = locate(frames.t, frames.count, time)
  resize(fields, frames.inner, frames.outer)
  fields.row = row
  fields.fraction = fraction
  fields.time = between(frames.t, row, fraction)
  fields.R = between(frames.R, row, fraction)
  fields.U = between(frames.U, row, fraction)
  fields.edgePull = between(frames.edgePull, row, fraction)
  fields.dishRadius = dishRadius
  for (const field of cellFields) mix(frames[field], frames.inner, row, fraction, fields[field])
  for (const field of faceFields) mix(frames[field], frames.inner + 1, row, fraction, fields[field])
  mix(frames.u, frames.inner + 1 + frames.outer, row, fraction, fields.u)
  placeMesh(fields, frames)
  return true
}

function linear(x: ArrayLike<number>, y: ArrayLike<number>, count: number, at: number): number {
  if (count === 0) return Number.NaN
  if (!(at > x[0]!)) return y[0]!
  if (at >= x[count - 1]!) return y[count - 1]!
  const i = intervalOf(x, count, at)
  const width = x[i + 1]! - x[i]!
  return width > 0 ? y[i]! + ((at - x[i]!) / width) * (y[i + 1]! - y[i]!) : y[i]!
}

/** Value of a cell field at radius r (m, ≥ 0); NaN outside the drop. */
export function cellValue(fields: Fields, field: (typeof cellFields)[number], r: number): number {
  if (r > fields.R) return Number.NaN
  return linear(fields.cellRadius, fields[field], fields.inner, r)
}

/** Speed of the drop's upper surface at radius r, m/s; NaN outside the drop. */
export function surfaceSpeedAt(fields: Fields, r: number): number {
  if (r > fields.R) return Number.NaN
  return linear(fields.faceRadius, fields.surfaceSpeed, fields.inner + 1, r)
}

/** Speed of the bath's surface at radius r, m/s; 0 beyond the wall. */
export function bathSpeedAt(fields: Fields, r: number): number {
  if (r >= fields.dishRadius) return 0
  return linear(fields.faceRadius, fields.u, fields.faceRadius.length, r)
}

/** The balance on the bath's surface at one radius: above + below + capillary + drag = 0, all in Pa. */
export interface Pulls {
  above: number
  below: number
  capillary: number
  drag: number
  /** Line pull of the edge, N/m. */
  edge: number
  /** 'edge': at the outermost face, where the line pull is spread over that face's share of the mesh. */
  place: 'film' | 'edge' | 'bath'
}

/**
 * Pulls at radius r (m, ≥ 0). The outermost face is kept apart from its neighbours: a mean with it would
 * smear the line pull of the edge into the film.
 */
export function pullsAt(fields: Fields, r: number): Pulls {
  const { inner, faceRadius, R, edgePull } = fields
  if (r > R + 0.5 * (R - faceRadius[inner - 1]!)) {
    return { above: 0, below: 0, capillary: 0, drag: 0, edge: edgePull, place: 'bath' }
  }
  const atEdge = r > 0.5 * (R + faceRadius[inner - 1]!)
  const pick = (field: 'pullAbove' | 'pullBelow' | 'pullCapillary') =>
    atEdge ? fields[field][inner]! : linear(faceRadius, fields[field], inner, r)
  const above = pick('pullAbove')
  const below = pick('pullBelow')
  const capillary = pick('pullCapillary')
  const drag = 0 - (above + below + capillary)
  return { above, below, capillary, drag, edge: edgePull, place: atEdge ? 'edge' : 'film' }
}
