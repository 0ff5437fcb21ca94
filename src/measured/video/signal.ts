/** One number per pixel: how far it differs from the bath in the direction in which the drop does. */
import { type Bath, bathRow } from './bathLight.ts'
import { lightOf, luminance } from './light.ts'
import type { Difference, Frame, Plane } from './types.ts'

/** Light above this is clipped: the picture cannot tell how much brighter it was. */
const mostLight = 0.97

export type Triple = [number, number, number]

/** Difference of a pixel from the bath by colour, 0 = bath, positive = less light; written into `into`. */
export function differences(kind: Difference, light: Triple, bath: Triple, into: Triple): void {
  if (kind === 'darker' || kind === 'brighter') {
    let sum = 0
    let whole = 0
    for (let k = 0; k < 3; k++) {
      sum += luminance[k]! * light[k]!
      whole += luminance[k]! * bath[k]!
    }
    const less = 1 - sum / whole
    into[0] = into[1] = into[2] = kind === 'darker' ? less : -less
    return
  }
  let mean = 0
  for (let k = 0; k < 3; k++) {
    into[k] = light[k]! / bath[k]!
    mean += luminance[k]! * into[k]!
  }
  const by = kind === 'tint' ? Math.max(mean, 0.05) : 1
  for (let k = 0; k < 3; k++) into[k] = 1 - into[k]! / by
}

export interface Direction {
  kind: Difference
  /** Factors of the three differences; their sum product with the drop's own difference is `contrast`. */
  weights: Triple
  /** Largest difference by colour of the drop's middle from the bath, share of light. */
  contrast: number
  /** Frame pixels that hold the drop with room to spare. */
  window: Window
}

/** A part of a frame, px. */
export interface Window {
  left: number
  top: number
  width: number
  height: number
}

/** The difference of every pixel of the window along the direction, and where light is clipped far above the bath's. */
export function signalOf(
  frame: Frame,
  bath: Bath,
  direction: Direction,
  { left, top, width, height }: Window,
): { plane: Plane; clipped: Uint8Array } {
  const { data } = frame
  const values = new Float32Array(width * height)
  const clipped = new Uint8Array(width * height)
  const rows = [0, 1, 2].map(() => new Float32Array(width))
  const light: Triple = [0, 0, 0]
  const ground: Triple = [0, 0, 0]
  const d: Triple = [0, 0, 0]
  const [w0, w1, w2] = direction.weights
  for (let y = 0; y < height; y++) {
    bathRow(bath, y + top, left, rows)
    for (let x = 0; x < width; x++) {
      const from = 4 * ((y + top) * frame.width + x + left)
      for (let k = 0; k < 3; k++) {
        light[k] = lightOf[data[from + k]!]!
        ground[k] = rows[k]![x]!
      }
      differences(direction.kind, light, ground, d)
      values[y * width + x] = w0 * d[0] + w1 * d[1] + w2 * d[2]
      if (light[0] > mostLight && light[1] > mostLight && light[2] > mostLight) {
        clipped[y * width + x] = Math.max(ground[0], ground[1], ground[2]) < 0.75 ? 1 : 0
      }
    }
  }
  return { plane: { width, height, values }, clipped }
}

/** Share of a region's pixels in which a colour is clipped, and their mean light over the bath's, less 1. */
export function lightWithin(
  frame: Frame,
  bath: Bath,
  { left, top, width, height }: Window,
  region: Uint8Array,
): { clipped: number; gain: number } {
  const rows = [0, 1, 2].map(() => new Float32Array(width))
  let [count, clipped, gain] = [0, 0, 0]
  for (let y = 0; y < height; y++) {
    bathRow(bath, y + top, left, rows)
    for (let x = 0; x < width; x++) {
      if (!region[y * width + x]) continue
      const from = 4 * ((y + top) * frame.width + x + left)
      let [here, ground, most] = [0, 0, 0]
      for (let k = 0; k < 3; k++) {
        const light = lightOf[frame.data[from + k]!]!
        here += luminance[k]! * light
        ground += luminance[k]! * rows[k]![x]!
        most = Math.max(most, light)
      }
      count++
      if (most > mostLight) clipped++
      gain += here / ground - 1
    }
  }
  return count > 0 ? { clipped: clipped / count, gain: gain / count } : { clipped: 0, gain: 0 }
}
