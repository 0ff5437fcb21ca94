/** What counts as drop: the film with its fingers, without child drops. On masks of one byte per pixel, row by row. */
import { regionsOf } from './regions.ts'
import type { Plane } from './types.ts'

/** Cost of a step along a row, and across a corner, thirds of a pixel (G. Borgefors, CVGIP 34, 1986: 3–4 chamfer). */
const straight = 3
const slanting = 4

/** Distance of every set pixel from the nearest unset one (what lies beyond the border is set), px, about 5 % right. */
export function depths(mask: Uint8Array, width: number, height: number): Float32Array {
  const far = 1e6
  const d = new Int32Array(mask.length)
  for (let i = 0; i < d.length; i++) d[i] = mask[i] ? far : 0
  for (let y = 0, i = 0; y < height; y++) {
    for (let x = 0; x < width; x++, i++) {
      let least = d[i]!
      if (least === 0) continue
      if (x > 0) least = Math.min(least, d[i - 1]! + straight)
      if (y > 0) {
        least = Math.min(least, d[i - width]! + straight)
        if (x > 0) least = Math.min(least, d[i - width - 1]! + slanting)
        if (x < width - 1) least = Math.min(least, d[i - width + 1]! + slanting)
      }
      d[i] = least
    }
  }
  for (let y = height - 1, i = d.length - 1; y >= 0; y--) {
    for (let x = width - 1; x >= 0; x--, i--) {
      let least = d[i]!
      if (least === 0) continue
      if (x < width - 1) least = Math.min(least, d[i + 1]! + straight)
      if (y < height - 1) {
        least = Math.min(least, d[i + width]! + straight)
        if (x < width - 1) least = Math.min(least, d[i + width + 1]! + slanting)
        if (x > 0) least = Math.min(least, d[i + width - 1]! + slanting)
      }
      d[i] = least
    }
  }
  const result = new Float32Array(d.length)
  for (let i = 0; i < d.length; i++) result[i] = d[i]! / straight
  return result
}

/**
 * The main part of a region when it is divided where the signal falls below `ridge` between parts that rise above it: each
 * pixel goes to the part that reaches it first within the region.
 */
export function mainPart(region: Uint8Array, { width, height, values }: Plane, ridge: number): Uint8Array {
  const heads = Uint8Array.from(region, (set, i) => (set && values[i]! > ridge ? 1 : 0))
  const parts = regionsOf(heads, width, height).filter((part) => part.length >= 3)
  if (parts.length < 2) return region
  parts.sort((a, b) => b.length - a.length)
  const labels = new Int32Array(region.length)
  const queue = new Int32Array(region.length)
  const near = new Int32Array(4)
  let end = 0
  parts.forEach((part, k) => {
    for (const i of part) {
      labels[i] = k + 1
      queue[end++] = i
    }
  })
  for (let head = 0; head < end; head++) {
    const i = queue[head]!
    beside(i, width, region.length, near)
    for (let k = 0; k < 4; k++) {
      const j = near[k]!
      if (j < 0 || !region[j] || labels[j]) continue
      labels[j] = labels[i]!
      queue[end++] = j
    }
  }
  return region.map((set, i) => (set && labels[i]! <= 1 ? 1 : 0))
}

/** What juts out of a region's body, or hangs on to it. */
export interface Piece {
  pixels: Int32Array
  /** Radius of the largest disc that fits, px. */
  thick: number
  /** That over the radius of the largest disc that can pass from there to the body: 1 for a finger, more on a neck. */
  bulge: number
}

/** Pieces smaller than this are the corners that every opening leaves, px. */
const leastPiece = 6

/** The four neighbours of a pixel that are in the picture; −1 for others. */
function beside(i: number, width: number, count: number, into: Int32Array): Int32Array {
  const x = i % width
  into[0] = x > 0 ? i - 1 : -1
  into[1] = x < width - 1 ? i + 1 : -1
  into[2] = i >= width ? i - width : -1
  into[3] = i + width < count ? i + width : -1
  return into
}

