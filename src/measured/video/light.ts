/** From stored bytes to light: mixing at a blurred edge is linear in light, not in the bytes. */
import type { Frame, Plane } from './types.ts'

/** Light of a byte, 0–1, by the transfer function of sRGB (IEC 61966-2-1). */
export const lightOf: Float32Array = Float32Array.from({ length: 256 }, (_, byte) => {
  const v = byte / 255
  return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4
})

/** Shares of red, green and blue in the luminance (ITU-R BT.709, table of item 3). */
export const luminance: readonly [number, number, number] = [0.2126, 0.7152, 0.0722]

/** Three planes of light whose pixels are means over blocks of `block` × `block` pixels of the frame. */
export interface Coarse {
  block: number
  width: number
  height: number
  /** Red, green, blue. */
  light: [Float32Array, Float32Array, Float32Array]
}

/** Edge length of the blocks: the coarse picture keeps its longer side near 160. */
const blockOf = ({ width, height }: Frame): number => Math.max(1, Math.round(Math.max(width, height) / 160))

/**
 * Means of the light over blocks, smoothed a little more (one block) so that weak differences stand out of the noise;
 * what is left over at right and bottom joins the last blocks.
 */
export function coarsen(frame: Frame): Coarse {
  const block = blockOf(frame)
  const width = Math.max(1, Math.floor(frame.width / block))
  const height = Math.max(1, Math.floor(frame.height / block))
  const light = [0, 1, 2].map(() => new Float32Array(width * height)) as Coarse['light']
  const counts = new Float32Array(width * height)
  for (let y = 0; y < frame.height; y++) {
    const row = Math.min(height - 1, Math.floor(y / block)) * width
    for (let x = 0; x < frame.width; x++) {
      const to = row + Math.min(width - 1, Math.floor(x / block))
      const from = 4 * (y * frame.width + x)
      for (let k = 0; k < 3; k++) light[k]![to]! += lightOf[frame.data[from + k]!]!
      counts[to]!++
    }
  }
  const calm = light.map((values) => {
    for (let i = 0; i < values.length; i++) values[i]! /= counts[i]!
    return smooth({ width, height, values }, 1).values
  }) as Coarse['light']
  return { block, width, height, light: calm }
}

/** Gaussian smoothing with standard deviation `sigma` px, edges continued; gives a new plane. */
export function smooth({ width, height, values }: Plane, sigma: number): Plane {
  const half = Math.max(1, Math.ceil(3 * sigma))
  const weights = Float32Array.from({ length: 2 * half + 1 }, (_, i) =>
    Math.exp(-0.5 * ((i - half) / sigma) ** 2),
  )
  const total = weights.reduce((sum, w) => sum + w, 0)
  for (let i = 0; i < weights.length; i++) weights[i]! /= total
  const across = new Float32Array(values.length)
  const line = new Float32Array(width + 2 * half)
  for (let y = 0; y < height; y++) {
    for (let i = 0; i < line.length; i++) {
      line[i] = values[y * width + Math.min(width - 1, Math.max(0, i - half))]!
    }
    for (let x = 0; x < width; x++) {
      let sum = 0
      for (let i = 0; i < weights.length; i++) sum += weights[i]! * line[x + i]!
      across[y * width + x] = sum
    }
  }
  const down = new Float32Array(values.length)
  for (let y = 0; y < height; y++) {
    for (let i = 0; i < weights.length; i++) {
      const from = Math.min(height - 1, Math.max(0, y + i - half)) * width
      const w = weights[i]!
      for (let x = 0; x < width; x++) down[y * width + x]! += w * across[from + x]!
    }
  }
  return { width, height, values: down }
}

/** Value at a point between pixel centres, px; outside the picture the nearest edge's. */
export function valueAt({ width, height, values }: Plane, x: number, y: number): number {
  const fx = Math.min(Math.max(x - 0.5, 0), width - 1.001)
  const fy = Math.min(Math.max(y - 0.5, 0), height - 1.001)
  const ix = Math.max(0, Math.floor(fx))
  const iy = Math.max(0, Math.floor(fy))
  const dx = fx - ix
  const dy = fy - iy
  const at = iy * width + ix
  const right = ix + 1 < width ? 1 : 0
  const below = iy + 1 < height ? width : 0
  const top = values[at]! * (1 - dx) + values[at + right]! * dx
  const bottom = values[at + below]! * (1 - dx) + values[at + below + right]! * dx
  return top * (1 - dy) + bottom * dy
}

/** Median of some numbers; NaN of none. The list is sorted in place. */
export function medianOf(list: Float32Array | Float64Array): number {
  if (list.length === 0) return Number.NaN
  list.sort()
  const middle = list.length >> 1
  return list.length % 2 ? list[middle]! : (list[middle - 1]! + list[middle]!) / 2
}

/** Robust standard deviation about `centre`: 1.4826 × median of the distances (normal distribution's own factor). */
export const spreadAbout = (list: ArrayLike<number>, centre: number): number =>
  1.4826 * medianOf(Float64Array.from(list, (value) => Math.abs(value - centre)))
