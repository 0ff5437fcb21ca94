/** From a picture to the brightness along the radius, all round or in one direction. */
import { lightOf } from '../video/light.ts'
import type { Frame } from '../video/types.ts'
import { type Shape, shapeOf, sharpen } from './shape.ts'
import type { RadialLight } from './types.ts'

export interface Wish {
  /** Centre and mean radius of the drop, px. */
  x: number
  y: number
  radius: number
  /** Outline x, y, x, y … as the drop's mark gives it; null = a circle. */
  outline: Float32Array | null
  /** Metres per pixel. */
  scale: number
  /** All round, or the sector of ± `halfWidth` about `angle` (rad, from the x axis clockwise on the picture). */
  sector: { angle: number; halfWidth: number } | null
}

/** Directions apart from which the scatter is counted, so that uneven light is no noise. */
const SECTORS = 24

/** Steps per pixel: all round, pixels lie at all distances, so that steps finer than a pixel are filled. */
const stepsPerPixel = (wish: Wish): number => (wish.sector ? 1 : 2)

interface Sums {
  count: Float64Array
  sum: Float64Array
  square: Float64Array
}

/** Sums over the pixels of each step and sector, per channel. */
function gather(frame: Frame, shape: Shape, radius: number, wish: Wish, steps: number): Sums[] {
  const per = stepsPerPixel(wish)
  const size = steps * SECTORS
  const make = (): Sums => ({
    count: new Float64Array(size),
    sum: new Float64Array(size),
    square: new Float64Array(size),
  })
  const all = [make(), make(), make()]
  const reach = radius * 1.1 + 2
  const [left, right] = [Math.max(0, shape.x - reach), Math.min(frame.width - 1, shape.x + reach)]
  const [top, bottom] = [Math.max(0, shape.y - reach), Math.min(frame.height - 1, shape.y + reach)]
  for (let py = Math.floor(top); py <= bottom; py++) {
    for (let px = Math.floor(left); px <= right; px++) {
      const dx = px + 0.5 - shape.x
      const dy = py + 0.5 - shape.y
      const square = dx * dx + dy * dy + 1e-12
      // cos 2θ and sin 2θ
      const oval = (shape.c2 * (dx * dx - dy * dy) + shape.s2 * 2 * dx * dy) / square
      const s = Math.sqrt(square) / (1 + oval)
      const step = Math.floor(s * per)
      if (step >= steps) continue
      const theta = Math.atan2(dy, dx)
      if (wish.sector && Math.abs(turnTo(theta - wish.sector.angle)) > wish.sector.halfWidth) continue
      const sector = Math.min(SECTORS - 1, Math.floor(((theta + Math.PI) / (2 * Math.PI)) * SECTORS))
      const at = step * SECTORS + sector
      const from = 4 * (py * frame.width + px)
      for (let c = 0; c < 3; c++) {
        const light = lightOf[frame.data[from + c]!]!
        const { count, sum, square } = all[c]!
        count[at]!++
        sum[at]! += light
        square[at]! += light * light
      }
    }
  }
  return all
}

/** An angle brought to −π … π. */
const turnTo = (angle: number): number => Math.atan2(Math.sin(angle), Math.cos(angle))

interface Mean {
  mean: Float64Array
  error: Float64Array
}

/** Means of the steps and their errors from the scatter within sectors; where that rests on few pixels, on that of all. */
function meanOf({ count, sum, square }: Sums, steps: number): Mean {
  const mean = new Float64Array(steps).fill(Number.NaN)
  const within = new Float64Array(steps)
  const free = new Float64Array(steps)
  const pixels = new Float64Array(steps)
  let allWithin = 0
  let allFree = 0
  for (let i = 0; i < steps; i++) {
    let total = 0
    for (let k = i * SECTORS; k < (i + 1) * SECTORS; k++) {
      const n = count[k]!
      if (n === 0) continue
      pixels[i]! += n
      total += sum[k]!
      within[i]! += Math.max(0, square[k]! - (sum[k]! * sum[k]!) / n)
      free[i]! += n - 1
    }
    if (pixels[i]! > 0) mean[i] = total / pixels[i]!
    allWithin += within[i]!
    allFree += free[i]!
  }
  const usual = allFree > 0 ? allWithin / allFree : 1e-6
  // The bytes' own rounding: a uniform distribution of one step, at mid-grey 1/255 of the light at most.
  const least = 1e-8
  const error = Float64Array.from(pixels, (n, i) => {
    if (n === 0) return Number.NaN
    const variance = (within[i]! + 8 * usual) / (free[i]! + 8)
    return Math.sqrt(Math.max(variance, least) / n)
  })
  return { mean, error }
}

/** The bath is looked at between these distances, shares of the radius: away from the rim's blur, near enough for the same lamp. */
const OUTSIDE = [1.05, 1.1] as const

function outsideOf(sums: readonly Sums[], first: number, end: number): RadialLight['outside'] {
  const total = (list: Float64Array) =>
    list.subarray(first * SECTORS, end * SECTORS).reduce((sum, value) => sum + value, 0)
  const [red, green, blue] = sums.map(({ count, sum }) => total(sum) / total(count)) as [
    number,
    number,
    number,
  ]
  return Number.isFinite(red + green + blue) ? [red, green, blue] : null
}

/** Fills steps without pixels between others by a straight line; their error is twice their neighbours'. */
function fill({ mean, error }: Mean): void {
  let last = -1
  for (let i = 0; i < mean.length; i++) {
    if (Number.isNaN(mean[i]!)) continue
    for (let j = last + 1; j < i; j++) {
      const share = last < 0 ? 1 : (j - last) / (i - last)
      mean[j] = last < 0 ? mean[i]! : mean[last]! + share * (mean[i]! - mean[last]!)
      error[j] = 2 * Math.max(error[i]!, last < 0 ? 0 : error[last]!)
    }
    last = i
  }
}

/**
 * Brightness along the radius from the centre to the rim. Centre and roundness are those of the drop's outline, then
 * moved until the fringes of the mean are sharpest. Throws a RangeError where there is no drop in the picture.
 */
export function radialLight(frame: Frame, wish: Wish): RadialLight {
  if (!(wish.radius >= 8)) throw new RangeError('The drop must be at least 8 px in radius.')
  const shape = sharpen(frame, shapeOf(wish), wish.radius)
  const per = stepsPerPixel(wish)
  const steps = Math.floor(wish.radius * per)
  const [first, end] = OUTSIDE.map((share) => Math.ceil(share * wish.radius * per)) as [number, number]
  const sums = gather(frame, shape, wish.radius, wish, end)
  const means = sums.map((one) => meanOf(one, steps))
  for (const mean of means) fill(mean)
  const step = wish.scale / per
  return {
    r: Float64Array.from({ length: steps }, (_, i) => (i + 0.5) * step),
    light: means.map(({ mean }) => mean) as RadialLight['light'],
    error: means.map(({ error }) => error) as RadialLight['error'],
    outside: outsideOf(sums, first, end),
    step,
    centre: { x: shape.x, y: shape.y },
    c2: shape.c2,
    s2: shape.s2,
  }
}
