/**
 * How far the camera has moved since a picture of the bath was taken: least squares on the brightness at places where the
 * picture is steep (B. D. Lucas, T. Kanade, Proc. IJCAI 1981), from coarse to fine, with Tukey's weights, so that a drop
 * or a hand over some of the places has no say.
 */
import { luminance } from './light.ts'
import type { Frame, Point } from './types.ts'

/** Places of one picture at one fineness. */
interface Level {
  /** Edge length of the squares that are averaged, px. */
  size: number
  x: Int32Array
  y: Int32Array
  /** Brightness there (square root of the light, 0–1), and its slopes, per px. */
  bright: Float32Array
  slopeX: Float32Array
  slopeY: Float32Array
}

export interface Places {
  levels: readonly Level[]
  /** Longest shift that is looked for, px. */
  most: number
}

/** Fewest places that tell a shift. */
const fewest = 16
/** Slopes below this tell nothing, brightness over the size of a square. */
const leastSlope = 0.012
/** Brightness that differs by less than this differs by noise. */
const leastSpread = 0.006

const rootOf = Float32Array.from({ length: 256 }, (_, byte) => {
  const v = byte / 255
  return Math.sqrt(v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4)
})
const [red, green, blue] = luminance

/** Brightness of a square of a frame about a point, px; NaN beyond the frame. */
function squareOf({ width, height, data }: Frame, x: number, y: number, size: number): number {
  const left = Math.round(x - size / 2)
  const top = Math.round(y - size / 2)
  if (left < 0 || top < 0 || left + size > width || top + size > height) return Number.NaN
  let sum = 0
  const step = size > 6 ? 2 : 1
  let count = 0
  for (let j = top; j < top + size; j += step) {
    for (let i = left; i < left + size; i += step) {
      const at = 4 * (j * width + i)
      sum += red * rootOf[data[at]!]! + green * rootOf[data[at + 1]!]! + blue * rootOf[data[at + 2]!]!
      count++
    }
  }
  return sum / count
}

/** Between whole pixels, from the four squares round the point. */
function betweenSquares(frame: Frame, x: number, y: number, size: number): number {
  const [ix, iy] = [Math.floor(x), Math.floor(y)]
  const [fx, fy] = [x - ix, y - iy]
  if (size > 4) return squareOf(frame, x, y, size)
  const top = squareOf(frame, ix, iy, size) * (1 - fx) + squareOf(frame, ix + 1, iy, size) * fx
  const bottom = squareOf(frame, ix, iy + 1, size) * (1 - fx) + squareOf(frame, ix + 1, iy + 1, size) * fx
  return top * (1 - fy) + bottom * fy
}

/** The steepest place of each cell of a grid of about 40 × 30 cells. */
function levelOf(frame: Frame, size: number): Level {
  const cell = Math.max(size, Math.round(Math.max(frame.width, frame.height) / 40))
  const stride = Math.max(1, size >> 1, Math.round(cell / 6))
  const list: number[][] = []
  const margin = 2 * size
  for (let top = margin; top < frame.height - margin; top += cell) {
    for (let left = margin; left < frame.width - margin; left += cell) {
      let best: number[] = []
      let most = leastSlope
      for (let y = top; y < Math.min(top + cell, frame.height - margin); y += stride) {
        for (let x = left; x < Math.min(left + cell, frame.width - margin); x += stride) {
          const at = (dx: number, dy: number) => squareOf(frame, x + dx * size, y + dy * size, size)
          const [sx, sy] = [(at(1, 0) - at(-1, 0)) / 2, (at(0, 1) - at(0, -1)) / 2]
          const steep = Math.hypot(sx, sy)
          if (!(steep > most)) continue
          most = steep
          best = [x, y, at(0, 0), sx / size, sy / size]
        }
      }
      if (best.length > 0) list.push(best)
    }
  }
  const column = (k: number) => list.map((place) => place[k]!)
  return {
    size,
    x: Int32Array.from(column(0)),
    y: Int32Array.from(column(1)),
    bright: Float32Array.from(column(2)),
    slopeX: Float32Array.from(column(3)),
    slopeY: Float32Array.from(column(4)),
  }
}

/** The places of a picture by which shifts are told. */
export function placesOf(picture: Frame): Places {
  const longest = Math.max(picture.width, picture.height)
  const sizes = [2]
  while (sizes.at(-1)! < longest / 100) sizes.push(2 * sizes.at(-1)!)
  const levels = sizes.reverse().map((size) => levelOf(picture, size))
  return { levels, most: 0.06 * longest }
}

interface Sums {
  /** Mean of the capped squares of what is left, in units of the spread: 1 = nothing agrees. */
  cost: number
  step: Point
}

