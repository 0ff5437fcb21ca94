/**
 * A sample of the child drops: they leave where the ring is, at the moments at which the booked number
 * passes equal shares, and ride on the bath from then on. Their places around the rim are scattered.
 */
import type { LifeFrames, LifeSeries } from '../../life/types.ts'
import { jumble, onPath, path } from './advect.ts'

const groups = 60
const perGroup = 8
const steps = 40
/** Largest number of points shown. */
export const mostChildren = groups * perGroup

/** Times (s) at which `series` (not falling) passes the shares (k + ½)/n of its last value; empty if that is 0. */
export function passingTimes(t: Float64Array, series: Float64Array, n: number): Float64Array {
  const last = series.length - 1
  const total = last < 0 ? 0 : series[last]!
  if (!(total > 0)) return new Float64Array(0)
  const times = new Float64Array(n)
  let k = 0
  for (let i = 0; i < n; i++) {
    const wanted = (total * (i + 0.5)) / n
    while (k < last && series[k]! < wanted) k++
    const from = Math.max(0, k - 1)
    const rise = series[k]! - series[from]!
    times[i] = rise > 0 ? t[from]! + ((wanted - series[from]!) / rise) * (t[k]! - t[from]!) : t[k]!
  }
  return times
}

export class ChildDrops {
  private readonly born: Float64Array
  private readonly radii: Float32Array
  private readonly end: number
  private readonly spread: number

  /** `spread`: scale (m) of the scatter outwards. */
  constructor(frames: LifeFrames, series: LifeSeries, dishRadius: number, spread: number) {
    this.born = passingTimes(series.t, series.childCount, groups)
    this.end = (frames.t[frames.count - 1] ?? 0) + 1e-6
    this.spread = spread
    this.radii = new Float32Array(this.born.length * (steps + 1))
    for (let g = 0; g < this.born.length; g++) {
      const t0 = this.born[g]!
      const r = edgeAt(frames, t0)
      const start = { r, t0, t1: this.end, steps, outside: true }
      path(frames, dishRadius, 'bath', start, this.radii, g * (steps + 1))
    }
  }

  /** All points that exist at time t: radius (m), direction on the half disc (rad), share of the fade-in (0–1). */
  at(t: number, put: (r: number, angle: number, opacity: number) => void): number {
    let shown = 0
    for (let g = 0; g < this.born.length && this.born[g]! <= t; g++) {
      const t0 = this.born[g]!
      const r = onPath(this.radii, g * (steps + 1), steps, t0, this.end, t)
      const opacity = Math.min(1, (t - t0) / 0.15)
      for (let i = 0; i < perGroup; i++) {
        const n = g * perGroup + i
        const out = this.spread * (0.15 - Math.log(1 - 0.95 * jumble(2 * n)))
        put(r + out * (0.4 + 0.6 * opacity), Math.PI * jumble(2 * n + 1), opacity)
        shown++
      }
    }
    return shown
  }
}

function edgeAt(frames: LifeFrames, t: number): number {
  let k = 0
  while (k < frames.count - 1 && frames.t[k + 1]! <= t) k++
  return frames.R[k]!
}
