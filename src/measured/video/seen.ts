/** A picture made ready for the outline: how far it differs from the bath, its noise, and where it tells nothing. */
import type { Bath } from './bathLight.ts'
import { medianOf, smooth, spreadAbout } from './light.ts'
import { grow } from './regions.ts'
import { type Direction, signalOf, type Window } from './signal.ts'
import type { Circle, Frame, Plane } from './types.ts'

/** Everything about a picture before the outline: for the preview and for the marking. */
export interface Seen {
  plane: Plane
  /** The part of the frame that the plane shows. */
  window: Window
  /** Standard deviation of the smoothing that was applied, px. */
  sigma: number
  /** Standard deviation of the lens' blur as far as it is known, px. */
  blur: number
  /** Noise of one pixel and of one pixel of the smoothed plane. */
  noise: number
  calmNoise: number
  /** 1 where the picture tells nothing: reflections and their surroundings. */
  unknown: Uint8Array
  /** 1 inside the watched circle. */
  open: Uint8Array
}

function openMask(width: number, height: number, watch: Circle | null): Uint8Array {
  const mask = new Uint8Array(width * height)
  if (!watch) return mask.fill(1)
  for (let y = 0; y < height; y++) {
    const dy = y + 0.5 - watch.y
    for (let x = 0; x < width; x++) {
      if (Math.hypot(x + 0.5 - watch.x, dy) <= watch.r) mask[y * width + x] = 1
    }
  }
  return mask
}

/** Spread of the values where nothing differs: about the median of a sample below half the contrast. */
function noiseOf({ values }: Plane, open: Uint8Array, contrast: number): number {
  const stride = Math.max(1, Math.floor(values.length / 30_000))
  const list: number[] = []
  for (let i = 0; i < values.length; i += stride) {
    if (open[i] && Math.abs(values[i]!) < 0.5 * contrast) list.push(values[i]!)
  }
  if (list.length < 20) return 0.1 * contrast
  return Math.max(spreadAbout(list, medianOf(Float64Array.from(list))), 1e-4)
}

/** More smoothing the more noise: enough to tell the drop from the bath, little enough to keep small drops round. */
export const smoothingFor = (ratio: number): number =>
  ratio > 20 ? 0.7 : ratio > 8 ? 1 : ratio > 4 ? 1.6 : ratio > 2 ? 2.2 : 3

/** Noise of the raw plane, also where it exceeds the contrast: from neighbours' differences. */
function pixelNoise({ width, height, values }: Plane): number {
  const stride = Math.max(1, Math.floor((width * height) / 20_000))
  const list: number[] = []
  for (let i = 0; i + 2 < values.length; i += stride) list.push((values[i + 2]! - values[i]!) / Math.SQRT2)
  return Math.max(spreadAbout(list, 0), 1e-4)
}

export function look(
  frame: Frame,
  bath: Bath,
  direction: Direction,
  watch: Circle | null,
  window: Window,
  blur: number,
): Seen {
  const { width, height, left, top } = window
  const { plane: raw, clipped } = signalOf(frame, bath, direction, window)
  const { contrast } = direction
  const noise = pixelNoise(raw)
  const sigma = smoothingFor(contrast / noise)
  const plane = smooth(raw, sigma)
  const open = openMask(width, height, watch && { ...watch, x: watch.x - left, y: watch.y - top })
  const calmNoise = noiseOf(plane, open, contrast)
  if (bath.picture) addGlare(clipped, bath.picture.glare, bath.width, window)
  const unknown = reflections(
    plane,
    clipped,
    direction,
    Math.max(0.35 * contrast, 6 * calmNoise),
    1.5 + 1.5 * Math.hypot(sigma, blur),
  )
  return { plane, window, sigma, blur, noise, calmNoise, unknown, open }
}

/** What is glare in the bath's picture already tells nothing. */
function addGlare(
  clipped: Uint8Array,
  glare: Uint8Array,
  width: number,
  { left, top, width: across }: Window,
): void {
  for (let i = 0; i < clipped.length; i++) {
    if (glare[(top + Math.floor(i / across)) * width + left + (i % across)]) clipped[i] = 1
  }
}

/** Pixels that differ from the bath the other way round, or are clipped far above it, with their surroundings. */
function reflections(
  { width, height, values }: Plane,
  clipped: Uint8Array,
  { kind }: Direction,
  least: number,
  reach: number,
): Uint8Array {
  const mask = new Uint8Array(values.length)
  if (kind === 'brighter') return mask
  let any = false
  for (let i = 0; i < values.length; i++) {
    if (values[i]! < -least || clipped[i]) {
      mask[i] = 1
      any = true
    }
  }
  return any ? grow(mask, width, height, reach) : mask
}
