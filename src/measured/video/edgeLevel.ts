/** The level of the signal that parts drop and bath. */
import { fillHoles, grow, largestRegion } from './regions.ts'
import type { Seen } from './seen.ts'

/**
 * Threshold between two heaps of values that is best by Otsu's criterion (IEEE Trans. Syst. Man Cybern. 9, 1979),
 * from a histogram of 128 bins between `low` and `high`.
 */
export function otsu(values: readonly number[], low: number, high: number): number {
  const bins = 128
  const counts = new Float64Array(bins)
  for (const value of values) {
    counts[Math.min(bins - 1, Math.max(0, Math.floor(((value - low) / (high - low)) * bins)))]!++
  }
  const total = values.length
  const whole = counts.reduce((sum, count, k) => sum + count * k, 0)
  let below = 0
  let moment = 0
  let best = -1
  let first = 0
  let last = 0
  for (let k = 0; k < bins - 1; k++) {
    below += counts[k]!
    moment += counts[k]! * k
    if (below === 0 || below === total) continue
    const between = (whole * below - total * moment) ** 2 / (below * (total - below))
    if (between > best * (1 + 1e-12)) {
      best = between
      first = k
    }
    if (between >= best * (1 - 1e-12)) last = k
  }
  return low + (((first + last) / 2 + 1) / bins) * (high - low)
}

export const maskAbove = ({ plane, unknown, open }: Seen, level: number): Uint8Array => {
  const mask = new Uint8Array(plane.values.length)
  for (let i = 0; i < mask.length; i++) mask[i] = plane.values[i]! > level && open[i] && !unknown[i] ? 1 : 0
  return mask
}

/** Largest region above a level, holes filled. */
export function regionAbove(seen: Seen, level: number): Uint8Array | null {
  const { width, height } = seen.plane
  const region = largestRegion(maskAbove(seen, level), width, height)
  return region && region.size >= 8 ? fillHoles(region.mask, width, height) : null
}

export const sizeOf = (mask: Uint8Array): number => mask.reduce((sum, set) => sum + set, 0)

/** The drop's contrast seen at full sharpness: the blocks blur small drops. */
export function contrastOf(seen: Seen, guess: number): number {
  const { width, height, values } = seen.plane
  const region = largestRegion(maskAbove(seen, 0.5 * guess), width, height)
  if (!region) return guess
  const stride = Math.ceil(region.size / 4000)
  const list = values.filter((_, i) => i % stride === 0 && region.mask[i]).sort()
  return list[Math.floor(0.6 * list.length)] ?? guess
}

/** Pixels whose right or lower neighbour is on the other side of the region's edge. */
const rimOf = (region: Uint8Array, width: number): Uint8Array =>
  region.map((set, i) => (set !== (region[i + 1] ?? set) || set !== (region[i + width] ?? set) ? 1 : 0))

/** Level from the values beside the edge, where drop and bath have about the same number of pixels. */
export function levelAtEdge(seen: Seen, contrast: number): number | null {
  const { plane, calmNoise, sigma, unknown, open } = seen
  const { width, height, values } = plane
  const least = Math.max(4 * calmNoise, 0.12 * contrast)
  let level = Math.max(least, 0.3 * contrast)
  for (let round = 0; round < 2; round++) {
    const region = regionAbove(seen, level)
    if (!region) return round === 0 ? null : level
    const reach = Math.min(3 + 2 * sigma, Math.max(2, 0.4 * Math.sqrt(sizeOf(region) / Math.PI)))
    const near = grow(rimOf(region, width), width, height, reach)
    const band: number[] = []
    for (let i = 0; i < values.length; i++) {
      if (near[i] && !unknown[i] && open[i]) band.push(values[i]!)
    }
    if (band.length < 20) return level
    level = Math.min(Math.max(otsu(band, -0.3 * contrast, 1.5 * contrast), least), 0.75 * contrast)
  }
  return level
}
