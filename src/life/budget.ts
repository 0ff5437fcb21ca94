/**
 * What makes and takes the thickness of the film at one place: the budget of a ring at fixed r/R, and what thinned the liquid
 * on its way there. From the recorded fields alone. SI units; a gain of thickness counts positive.
 */
import { exp, log, square } from '../numerics/elementary.ts'
import type { LifeFrames } from './types.ts'
import { intervalOf } from './view.ts'

/**
 * Volume of a ring that reaches from `from` to `to` times the edge radius and moves with the edge:
 *
 *     dh/dt = inflow + outflow + widening + vapour + oil + child        (h: mean over the ring's area)
 *
 * by conservation of volume in a moving control volume (Reynolds' transport theorem): its sides move at r U/R, so that what
 * passes them is h (w − r U/R), and its area grows as R². Rates in m/s.
 */
export interface RingBudget {
  /** r/R of the two sides. */
  from: number
  to: number
  /** Area, m². */
  area: number
  /** Mean thickness, m. */
  thickness: number
  /** Through the inner and the outer side (outflow is negative where liquid leaves). */
  inflow: number
  outflow: number
  /** The ring grows with the drop and spreads what it holds over more area (positive while the drop draws back). */
  widening: number
  vapour: number
  oil: number
  child: number
  /** All of them: the rate at which the ring's film grows thicker. */
  rate: number
  /** −h div w: what the liquid in the ring loses of its thickness as it is stretched. */
  stretching: number
  /** Thickness, m, and mean speed of the liquid over it, m/s, at the inner and at the outer side. */
  inner: { thickness: number; speed: number }
  outer: { thickness: number; speed: number }
}

/** Thickness at face f, m: the geometric mean of its two cells, as in the film's own flux; 0 at the edge. */
function faceThickness({ h, inner }: LifeFrames, row: number, f: number): number {
  const at = row * inner
  if (f === 0) return h[at]!
  return f === inner ? 0 : Math.sqrt(Math.max(0, h[at + f - 1]!) * Math.max(0, h[at + f]!))
}

/** Mean speed of the liquid over the thickness at face f, m/s; that of the edge where there is no liquid. */
export function faceSpeed(frames: LifeFrames, row: number, f: number): number {
  const { sFaces, R, U, flux, inner } = frames
  const carried = sFaces[f]! * U[row]!
  const liquid = R[row]! * sFaces[f]! * faceThickness(frames, row, f)
  return f === 0 || !(liquid > 0) ? carried : flux[row * (inner + 1) + f]! / liquid + carried
}

function meanOf(
  field: Float64Array,
  { sFaces, inner }: LifeFrames,
  row: number,
  a: number,
  b: number,
): number {
  let sum = 0
  let area = 0
  for (let i = a; i < b; i++) {
    const part = square(sFaces[i + 1]!) - square(sFaces[i]!)
    sum += part * field[row * inner + i]!
    area += part
  }
  return sum / area
}

/** Budget of the ring between faces a and b (0 ≤ a < b ≤ inner) at a kept moment. */
export function ringBudget(frames: LifeFrames, row: number, a: number, b: number): RingBudget {
  const { sFaces, flux, inner } = frames
  const [R, U] = [frames.R[row]!, frames.U[row]!]
  const half = 0.5 * (square(sFaces[b]!) - square(sFaces[a]!)) * R * R
  const through = (f: number) => flux[row * (inner + 1) + f]! / half
  const mean = (field: Float64Array) => meanOf(field, frames, row, a, b)
  const thickness = mean(frames.h)
  const side = (f: number) => ({
    thickness: faceThickness(frames, row, f),
    speed: faceSpeed(frames, row, f),
  })
  const [inside, outside] = [side(a), side(b)]
  const terms = {
    inflow: through(a),
    outflow: -through(b),
    widening: (-2 * thickness * U) / R,
    vapour: -mean(frames.vapour),
    oil: -mean(frames.uptake),
    child: -mean(frames.shed),
  }
  return {
    from: sFaces[a]!,
    to: sFaces[b]!,
    area: 2 * Math.PI * half,
    thickness,
    ...terms,
    rate: Object.values(terms).reduce((sum, term) => sum + term, 0),
    stretching: (-thickness * R * (sFaces[b]! * outside.speed - sFaces[a]! * inside.speed)) / half,
    inner: inside,
    outer: outside,
  }
}

/** Rate at which the same ring's mean thickness changes by the thicknesses alone: slope of the parabola through three moments, m/s. */
export function seenRate(frames: LifeFrames, row: number, a: number, b: number): number {
  const { t, h } = frames
  const at = (k: number) => meanOf(h, frames, k, a, b)
  const [before, after] = [t[row]! - t[row - 1]!, t[row + 1]! - t[row]!]
  const [rise, next] = [(at(row) - at(row - 1)) / before, (at(row + 1) - at(row)) / after]
  return (rise * after + next * before) / (before + after)
}

/** How the liquid at a place came to its thickness, followed back; in e-foldings: ln(start/end) = stretched + vapour + oil + child. */
export interface Followed {
  /** Moment, s, place r/R and thickness, m, at which it is met first, and those where it is now. */
  start: { time: number; place: number; thickness: number }
  end: { time: number; place: number; thickness: number }
  stretched: number
  vapour: number
  oil: number
  child: number
}

