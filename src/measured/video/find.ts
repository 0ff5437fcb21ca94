/** Where in a picture the drop may be, looked for on blocks of pixels. */
import { watched } from './bath.ts'
import { type Bath, bathBlocks } from './bathLight.ts'
import { type Coarse, medianOf } from './light.ts'
import { regionsOf } from './regions.ts'
import { type Direction, differences, type Triple, type Window } from './signal.ts'
import type { Circle, Difference, Settings } from './types.ts'

/** A drop must differ from the bath by at least this share of the light to be found without being told. */
export const leastContrast = 0.012
/** … and by this many standard deviations of the blocks' noise. */
const leastNoises = 8

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

/** A quarter of normally distributed values lie within this many standard deviations of their mean. */
const innerQuarter = 0.31864

/** What is left of the camera's movement after it was taken out, px: it shows where the bath's picture is steep. */
const leftOver = 0.1

/**
 * Noise of every block by colour, from the smallest quarter of the differences: a drop may cover well over half of
 * what is watched. Relative noise falls with the root of the light, as that of counted photons does.
 */
function blockNoise(planes: Float32Array[], coarse: Coarse, bath: Bath, inside: Uint8Array): Float32Array[] {
  const ground = bathBlocks(bath, coarse)
  return planes.map((plane, k) => {
    const roots = ground[k]!.map(Math.sqrt)
    const sizes = plane.map((d, i) => Math.abs(d * roots[i]!)).filter((_, i) => inside[i])
    const spread = (sizes.sort()[sizes.length >> 2] ?? 0) / innerQuarter
    const { steep } = bath.picture ?? {}
    return roots.map((root, i) =>
      Math.hypot(Math.max(spread / root, 2e-4), steep ? (leftOver * steep[i]!) / coarse.block : 0),
    )
  })
}

/**
 * Finds the regions of blocks that may be the drop, likeliest first, and the direction of each one's difference:
 * weighted by the inverse square of the noise, as Fisher's discriminant with uncorrelated colours has it (R. A. Fisher,
 * Annals of Eugenics 7, 1936). The region that differs most in sum is the likeliest; regions of what differs strongly
 * come beside those of what differs at all, for a drop may lie in faintly uneven light. None if nothing differs enough;
 * `level` overrides what is enough. Regions that lie where the drop is `expected` come first, those that reach the edge of
 * the picture (hands do) last.
 */
export function directionsOf(
  coarse: Coarse,
  bath: Bath,
  settings: Settings,
  expected: Circle | null = null,
): Direction[] {
  const { difference: kind, level, watch } = settings
  const inside = watched(coarse, watch)
  const planes = blockDifferences(kind, coarse, bath)
  const noise = blockNoise(planes, coarse, bath, inside)
  const signed = kind === 'darker' || kind === 'brighter'
  const { amounts, sure } = amountsOf(planes, noise, inside, signed)
  const dull = amounts.map((amount, i) => (signed || !glares(planes, i) ? amount : 0))
  const thresholds =
    level === null ? [leastContrast, 0.3 * dull.reduce((a, b) => Math.max(a, b), 0)] : [level]
  const found = [dull, amounts].map((list) =>
    thresholds
      .filter((threshold) => threshold >= Math.min(leastContrast, level ?? 1))
      .flatMap((threshold) => {
        const mask = list.map((amount, i) => (amount > threshold && (sure[i] || level !== null) ? 1 : 0))
        return likely(Uint8Array.from(mask), coarse, list, expected)
      }),
  )
  const regions = (found[0]!.length > 0 ? found[0]! : found[1]!).sort((a, b) => b.weight - a.weight)
  return regions.flatMap(
    ({ mask }) => weigh(kind, planes, noise, mask, signed, windowOf(mask, coarse, bath)) ?? [],
  )
}

/** The largest difference of each block over the colours (0 outside), and whether it stands out of the noise. */
function amountsOf(
  planes: Float32Array[],
  noise: Float32Array[],
  inside: Uint8Array,
  signed: boolean,
): { amounts: Float32Array; sure: Uint8Array } {
  const amounts = new Float32Array(inside.length)
  const sure = new Uint8Array(inside.length)
  for (let i = 0; i < inside.length; i++) {
    if (!inside[i]) continue
    for (let k = 0; k < 3; k++) {
      const d = signed ? planes[k]![i]! : Math.abs(planes[k]![i]!)
      amounts[i] = Math.max(amounts[i]!, d)
      if (d > leastNoises * noise[k]![i]!) sure[i] = 1
    }
  }
  return { amounts, sure }
}

/** More light than the bath in all colours: a reflection rather than a drop, as long as there is something else. */
const glares = (planes: Float32Array[], i: number): boolean => planes.every((plane) => plane[i]! < -0.15)

/** Most regions of one threshold that are looked at. */
const mostRegions = 4
/** How much likelier a region is where the drop is expected, and one at the picture's edge. */
const whereExpected = 50
const atTheEdge = 0.1

/** Regions of blocks, with the sum of their differences times how likely they are; none below 12 px². */
function likely(
  mask: Uint8Array,
  { width, height, block }: Coarse,
  amounts: Float32Array,
  expected: Circle | null,
): { mask: Uint8Array; weight: number }[] {
  const regions = regionsOf(mask, width, height).flatMap((pixels) => {
    if (pixels.length * block ** 2 < 12) return []
    let [weight, edge, near] = [0, false, false]
    for (const i of pixels) {
      const [x, y] = [i % width, Math.floor(i / width)]
      weight += amounts[i]!
      edge ||= x === 0 || y === 0 || x === width - 1 || y === height - 1
      near ||=
        expected !== null &&
        Math.hypot((x + 0.5) * block - expected.x, (y + 0.5) * block - expected.y) < 0.7 * expected.r + block
    }
    return [{ pixels, weight: weight * (edge ? atTheEdge : 1) * (near ? whereExpected : 1) }]
  })
  return regions
    .sort((a, b) => b.weight - a.weight)
    .slice(0, mostRegions)
    .map(({ pixels, weight }) => {
      const own = new Uint8Array(mask.length)
      for (const i of pixels) own[i] = 1
      return { mask: own, weight }
    })
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
