/** A picture of the bare bath, made ready: its light, how steep it is, where lamps are mirrored in it. */
import { type Coarse, coarsen, lightOf, luminance, smooth } from './light.ts'
import { grow } from './regions.ts'
import { type Places, placesOf } from './shift.ts'
import type { Frame, Plane, Point } from './types.ts'

/** A picture of the bare bath, made ready. */
export interface Picture {
  /** Light of every pixel. */
  light: [Float32Array, Float32Array, Float32Array]
  coarse: Coarse
  /** How steep each block is, as a share of its light per block. */
  steep: Float32Array
  /** 1 where the picture is far brighter than what lies round about: a lamp's mirror image, and a little round it. */
  glare: Uint8Array
  places: Places
}

const ready = new WeakMap<Frame, Picture>()

/** A mean of so many pictures has little noise of its own. */
const calmOf = 4

/** Makes a picture of the bare bath ready (once); a single one is calmed by one pixel, so that its noise hardly adds to the frame's. */
export function pictureOf(frame: Frame): Picture {
  const known = ready.get(frame)
  if (known) return known
  const { width, height, data, of = 1 } = frame
  const light = [0, 1, 2].map((k) => {
    const values = Float32Array.from({ length: width * height }, (_, i) => lightOf[data[4 * i + k]!]!)
    const calm = of < calmOf ? smooth({ width, height, values }, 1).values : values
    for (let i = 0; i < calm.length; i++) calm[i] = Math.max(calm[i]!, leastLight)
    return calm
  }) as Picture['light']
  const coarse = coarsen(frame)
  const glare = glareOf(light, coarse, width, height)
  const picture = { light, coarse, steep: steepOf(coarse), glare, places: placesOf(frame) }
  ready.set(frame, picture)
  return picture
}

/** Light of the blocks as the eye weighs it. */
function brightness({ light }: Coarse): Float32Array {
  return light[0].map((_, i) => luminance.reduce((sum, w, k) => sum + w * light[k]![i]!, 0))
}

function steepOf(coarse: Coarse): Float32Array {
  const { width, height } = coarse
  const whole = brightness(coarse)
  return whole.map((value, i) => {
    const x = i % width
    const across = (whole[x < width - 1 ? i + 1 : i]! - whole[x > 0 ? i - 1 : i]!) / 2
    const below = i + width < width * height ? i + width : i
    const down = (whole[below]! - whole[i >= width ? i - width : i]!) / 2
    return Math.hypot(across, down) / Math.max(value, leastLight)
  })
}

/** Brighter than the median of what lies round about by more than this share is glare. */
const glareShare = 0.25

function glareOf(light: Picture['light'], coarse: Coarse, width: number, height: number): Uint8Array {
  const usual = surroundings({ width: coarse.width, height: coarse.height, values: brightness(coarse) })
  const mask = new Uint8Array(width * height)
  let any = false
  for (let y = 0; y < height; y++) {
    const row = Math.min(coarse.height - 1, Math.floor(y / coarse.block)) * coarse.width
    for (let x = 0; x < width; x++) {
      const i = y * width + x
      const here = luminance[0] * light[0][i]! + luminance[1] * light[1][i]! + luminance[2] * light[2][i]!
      const about = usual[row + Math.min(coarse.width - 1, Math.floor(x / coarse.block))]!
      if (here <= (1 + glareShare) * about) continue
      mask[i] = 1
      any = true
    }
  }
  return any ? grow(mask, width, height, 2) : mask
}

/** Medians over every third block up to twelve blocks away. */
function surroundings({ width, height, values }: Plane): Float32Array {
  const list = new Float32Array(81)
  return values.map((_, i) => {
    const [x, y] = [i % width, Math.floor(i / width)]
    let count = 0
    for (let j = -12; j <= 12; j += 3) {
      for (let h = -12; h <= 12; h += 3) {
        if (x + h < 0 || x + h >= width || y + j < 0 || y + j >= height) continue
        list[count++] = values[i + j * width + h]!
      }
    }
    const near = list.subarray(0, count).sort()
    return near[count >> 1]!
  })
}

/** The blocks moved by a part of a block along both axes (cubic convolution: R. G. Keys, IEEE Trans. ASSP 29, 1981). */
export function movedBlocks(coarse: Coarse, { x, y }: Point): Coarse {
  if (Math.hypot(x, y) < 0.02) return coarse
  const { width, height, block } = coarse
  const light = coarse.light.map((plane) => {
    const across = along(plane, width, height, x / block, 1)
    return along(across, width, height, y / block, width)
  }) as Coarse['light']
  return { ...coarse, light }
}

function along(plane: Float32Array, width: number, height: number, by: number, stride: number): Float32Array {
  const t = by > 0 ? 1 - by : -by
  const back = by > 0 ? -1 : 0
  const w = [
    ((-t + 2) * t - 1) * t * 0.5,
    ((3 * t - 5) * t * t + 2) * 0.5,
    ((-3 * t + 4) * t + 1) * t * 0.5,
    (t - 1) * t * t * 0.5,
  ]
  const count = stride === 1 ? width : height
  return plane.map((_, i) => {
    const place = stride === 1 ? i % width : Math.floor(i / width)
    let sum = 0
    for (let k = -1; k < 3; k++) {
      const at = Math.min(count - 1, Math.max(0, place + back + k))
      sum += w[k + 1]! * plane[i + (at - place) * stride]!
    }
    return sum
  })
}

/** Least light that a bath is taken to have, so that ratios stay finite. */
export const leastLight = 0.004
