/** The edge seen closely: where half of the step lies, how wide it is. */
import { medianOf, valueAt } from './light.ts'
import type { Outline } from './outline.ts'
import { calmed } from './outline.ts'
import type { Plane } from './types.ts'
import { quartiles } from './uncertainty.ts'

export interface Edge {
  outline: Outline
  /** Distance between the places of a quarter and three quarters of the step, px (median over the outline). */
  quartileWidth: number
  /** Standard error of the mean place of the edge, px, from its scatter along the outline. */
  scatter: number
}

/** Largest half length of a profile, px. */
const longest = 24

interface Normals {
  nx: Float64Array
  ny: Float64Array
}

/** Unit normals pointing outwards, from the calmed outline. */
function normalsOf(outline: Outline): Normals {
  const { x, y } = calmed(outline, 3)
  const n = x.length
  const nx = new Float64Array(n)
  const ny = new Float64Array(n)
  for (let i = 0; i < n; i++) {
    const a = (i - 2 + n) % n
    const b = (i + 2) % n
    const tx = x[b]! - x[a]!
    const ty = y[b]! - y[a]!
    const length = Math.hypot(tx, ty) || 1
    nx[i] = ty / length
    ny[i] = -tx / length
  }
  return { nx, ny }
}

/** Standard deviation of the edge's blur, px, from its steepness at the outline. */
function blurOf(plane: Plane, outline: Outline, { nx, ny }: Normals, contrast: number): number {
  const steep = Float64Array.from(outline.x, (x, i) => {
    const y = outline.y[i]!
    return valueAt(plane, x - nx[i]!, y - ny[i]!) - valueAt(plane, x + nx[i]!, y + ny[i]!)
  })
  const slope = Math.max(medianOf(steep) / 2, contrast / 60)
  return contrast / (slope * Math.sqrt(2 * Math.PI))
}

interface Profile {
  /** How far the half step lies outside the outline, px; NaN if there is no clear step. */
  shift: number
  width: number
}

const none: Profile = { shift: Number.NaN, width: Number.NaN }
const step = 0.5

/** Where samples are taken along the normal, px from the outline, inside first. */
interface Reach {
  inside: number
  outside: number
  count: number
  /** Samples that lie in the drop without a doubt. */
  deep: number
  /** Samples that lie in the bath. */
  bare: number
  /** True if the drop is large enough beside the blur for its own slope to be read. */
  sloped: boolean
}

/** From the blur's standard deviation; further in than out, for the drop's own slope is read there. */
function reachFor(sigma: number, radius: number): Reach {
  const most = Math.max(2, 0.7 * radius)
  const inside = step * Math.round(Math.min(Math.max(4.5 * sigma, 4), longest, most) / step)
  const outside = step * Math.round(Math.min(Math.max(3 * sigma, 2.5), longest) / step)
  const count = Math.round((inside + outside) / step) + 1
  return {
    inside,
    outside,
    count,
    deep: Math.max(3, Math.round((inside - 1.7 * Math.min(sigma, inside / 3)) / step)),
    bare: Math.max(2, Math.round((outside - 1.8 * Math.min(sigma, outside / 2.5)) / step)),
    sloped: radius > 9 * sigma,
  }
}

/**
 * One profile across the edge. The drop's side is a straight line through its deep samples (its colour may weaken
 * towards the rim), the bath's a constant; the places are those of a quarter, a half, three quarters of the step.
 */
function readProfile(samples: Float64Array, reach: Reach, contrast: number): Profile {
  const { count, deep, bare } = reach
  const low = bathValue(samples.slice(count - bare), contrast)
  const { at, slope } = lineThrough(samples, deep, reach.sloped)
  const share = samples.map((value, k) => {
    const high = Math.max(at + slope * (k - (deep - 1) / 2), 0.1 * contrast + low)
    return (value - low) / (high - low)
  })
  if (!(at - low > 0.15 * contrast)) return none
  const place = (level: number) => crossing(share, reach, level)
  const shift = place(0.5)
  return Math.abs(shift) <= 0.7 * reach.inside ? { shift, width: place(0.25) - place(0.75) } : none
}

/** Value of the bath outside the edge; where the profile rises again (a child drop lies there) it is nought, as it is in bare bath. */
function bathValue(outside: Float64Array, contrast: number): number {
  let least = 0
  outside.forEach((value, k) => {
    if (value < outside[least]!) least = k
  })
  let again = outside[least]!
  for (let k = least; k < outside.length; k++) again = Math.max(again, outside[k]!)
  return again > outside[least]! + 0.15 * contrast ? Math.min(outside[least]!, 0) : medianOf(outside)
}

