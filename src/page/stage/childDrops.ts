/**
 * The child drops that the stage shows: they leave at the beads, at the moments at which the booked number passes equal
 * steps, and the bath's surface carries them on. All is a function of the time alone, so that a jump of the clock gives
 * what playing there gives.
 */
import type { LifeFrames, LifeSeries } from '../../life/types.ts'
import { locate } from '../../life/view.ts'
import { gapSpeed, gapSpeedIn, jumble, scatter } from './advect.ts'
import { beadAngle, beadsShown } from './beadWave.ts'

/** Largest number of drops shown. */
export const mostChildren = 480
/** Width of the smallest that are drawn, px. */
export const leastChild = 2
/** A drop comes into view, or is swallowed by the edge, within this time, s. */
const fading = 0.15

/**
 * One of how many is drawn: the smallest of 1, 2, 5, 10, 20 … at which the half circle shows no more than
 * `mostChildren`. @param total all that leave, round the whole drop
 */
export function thinning(total: number): number {
  for (let power = 1; ; power *= 10) {
    for (const step of [power, 2 * power, 5 * power]) if (total / 2 / step <= mostChildren) return step
  }
}

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

interface Drop {
  born: number
  angle: number
  /** m */
  radius: number
  /** Kept moments follow: `gaps[0]` is at the birth, `gaps[i]` at moment `first + i − 1`. */
  first: number
  /** Distances from the edge, m, as far as they are worked out. */
  gaps: number[]
  /** When the edge has overtaken it, s. */
  swallowed: number
}

/** The last value of a series up to moment k that is a number above 0. */
function knownAt(series: Float64Array, k: number): number {
  for (let i = Math.min(k, series.length - 1); i >= 0; i--) if (series[i]! > 0) return series[i]!
  return series.find((value) => value > 0) ?? Number.NaN
}

export class ChildDrops {
  private readonly frames: LifeFrames
  private readonly dishRadius: number
  private readonly drops: Drop[]
  private readonly counts: Float64Array
  /** One of so many is drawn. */
  readonly every: number

  constructor(frames: LifeFrames, series: LifeSeries, dishRadius: number) {
    this.frames = frames
    this.dishRadius = dishRadius
    this.counts = series.childCount
    const total = series.childCount.at(-1) ?? 0
    this.every = thinning(total)
    const births = passingTimes(series.t, series.childCount, Math.max(1, Math.round(total / 2 / this.every)))
    this.drops = Array.from(births, (born, i) => this.drop(born, i, series))
  }

  /** How many have left by time t, round the whole drop; between the kept moments as they leave in the picture. */
  leftBy(t: number): number {
    const { row, fraction } = locate(this.frames.t, this.frames.count, t)
    const { counts } = this
    return fraction === 0 ? counts[row]! : counts[row]! + fraction * (counts[row + 1]! - counts[row]!)
  }

  /** It leaves from the middle of a bead, whose crest stands beyond the edge. */
  private drop(born: number, i: number, series: LifeSeries): Drop {
    const { row, fraction } = locate(this.frames.t, this.frames.count, born)
    const next = Math.min(row + 1, this.frames.count - 1)
    const near = fraction < 0.5 ? row : next
    const n = knownAt(series.beads, near)
    const shown = beadsShown(n)
    const radius = knownAt(series.childRadius, near)
    const angle = shown > 0 ? beadAngle(n, Math.floor(scatter(i) * shown)) : Math.PI * scatter(i)
    // Beyond the crest, and not all alike: one lets go a little later than another.
    const gap = (series.beadAmplitude[near] || 0) + (radius || 0) * (1.2 + 0.4 * jumble(i))
    return { born, angle, radius, first: row + 1, gaps: [gap], swallowed: Number.POSITIVE_INFINITY }
  }

  /** Distance from the edge at time t, which is not before the birth; what is not yet known of the path is worked out. */
  private gapAt(drop: Drop, t: number): number {
    const { frames } = this
    const last = frames.count - 1
    const { row, fraction } = locate(frames.t, frames.count, t)
    const to = Math.min(row + 1, last)
    while (drop.first + drop.gaps.length - 2 < to) this.carry(drop)
    const at = (moment: number) => drop.gaps[Math.max(0, moment - drop.first + 1)]!
    if (row >= drop.first || fraction === 0) return at(row) + fraction * (at(to) - at(row))
    const since = frames.t[drop.first]! - drop.born
    return since > 0 ? at(row) + Math.min(1, (t - drop.born) / since) * (at(to) - at(row)) : at(to)
  }

  /** One kept moment further, by the trapezoidal rule with an Euler guess (Heun). */
  private carry(drop: Drop): void {
    const { frames, dishRadius } = this
    const { gaps, born, first } = drop
    const moment = first + gaps.length - 1
    const gap = gaps.at(-1)!
    if (moment >= frames.count) {
      gaps.push(gap)
      return
    }
    const fresh = gaps.length === 1
    const from = fresh ? born : frames.t[moment - 1]!
    const dt = frames.t[moment]! - from
    const before = fresh
      ? gapSpeed(frames, dishRadius, gap, born)
      : gapSpeedIn(frames, dishRadius, gap, moment - 1)
    const guess = gap + dt * before
    const next =
      guess > 0
        ? gap + 0.5 * dt * (before + gapSpeedIn(frames, dishRadius, guess, moment))
        : Math.min(guess, 0)
    // It touches the edge where its middle is no farther off than its radius.
    const touching = drop.radius || 0
    if (next <= touching && drop.swallowed === Number.POSITIVE_INFINITY) {
      drop.swallowed = gap > touching ? from + (dt * (gap - touching)) / (gap - next) : from
    }
    gaps.push(Math.min(Math.max(0, next), dishRadius - frames.R[moment]!))
  }

  /**
   * All drops that are seen at time t on an edge of radius R (m): radius (m) from the axis, direction on the half disc
   * (rad), opacity 0–1, radius of the drop (m). Their number, the swallowed ones left out.
   */
  at(t: number, R: number, put: (r: number, angle: number, opacity: number, radius: number) => void): number {
    let shown = 0
    for (const drop of this.drops) {
      if (drop.born > t) break
      const gap = this.gapAt(drop, t)
      const left = Math.max(0, 1 - Math.max(0, t - drop.swallowed) / fading)
      if (left === 0) continue
      put(R + gap, drop.angle, Math.min(1, (t - drop.born) / fading) * left, drop.radius)
      shown++
    }
    return shown
  }
}
