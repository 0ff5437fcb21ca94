/** The outline of a region between pixels, and what follows from it. */
import type { Plane, Point } from './types.ts'

/** A closed outline, clockwise as seen on the screen. */
export interface Outline {
  x: Float64Array
  y: Float64Array
  /** 1 where the place is a guess: a reflection, something cut off, or the end of the picture lies there. */
  doubtful: Uint8Array
}

interface Step {
  dx: number
  dy: number
  /** Pixel on the right of the step (inside), on its left (outside), from the step's first corner. */
  inside: [number, number]
  outside: [number, number]
}

/** East, south, west, north. */
const steps: readonly Step[] = [
  { dx: 1, dy: 0, inside: [0, 0], outside: [0, -1] },
  { dx: 0, dy: 1, inside: [-1, 0], outside: [0, 0] },
  { dx: -1, dy: 0, inside: [-1, -1], outside: [-1, 0] },
  { dx: 0, dy: -1, inside: [0, -1], outside: [-1, -1] },
]

/**
 * Walks once round a region without holes, along the cracks between inside and outside pixels. Each crack gives the
 * point where the signal, taken as straight between the two pixel centres, passes `level`: partial coverage of
 * pixels counts in proportion. Where it does not pass, or the pixel outside is `unknown` or not `open`, the point
 * is doubtful. `touches` is true if that is so because the picture or the watched circle ends there.
 */
export function traceOutline(
  region: Uint8Array,
  { width, height, values }: Plane,
  level: number,
  unknown: Uint8Array,
  open: Uint8Array,
): { outline: Outline; touches: boolean } {
  const xs: number[] = []
  const ys: number[] = []
  const doubts: number[] = []
  let touches = false
  const set = (x: number, y: number) =>
    x >= 0 && y >= 0 && x < width && y < height && region[y * width + x] === 1
  const first = region.indexOf(1)
  const start = { x: first % width, y: Math.floor(first / width) }
  let { x, y } = start
  let heading = 0
  const cross = ({ inside, outside }: Step) => {
    const ix = x + inside[0]
    const iy = y + inside[1]
    const ox = x + outside[0]
    const oy = y + outside[1]
    const within = ox >= 0 && oy >= 0 && ox < width && oy < height && open[oy * width + ox] === 1
    const here = values[iy * width + ix]!
    const there = within ? values[oy * width + ox]! : Number.NaN
    const passes = here > level && there <= level
    const part = passes ? (here - level) / (here - there) : 0.5
    touches ||= !within
    xs.push(ix + 0.5 + part * (ox - ix))
    ys.push(iy + 0.5 + part * (oy - iy))
    doubts.push(!passes || unknown[oy * width + ox] ? 1 : 0)
  }
  do {
    const step = steps[heading]!
    cross(step)
    x += step.dx
    y += step.dy
    const right = steps[heading]!.inside
    const left = steps[heading]!.outside
    if (!set(x + right[0], y + right[1])) heading = (heading + 1) % 4
    else if (set(x + left[0], y + left[1])) heading = (heading + 3) % 4
  } while (x !== start.x || y !== start.y || heading !== 0)
  return {
    outline: { x: Float64Array.from(xs), y: Float64Array.from(ys), doubtful: Uint8Array.from(doubts) },
    touches,
  }
}

/** Area (px², positive) and centre of a closed outline, by the shoelace formula. */
export function areaOf({ x, y }: Outline): { area: number; centre: Point } {
  let twice = 0
  let sx = 0
  let sy = 0
  for (let i = 0, j = x.length - 1; i < x.length; j = i++) {
    const cross = x[j]! * y[i]! - x[i]! * y[j]!
    twice += cross
    sx += (x[j]! + x[i]!) * cross
    sy += (y[j]! + y[i]!) * cross
  }
  return { area: Math.abs(twice / 2), centre: { x: sx / (3 * twice), y: sy / (3 * twice) } }
}

/** Turn from one direction to another, −π … π. */
const turn = (from: number, to: number): number => {
  const by = (to - from) % (2 * Math.PI)
  return by > Math.PI ? by - 2 * Math.PI : by <= -Math.PI ? by + 2 * Math.PI : by
}

/** Mean distance of the outline from a point within, each direction counting alike. */
export function meanRadius({ x, y }: Outline, centre: Point): number {
  let sum = 0
  let round = 0
  for (let i = 0, j = x.length - 1; i < x.length; j = i++) {
    const ax = x[j]! - centre.x
    const ay = y[j]! - centre.y
    const bx = x[i]! - centre.x
    const by = y[i]! - centre.y
    const angle = turn(Math.atan2(ay, ax), Math.atan2(by, bx))
    sum += angle * 0.5 * (Math.hypot(ax, ay) + Math.hypot(bx, by))
    round += angle
  }
  return sum / round
}