/** Radius of the largest disc that can pass from the core to each pixel of the region, px (by flooding from the deepest). */
function passages(core: Int32Array, depth: Float32Array, width: number, reach: number): Float32Array {
  const most = Math.ceil(3 * reach) + 1
  const found = new Float32Array(depth.length)
  const near = new Int32Array(4)
  const heaps: number[][] = Array.from({ length: most + 1 }, () => [])
  for (const i of core) {
    found[i] = reach
    for (const j of beside(i, width, depth.length, near)) {
      if (j >= 0 && depth[j]! <= reach) {
        heaps[most]!.push(i)
        break
      }
    }
  }
  for (let level = most; level > 0; level--) {
    const heap = heaps[level]!
    for (let i = heap.pop(); i !== undefined; i = heap.pop()) {
      for (const j of beside(i, width, depth.length, near)) {
        if (j < 0 || depth[j] === 0 || found[j]! > 0) continue
        found[j] = Math.min(found[i]!, depth[j]!)
        heaps[Math.min(level, Math.ceil(3 * found[j]!))]!.push(j)
      }
    }
  }
  return found
}

/** The part of a mask that holds all that is set, with a pixel more on every side where there is one. */
function cropped(mask: Uint8Array, width: number, height: number) {
  let [left, right, top, bottom] = [width, -1, height, -1]
  for (let y = 0, i = 0; y < height; y++) {
    for (let x = 0; x < width; x++, i++) {
      if (!mask[i]) continue
      if (x < left) left = x
      if (x > right) right = x
      if (y < top) top = y
      bottom = y
    }
  }
  left = Math.max(0, left - 1)
  top = Math.max(0, top - 1)
  const wide = Math.max(0, Math.min(width, right + 2) - left)
  const high = Math.max(0, Math.min(height, bottom + 2) - top)
  const part = new Uint8Array(wide * high)
  for (let y = 0; y < high; y++) {
    const from = (top + y) * width + left
    part.set(mask.subarray(from, from + wide), y * wide)
  }
  /** Place in the whole mask of a place in the part. */
  const whole = (i: number): number => (top + Math.floor(i / wide)) * width + left + (i % wide)
  return { part, wide, high, whole }
}

/** The parts of a region that are narrower than 2·`reach` px: beyond the discs of that radius that fit into its body. */
export function piecesOf(mask: Uint8Array, width: number, height: number, reach: number): Piece[] {
  const { part, wide, high, whole } = cropped(mask, width, height)
  return piecesWithin(part, wide, high, reach).map((piece) => ({ ...piece, pixels: piece.pixels.map(whole) }))
}

function piecesWithin(region: Uint8Array, width: number, height: number, reach: number): Piece[] {
  const depth = depths(region, width, height)
  const core = Uint8Array.from(depth, (d) => (d > reach ? 1 : 0))
  const [body] = regionsOf(core, width, height).sort((a, b) => b.length - a.length)
  if (!body) return []
  const outside = new Uint8Array(region.length).fill(1)
  for (const i of body) outside[i] = 0
  const away = depths(outside, width, height)
  const loose = region.map((set, i) => (set && away[i]! > reach + 0.6 ? 1 : 0))
  const pieces = regionsOf(loose, width, height).filter(({ length }) => length >= leastPiece)
  if (pieces.length === 0) return []
  const passage = passages(body, depth, width, reach)
  return pieces.map((pixels) => {
    let deepest = pixels[0]!
    for (const i of pixels) if (depth[i]! > depth[deepest]!) deepest = i
    // Depths are from centre to centre: half a pixel more than from the edge.
    const thick = depth[deepest]! - 0.5
    return { pixels, thick, bulge: thick / Math.max(passage[deepest]! - 0.5, 0.5) }
  })
}
