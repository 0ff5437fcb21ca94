/**
 * Paths of things that ride on the flow, as functions of the life's time alone: the same time always gives
 * the same picture, forwards, backwards and after a jump.
 */
import type { LifeFrames } from '../../life/types.ts'
import { intervalOf, locate } from '../../life/view.ts'

export type Carrier = 'film' | 'bath'

/** Speed (m/s) of film surface or bath surface at radius r and time t, interpolated in time and radius. */
export function speedAt(
  frames: LifeFrames,
  dishRadius: number,
  carrier: Carrier,
  r: number,
  t: number,
): number {
  const { row, fraction } = locate(frames.t, frames.count, t)
  const here = rowSpeed(frames, dishRadius, carrier, r, row)
  return fraction === 0 ? here : here + fraction * (rowSpeed(frames, dishRadius, carrier, r, row + 1) - here)
}

function rowSpeed(frames: LifeFrames, dish: number, carrier: Carrier, r: number, row: number): number {
  const { inner, outer, sFaces, gFaces } = frames
  const R = frames.R[row]!
  if (r <= R || carrier === 'film') {
    const from = carrier === 'film' ? row * (inner + 1) : row * (inner + 1 + outer)
    return onMesh(sFaces, carrier === 'film' ? frames.surfaceSpeed : frames.u, from, Math.min(1, r / R))
  }
  if (r >= dish) return 0
  return onMesh(gFaces, frames.u, row * (inner + 1 + outer) + inner, (r - R) / (dish - R))
}

function onMesh(mesh: Float64Array, values: Float64Array, from: number, x: number): number {
  const i = intervalOf(mesh, mesh.length, x)
  const width = mesh[i + 1]! - mesh[i]!
  const a = values[from + i]!
  return width > 0 ? a + ((x - mesh[i]!) / width) * (values[from + i + 1]! - a) : a
}

/**
 * Speed (m/s) away from the edge, at a kept moment, of what floats on the bath at `gap` (m) outside it: bath against edge,
 * which moves with the bath.
 */
export function gapSpeedIn(frames: LifeFrames, dishRadius: number, gap: number, row: number): number {
  const { inner, outer, gFaces, u } = frames
  const edge = row * (inner + 1 + outer) + inner
  const room = dishRadius - frames.R[row]!
  return gap < room ? onMesh(gFaces, u, edge, Math.max(0, gap) / room) - u[edge]! : -u[edge]!
}

/** The same between the kept moments, at time t (s). */
export function gapSpeed(frames: LifeFrames, dishRadius: number, gap: number, t: number): number {
  const { row, fraction } = locate(frames.t, frames.count, t)
  const here = gapSpeedIn(frames, dishRadius, gap, row)
  return fraction === 0 ? here : here + fraction * (gapSpeedIn(frames, dishRadius, gap, row + 1) - here)
}

const edgeAt = (frames: LifeFrames, t: number): number => {
  const { row, fraction } = locate(frames.t, frames.count, t)
  return fraction === 0 ? frames.R[row]! : frames.R[row]! + fraction * (frames.R[row + 1]! - frames.R[row]!)
}

/**
 * Radii (m) of one particle at `steps` + 1 equally spaced times from t0 to t1, by the midpoint rule. Film
 * particles stay within the edge; nothing passes the wall.
 */
export function path(
  frames: LifeFrames,
  dishRadius: number,
  carrier: Carrier,
  start: { r: number; t0: number; t1: number; steps: number },
  into: Float32Array,
  at = 0,
): void {
  const { t0, t1, steps } = start
  const dt = (t1 - t0) / steps
  let r = start.r
  into[at] = r
  for (let k = 0; k < steps; k++) {
    const t = t0 + k * dt
    const middle = r + 0.5 * dt * speedAt(frames, dishRadius, carrier, r, t)
    r += dt * speedAt(frames, dishRadius, carrier, Math.max(0, middle), t + 0.5 * dt)
    if (carrier === 'film') r = Math.min(r, edgeAt(frames, t + dt))
    r = Math.min(Math.max(r, 0), dishRadius)
    into[at + k + 1] = r
  }
}

/** Radius at time t on a path stored by `path`. */
export function onPath(
  radii: Float32Array,
  at: number,
  steps: number,
  t0: number,
  t1: number,
  t: number,
): number {
  const x = Math.min(Math.max(((t - t0) / (t1 - t0)) * steps, 0), steps)
  const k = Math.min(Math.floor(x), steps - 1)
  return radii[at + k]! + (x - k) * (radii[at + k + 1]! - radii[at + k]!)
}

/** Evenly scattered pairs of numbers 0–1: additive recurrence in the plane (Roberts' R2 sequence, 2018). */
export const scatter = (i: number): number => (0.5 + i * 0.7548776662466927) % 1
export const scatter2 = (i: number): number => (0.5 + i * 0.5698402909980532) % 1

/** Irregular but always the same number 0–1 for a whole number (an integer hash). */
export function jumble(i: number): number {
  let x = Math.imul(i + 1, 0x9e3779b1)
  x = Math.imul(x ^ (x >>> 15), 0x85ebca6b)
  x = Math.imul(x ^ (x >>> 13), 0xc2b2ae35)
  return ((x ^ (x >>> 16)) >>> 0) / 2 ** 32
}