/** Root mean square distance of the outline from a circle about a point within, as a share of its mean radius. */
export function raggedOf({ x, y }: Outline, centre: Point): number {
  let sum = 0
  let squares = 0
  let length = 0
  for (let i = 0, j = x.length - 1; i < x.length; j = i++) {
    const away = Math.hypot(x[i]! - centre.x, y[i]! - centre.y)
    const angle = Math.abs(
      turn(Math.atan2(y[j]! - centre.y, x[j]! - centre.x), Math.atan2(y[i]! - centre.y, x[i]! - centre.x)),
    )
    sum += angle * away
    squares += angle * away * away
    length += angle
  }
  const mean = sum / length
  return mean > 0 ? Math.sqrt(Math.max(0, squares / length - mean * mean)) / mean : 0
}

/** Directions at which the fine raggedness is read, and half the width of what counts as slow, directions. */
const directions = 360
const slow = 22

/**
 * Root mean square distance of the outline from its own running mean over an eighth of the turn, as a share of the radius:
 * fingers and bumps, without ovals and slow waves.
 */
export function fineRaggedOf({ x, y }: Outline, centre: Point): number {
  const sums = new Float64Array(directions)
  const counts = new Float64Array(directions)
  for (let i = 0; i < x.length; i++) {
    const angle = Math.atan2(y[i]! - centre.y, x[i]! - centre.x) / (2 * Math.PI) + 0.5
    const k = Math.min(directions - 1, Math.floor(angle * directions))
    sums[k]! += Math.hypot(x[i]! - centre.x, y[i]! - centre.y)
    counts[k]!++
  }
  const first = counts.findIndex((count) => count > 0)
  let last = first < 0 ? 0 : sums[first]! / counts[first]!
  let mean = 0
  for (let k = 0; k < directions; k++) {
    if (counts[k]! > 0) last = sums[k]! / counts[k]!
    sums[k] = last
    mean += last / directions
  }
  let squares = 0
  for (let k = 0; k < directions; k++) {
    let near = 0
    for (let j = -slow; j <= slow; j++) near += sums[(k + j + directions) % directions]!
    squares += (sums[k]! - near / (2 * slow + 1)) ** 2 / directions
  }
  return mean > 0 ? Math.sqrt(squares) / mean : 0
}

/** The outline smoothed along itself by a running mean over 2·half + 1 points. */
export function calmed({ x, y, doubtful }: Outline, half: number): Outline {
  const n = x.length
  const mean = (values: Float64Array) => {
    const result = new Float64Array(n)
    let sum = 0
    for (let k = -half; k <= half; k++) sum += values[(k + n) % n]!
    for (let i = 0; i < n; i++) {
      result[i] = sum / (2 * half + 1)
      sum += values[(i + half + 1) % n]! - values[(i - half + n) % n]!
    }
    return result
  }
  return n > 4 * half + 4 ? { x: mean(x), y: mean(y), doubtful } : { x, y, doubtful }
}

/** 4π·area/perimeter²; the outline is smoothed over a few pixels first, so that noise does not lengthen it. */
export function roundnessOf(outline: Outline): number {
  const still = calmed(outline, Math.min(3, Math.floor(outline.x.length / 24)))
  const { x, y } = still
  let perimeter = 0
  for (let i = 0, j = x.length - 1; i < x.length; j = i++) {
    perimeter += Math.hypot(x[i]! - x[j]!, y[i]! - y[j]!)
  }
  return (4 * Math.PI * areaOf(still).area) / perimeter ** 2
}

/**
 * Replaces every doubtful stretch by a curve whose distance from the centre goes evenly from one end to the other.
 * `share` is the part of the full turn that was bridged; nothing is done if one stretch is more than a third of it.
 */
export function bridge(outline: Outline): { outline: Outline; share: number } {
  const { x, y, doubtful } = outline
  const n = x.length
  const good = [...doubtful.keys()].filter((i) => !doubtful[i])
  if (good.length === n || good.length < 3) return { outline, share: good.length === n ? 0 : 1 }
  const pick = (values: Float64Array) => Float64Array.from(good, (i) => values[i]!)
  const { centre } = areaOf({ x: pick(x), y: pick(y), doubtful })
  const polar = (i: number) => ({
    angle: Math.atan2(y[i]! - centre.y, x[i]! - centre.x),
    r: Math.hypot(x[i]! - centre.x, y[i]! - centre.y),
  })
  const points: [number, number, number][] = []
  let turned = 0
  let longest = 0
  good.forEach((i, k) => {
    const next = good[(k + 1) % good.length]!
    points.push([x[i]!, y[i]!, 0])
    if ((next - i + n) % n === 1) return
    const a = polar(i)
    const b = polar(next)
    const by = turn(a.angle, b.angle)
    turned += Math.abs(by)
    longest = Math.max(longest, Math.abs(by))
    const count = Math.ceil((Math.abs(by) * (a.r + b.r)) / 2)
    for (let m = 1; m < count; m++) {
      const angle = a.angle + (by * m) / count
      const r = a.r + ((b.r - a.r) * m) / count
      points.push([centre.x + r * Math.cos(angle), centre.y + r * Math.sin(angle), 1])
    }
  })
  const share = turned / (2 * Math.PI)
  if (longest > (2 * Math.PI) / 3) return { outline, share }
  const column = (k: 0 | 1) => Float64Array.from(points, (point) => point[k])
  return {
    outline: { x: column(0), y: column(1), doubtful: Uint8Array.from(points, (point) => point[2]) },
    share,
  }
}