/** The fields that the way of the liquid needs, between the cells and the moments. */
class Stream {
  private readonly centres: Float64Array
  private readonly spread: Float64Array
  constructor(readonly frames: LifeFrames) {
    const { sFaces, inner, count } = frames
    this.centres = Float64Array.from({ length: inner }, (_, i) => 0.5 * (sFaces[i]! + sFaces[i + 1]!))
    this.spread = new Float64Array(count * inner).fill(Number.NaN)
  }

  /** Divergence of the liquid's speed in cell i, 1/s. */
  private divergence(row: number, i: number): number {
    const { frames, spread } = this
    const { sFaces, R, inner } = frames
    const at = row * inner + i
    if (Number.isNaN(spread[at]!)) {
      const [s, e] = [sFaces[i]!, sFaces[i + 1]!]
      const out = e * faceSpeed(frames, row, i + 1) - s * faceSpeed(frames, row, i)
      spread[at] = (2 * out) / (R[row]! * (e * e - s * s))
    }
    return spread[at]!
  }

  /** Value over s of one moment. */
  private over(s: number, of: (i: number) => number): number {
    const { centres } = this
    const i = intervalOf(centres, centres.length, s)
    const x = Math.min(Math.max((s - centres[i]!) / (centres[i + 1]! - centres[i]!), 0), 1)
    return of(i) + x * (of(i + 1) - of(i))
  }

  /** Everything at moment `row` + x (0–1) and place s: ds/dt in 1/s, thickness in m, the rest in 1/s. */
  at(row: number, x: number, s: number) {
    const { inner, sFaces, flux, R, h, vapour, uptake, shed } = this.frames
    const mix = (of: (k: number) => number) => (x > 0 ? (1 - x) * of(row) + x * of(row + 1) : of(row))
    const cells = (of: (k: number, i: number) => number) => mix((k) => this.over(s, (i) => of(k, i)))
    const thickness = exp(cells((k, i) => log(Math.max(h[k * inner + i]!, 1e-12))))
    const f = intervalOf(sFaces, inner + 1, s)
    const y = (s - sFaces[f]!) / (sFaces[f + 1]! - sFaces[f]!)
    const passing = mix((k) => {
      const at = k * (inner + 1) + f
      return (flux[at]! + y * (flux[at + 1]! - flux[at]!)) / square(R[k]!)
    })
    const lost = (field: Float64Array) => cells((k, i) => field[k * inner + i]!) / thickness
    return {
      speed: passing / (s * thickness),
      thickness,
      stretched: cells((k, i) => this.divergence(k, i)),
      vapour: lost(vapour),
      oil: lost(uptake),
      child: lost(shed),
    }
  }
}

/** Longest way of a step along the path, in r/R, and most steps between two moments. */
const STRIDE = 0.003
const MOST_STRIDES = 60

/**
 * Follows the liquid at s (r/R) of a kept moment back to where it was `times` as thick, or to the start of the life; the
 * middle of each step decides its way (second order).
 */
export function followBack(frames: LifeFrames, row: number, place: number, times: number): Followed {
  const stream = new Stream(frames)
  const { t } = frames
  let s = place
  let now = stream.at(row, 0, s)
  const end = { time: t[row]!, place, thickness: now.thickness }
  const sums = { stretched: 0, vapour: 0, oil: 0, child: 0 }
  let start = end
  for (let k = row - 1; k >= 0 && start.thickness < times * end.thickness; k--) {
    const span = t[k + 1]! - t[k]!
    const parts = Math.min(MOST_STRIDES, Math.max(2, Math.ceil((Math.abs(now.speed) * span) / STRIDE)))
    const dt = span / parts
    for (let p = parts; p > 0 && start.thickness < times * end.thickness; p--) {
      const held = (value: number) => Math.min(Math.max(value, 1e-3), 0.999)
      const middle = stream.at(k, (p - 0.5) / parts, held(s - 0.5 * dt * now.speed))
      s = held(s - dt * middle.speed)
      for (const key of ['stretched', 'vapour', 'oil', 'child'] as const) sums[key] += dt * middle[key]
      now = stream.at(k, (p - 1) / parts, s)
      start = { time: t[k]! + (p - 1) * dt, place: s, thickness: now.thickness }
    }
  }
  return { start, end, ...sums }
}

/**
 * Cell of the thinnest stretch of the film inside the rim's top (cell `top`): of all neighbouring three the one whose thickest is
 * thinnest. A dip of a single cell at the rim's foot, which the mesh does not resolve, does not count.
 */
export function thinStretch({ h, inner }: LifeFrames, row: number, top: number): number {
  const at = row * inner
  let best = -1
  let least = Number.POSITIVE_INFINITY
  for (let i = 1; i < top; i++) {
    const thickest = Math.max(h[at + i - 1]!, h[at + i]!, h[at + i + 1]!)
    if (thickest >= least) continue
    least = thickest
    best = i
  }
  return best
}

/** First face of the ring that leads up to cell `thin`: from where, seen from there inward, the film is `times` as thick. */
export function leadingFace({ h, inner }: LifeFrames, row: number, thin: number, times: number): number {
  const at = row * inner
  let a = thin
  while (a > 0 && h[at + a - 1]! < times * h[at + thin]!) a--
  return a
}