/** What is left at a shift, and the step towards the best one. */
function sumsAt(frame: Frame, level: Level, shift: Point, spread: number, into: Float32Array): Sums {
  const { x, y, bright, slopeX, slopeY, size } = level
  let [xx, xy, yy, xr, yr, cost, seen] = [0, 0, 0, 0, 0, 0, 0]
  const cap = 4.685 * spread
  for (let i = 0; i < x.length; i++) {
    const there = betweenSquares(frame, x[i]! + shift.x, y[i]! + shift.y, size)
    const left = there - bright[i]!
    into[i] = left
    if (Number.isNaN(left)) continue
    seen++
    const part = left / cap
    if (Math.abs(part) >= 1) {
      cost++
      continue
    }
    const w = (1 - part * part) ** 2
    cost += 1 - (1 - part * part) ** 3
    xx += w * slopeX[i]! ** 2
    xy += w * slopeX[i]! * slopeY[i]!
    yy += w * slopeY[i]! ** 2
    xr += w * slopeX[i]! * left
    yr += w * slopeY[i]! * left
  }
  const ridge = 0.02 * (xx + yy) + 1e-9
  const [a, c] = [xx + ridge, yy + ridge]
  const det = a * c - xy * xy
  // The frame shows at p + shift what the picture shows at p: brighter along the slope means it lies further back.
  return {
    cost: seen < fewest ? 1 : cost / seen,
    step: { x: -(c * xr - xy * yr) / det, y: -(a * yr - xy * xr) / det },
  }
}

/** 1.4826 × median of the sizes. */
function spreadOf(list: Float32Array): number {
  const sizes = list.filter((value) => !Number.isNaN(value)).map(Math.abs)
  sizes.sort()
  return Math.max(1.4826 * (sizes[sizes.length >> 1] ?? 0), leastSpread)
}

/** Over the squares of the coarsest level: the whole shift at which most places agree. */
function search(frame: Frame, level: Level, most: number): Point {
  const reach = Math.ceil(most / level.size)
  const into = new Float32Array(level.x.length)
  let best = { x: 0, y: 0 }
  let least = sumsAt(frame, level, best, 0.02, into).cost * 0.9
  for (let j = -reach; j <= reach; j++) {
    for (let i = -reach; i <= reach; i++) {
      const shift = { x: i * level.size, y: j * level.size }
      const { cost } = sumsAt(frame, level, shift, 0.02, into)
      if (cost >= least) continue
      least = cost
      best = shift
    }
  }
  return best
}

/**
 * Shift of a frame against the picture, px: what the picture shows at p the frame shows at p + shift. Nought if the
 * picture has too little that is steep, or if no shift makes the two agree clearly better than none.
 */
export function shiftOf(frame: Frame, { levels, most }: Places): Point {
  const none = { x: 0, y: 0 }
  const finest = levels.at(-1)!
  if (finest.x.length < fewest) return none
  const into = new Float32Array(Math.max(...levels.map(({ x }) => x.length)))
  const still = sumsAt(frame, finest, none, 0.03, into)
  const calm = spreadOf(into.slice(0, finest.x.length)) < 0.012
  let shift = calm || levels[0]!.x.length < fewest ? none : search(frame, levels[0]!, most)
  for (const level of calm ? [finest] : levels) {
    if (level.x.length < fewest) continue
    const own = into.subarray(0, level.x.length)
    for (let round = 0; round < 6; round++) {
      sumsAt(frame, level, shift, 1, own)
      const { step } = sumsAt(frame, level, shift, spreadOf(own), own)
      const length = Math.hypot(step.x, step.y)
      const factor = Math.min(1, level.size / Math.max(length, 1e-9))
      shift = { x: shift.x + factor * step.x, y: shift.y + factor * step.y }
      if (length < 0.01) break
    }
  }
  if (!(Math.hypot(shift.x, shift.y) <= most)) return none
  const moved = sumsAt(frame, finest, shift, 0.03, into).cost
  return moved < 0.98 * still.cost && moved < 0.6 ? shift : none
}

/** The frame moved by whole pixels so that it lies on the picture; beyond its edge its own edge is continued. */
export function movedBack(frame: Frame, by: Point): Frame {
  const { width, height, data } = frame
  if (by.x === 0 && by.y === 0) return frame
  const from = new Uint32Array(data.buffer, data.byteOffset, width * height)
  const to = new Uint32Array(width * height)
  for (let y = 0; y < height; y++) {
    const row = Math.min(height - 1, Math.max(0, y + by.y)) * width
    if (by.x >= 0) {
      to.set(from.subarray(row + Math.min(by.x, width - 1), row + width), y * width)
      to.fill(from[row + width - 1]!, y * width + Math.max(0, width - by.x), (y + 1) * width)
    } else {
      to.set(from.subarray(row, row + Math.max(0, width + by.x)), y * width - by.x)
      to.fill(from[row]!, y * width, y * width + Math.min(width, -by.x))
    }
  }
  return { width, height, data: new Uint8ClampedArray(to.buffer) }
}
