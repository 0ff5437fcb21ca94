/** One number per pixel: how far it differs from the bath in the direction in which the drop does. */
import { type Bath, bathBlocks, bathRow, watched } from './bath.ts'
import { type Coarse, lightOf, luminance, medianOf, spreadAbout } from './light.ts'
import { largestRegion } from './regions.ts'
import type { Difference, Frame, Plane, Settings } from './types.ts'

/** A drop must differ from the bath by at least this share of the light to be found without being told. */
export const leastContrast = 0.012
/** … and by this many standard deviations of the blocks' noise. */
const leastNoises = 5

type Triple = [number, number, number]

/** Difference of a pixel from the bath by colour, 0 = bath, positive = less light; written into `into`. */
function differences(kind: Difference, light: Triple, bath: Triple, into: Triple): void {
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

/** Differences of all blocks, three planes. */
function blockDifferences(kind: Difference, coarse: Coarse, bath: Bath): Float32Array[] {
  const planes = bathBlocks(bath, coarse)
  const result = [0, 1, 2].map(() => new Float32Array(coarse.width * coarse.height))
  const light: Triple = [0, 0, 0]
  const ground: Triple = [0, 0, 0]
  const d: Triple = [0, 0, 0]
  for (let i = 0; i < result[0]!.length; i++) {
    for (let k = 0; k < 3; k++) {
      light[k] = coarse.light[k]![i]!
      ground[k] = planes[k]![i]!
    }
    differences(kind, light, ground, d)
    for (let k = 0; k < 3; k++) result[k]![i] = d[k]!
  }
  return result
}

/**
 * Noise of every block by colour, from the spread of all: relative noise falls with the root of the light, as that
 * of counted photons does. The drop's blocks are a minority and hardly move the spread.
 */
function blockNoise(planes: Float32Array[], coarse: Coarse, bath: Bath, inside: Uint8Array): Float32Array[] {
  const ground = bathBlocks(bath, coarse)
  return planes.map((plane, k) => {
    const roots = ground[k]!.map(Math.sqrt)
    const spread = spreadAbout(
      plane.map((d, i) => d * roots[i]!).filter((_, i) => inside[i]),
      0,
    )
    return roots.map((root) => Math.max(spread / root, 2e-4))
  })
}

/**
 * Finds the largest region of blocks that differ and the direction of its difference: weighted by the inverse square
 * of the noise, as Fisher's discriminant with uncorrelated colours has it (R. A. Fisher, Annals of Eugenics 7, 1936).
 * Null if nothing differs enough; `level` overrides what is enough.
 */
export function directionOf(coarse: Coarse, bath: Bath, settings: Settings): Direction | null {
  const { difference: kind, level, watch } = settings
  const inside = watched(coarse, watch)
  const planes = blockDifferences(kind, coarse, bath)
  const noise = blockNoise(planes, coarse, bath, inside)
  const signed = kind === 'darker' || kind === 'brighter'
  const differs = inside.map((set, i) => {
    if (!set) return 0
    let most = 0
    let noises = 0
    for (let k = 0; k < 3; k++) {
      const d = signed ? planes[k]![i]! : Math.abs(planes[k]![i]!)
      most = Math.max(most, d)
      noises = Math.max(noises, d / noise[k]![i]!)
    }
    return level === null ? Number(most > leastContrast && noises > leastNoises) : Number(most > level)
  })
  const dull = differs.map((set, i) => (set && !glares(planes, i) ? 1 : 0))
  const region = regionOf(signed ? differs : dull, coarse) ?? regionOf(differs, coarse)
  return region && weigh(kind, planes, noise, region, signed, windowOf(region, coarse, bath))
}

/** More light than the bath in all colours: a reflection rather than a drop, as long as there is something else. */
const glares = (planes: Float32Array[], i: number): boolean => planes.every((plane) => plane[i]! < -0.15)

/** Largest region of blocks, null below 12 px². */
function regionOf(mask: Uint8Array, { width, height, block }: Coarse): Uint8Array | null {
  const region = largestRegion(mask, width, height)
  return region && region.size * block ** 2 >= 12 ? region.mask : null
}

function weigh(
  kind: Difference,
  planes: Float32Array[],
  noise: Float32Array[],
  region: Uint8Array,
  signed: boolean,
  window: Window,
): Direction | null {
  const middle = planes.map((plane) => {
    const list = plane.filter((_, i) => region[i]).sort()
    return list[list.length >> 1]!
  })
  if (signed) return { kind, weights: [1, 0, 0], contrast: middle[0]!, window }
  const contrast = Math.max(...middle.map(Math.abs))
  const usual = noise.map((plane) => medianOf(plane.filter((_, i) => region[i])))
  const raw = middle.map((d, k) => d / usual[k]! ** 2)
  const product = raw.reduce((sum, w, k) => sum + w * middle[k]!, 0)
  if (!(product > 0)) return null
  return { kind, weights: raw.map((w) => (w * contrast) / product) as Triple, contrast, window }
}

/** Bounds of the region, wider by a quarter of its size and by 24 px. */
function windowOf(region: Uint8Array, { width, height, block }: Coarse, whole: Bath): Window {
  let [left, top, right, bottom] = [width, height, 0, 0]
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      if (!region[y * width + x]) continue
      left = Math.min(left, x)
      right = Math.max(right, x + 1)
      top = Math.min(top, y)
      bottom = Math.max(bottom, y + 1)
    }
  }
  const room = 24 + 0.25 * block * Math.max(right - left, bottom - top)
  const from = (edge: number) => Math.max(0, Math.floor(edge * block - room))
  const to = (edge: number, most: number) => Math.min(most, Math.ceil(edge * block + room))
  const x = from(left)
  const y = from(top)
  return { left: x, top: y, width: to(right, whole.width) - x, height: to(bottom, whole.height) - y }
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
      if (light[0] > 0.97 && light[1] > 0.97 && light[2] > 0.97) {
        clipped[y * width + x] = Math.max(ground[0], ground[1], ground[2]) < 0.75 ? 1 : 0
      }
    }
  }
  return { plane: { width, height, values }, clipped }
}