/** Straight line through the first samples: value at their middle, slope per sample. */
function lineThrough(samples: Float64Array, count: number, sloped: boolean): { at: number; slope: number } {
  let mean = 0
  let rise = 0
  let square = 0
  for (let k = 0; k < count; k++) {
    const d = k - (count - 1) / 2
    mean += samples[k]! / count
    rise += d * samples[k]!
    square += d * d
  }
  return { at: mean, slope: sloped ? rise / square : 0 }
}

/** Place nearest to the outline where the profile falls through `level`, px; NaN if nowhere. */
function crossing(samples: Float64Array, { inside }: Reach, level: number): number {
  let best = Number.NaN
  for (let k = 0; k + 1 < samples.length; k++) {
    const a = samples[k]!
    const b = samples[k + 1]!
    if (!(a > level && b <= level)) continue
    const at = (k + (a - level) / (a - b)) * step - inside
    if (!(Math.abs(at) >= Math.abs(best))) best = at
  }
  return best
}

/** Shifts of good points, calmed by a running median and mean; points without one take their neighbours'. */
function calmShifts(shifts: Float64Array): Float64Array {
  const n = shifts.length
  const half = Math.min(6, Math.floor(n / 12))
  const medians = shifts.map((_, i) => {
    const near: number[] = []
    for (let k = -half; k <= half; k++) {
      const value = shifts[(i + k + n) % n]!
      if (!Number.isNaN(value)) near.push(value)
    }
    return near.length > half / 2 ? medianOf(Float64Array.from(near)) : Number.NaN
  })
  const whole = medianOf(medians.filter((value) => !Number.isNaN(value)))
  return medians.map((value) => (Number.isNaN(value) ? whole || 0 : value))
}

/**
 * Moves the outline to the half of the step that each place of the edge has for itself: between the drop's value
 * just inside and the bath's just outside. So a drop whose colour is weak at the rim is not read too small. With
 * `fixed` the outline stays and only its width is read.
 */
export function readEdge(
  plane: Plane,
  outline: Outline,
  contrast: number,
  radius: number,
  fixed: boolean,
): Edge {
  const rough = oneReading(plane, outline, contrast, radius)
  if (fixed) return { ...rough, outline }
  const close = oneReading(plane, rough.outline, contrast, radius, rough.quartileWidth / quartiles)
  return { ...close, quartileWidth: Math.max(close.quartileWidth, rough.quartileWidth) }
}

/** Profiles at all points, each the mean with its neighbours', and the outline moved to their half steps. `known`: blur, px, where it was read. */
function oneReading(
  plane: Plane,
  outline: Outline,
  contrast: number,
  radius: number,
  known = Number.POSITIVE_INFINITY,
): Edge {
  const normals = normalsOf(outline)
  const { nx, ny } = normals
  const n = outline.x.length
  const reach = reachFor(Math.min(known, blurOf(plane, outline, normals, contrast)), radius)
  const { count, inside } = reach
  const samples = new Float64Array(n * count)
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < count; k++) {
      const d = k * step - inside
      samples[i * count + k] = valueAt(plane, outline.x[i]! + d * nx[i]!, outline.y[i]! + d * ny[i]!)
    }
  }
  const profiles = Array.from({ length: n }, (_, i) =>
    outline.doubtful[i] ? none : readProfile(meanProfile(samples, count, i, n), reach, contrast),
  )
  const shifts = Float64Array.from(profiles, ({ shift }) => shift)
  const widths = Float64Array.from(profiles, ({ width }) => width).filter((width) => width > 0)
  const calm = calmShifts(shifts)
  const move = (values: Float64Array, normal: Float64Array) =>
    values.map((value, i) => value + calm[i]! * normal[i]!)
  return {
    outline: { ...outline, x: move(outline.x, nx), y: move(outline.y, ny) },
    quartileWidth: widths.length > 0 ? medianOf(widths) : 2 * inside,
    scatter: scatterOf(shifts, calm),
  }
}

/** Mean of the profiles of a point and its neighbours on both sides. */
function meanProfile(samples: Float64Array, count: number, i: number, n: number): Float64Array {
  const half = Math.min(2, Math.floor(n / 24))
  const mean = new Float64Array(count)
  for (let j = -half; j <= half; j++) {
    const from = ((i + j + n) % n) * count
    for (let k = 0; k < count; k++) mean[k]! += samples[from + k]! / (2 * half + 1)
  }
  return mean
}

/** Neighbouring profiles share pixels: about every fourth counts as a reading of its own. */
function scatterOf(shifts: Float64Array, calm: Float64Array): number {
  let sum = 0
  let count = 0
  shifts.forEach((shift, i) => {
    if (Number.isNaN(shift)) return
    sum += (shift - calm[i]!) ** 2
    count++
  })
  return count > 8 ? Math.sqrt(sum / count / (count / 4)) : 0.5
}
