/** From one picture to the drop in it. */
import { type Bath, bathOf } from './bath.ts'
import { readEdge } from './edge.ts'
import { directionsOf, leastContrast } from './find.ts'
import { coarsen, medianOf, smooth, spreadAbout } from './light.ts'
import { areaOf, bridge, meanRadius, type Outline, raggedOf, roundnessOf, traceOutline } from './outline.ts'
import { fillHoles, grow, largestRegion, withoutNecks } from './regions.ts'
import { type Direction, lightWithin, signalOf, type Window } from './signal.ts'
import type { Circle, DropMark, Flag, Frame, FrameResult, Plane, Settings } from './types.ts'
import { edgeUncertainty, quartiles, radiusUncertainty } from './uncertainty.ts'

/** Distance of a normal distribution from 10 % to 90 %, in standard deviations. */
const deciles = 2.563

/** What passes into the bath over more than this share of its radius is uneven light, not a drop. */
const edgelessShare = 0.45

/** Everything about a picture before the outline: for the preview and for the marking. */
interface Seen {
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
const smoothingFor = (ratio: number): number =>
  ratio > 20 ? 0.7 : ratio > 8 ? 1 : ratio > 4 ? 1.6 : ratio > 2 ? 2.2 : 3

/** Noise of the raw plane, also where it exceeds the contrast: from neighbours' differences. */
function pixelNoise({ width, height, values }: Plane): number {
  const stride = Math.max(1, Math.floor((width * height) / 20_000))
  const list: number[] = []
  for (let i = 0; i + 2 < values.length; i += stride) list.push((values[i + 2]! - values[i]!) / Math.SQRT2)
  return Math.max(spreadAbout(list, 0), 1e-4)
}

function look(
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
  const unknown = reflections(
    plane,
    clipped,
    direction,
    Math.max(0.35 * contrast, 6 * calmNoise),
    1.5 + 1.5 * Math.hypot(sigma, blur),
  )
  return { plane, window, sigma, blur, noise, calmNoise, unknown, open }
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

const maskAbove = ({ plane, unknown, open }: Seen, level: number): Uint8Array => {
  const mask = new Uint8Array(plane.values.length)
  for (let i = 0; i < mask.length; i++) mask[i] = plane.values[i]! > level && open[i] && !unknown[i] ? 1 : 0
  return mask
}

/** Largest region above a level, holes filled. */
function regionAbove(seen: Seen, level: number): Uint8Array | null {
  const { width, height } = seen.plane
  const region = largestRegion(maskAbove(seen, level), width, height)
  return region && region.size >= 8 ? fillHoles(region.mask, width, height) : null
}

const sizeOf = (mask: Uint8Array): number => mask.reduce((sum, set) => sum + set, 0)

/** The drop's contrast seen at full sharpness: the blocks blur small drops. */
function contrastOf(seen: Seen, guess: number): number {
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
function levelAtEdge(seen: Seen, contrast: number): number | null {
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

/** The drop's region, and the share of its area that hangs on by necks. */
interface Found {
  region: Uint8Array
  loose: number
}

/** The drop's region; child drops and their blur become unknown if they are cut, for the outline bridges them. */
function dropRegion(seen: Seen, level: number, cutChildren: boolean): Found | null {
  const region = regionAbove(seen, level)
  if (!region) return null
  const { width, height } = seen.plane
  const size = sizeOf(region)
  const main = withoutNecks(
    region,
    width,
    height,
    Math.min(Math.max(0.12 * Math.sqrt(size / Math.PI), 1.5), 40),
  )
  const left = sizeOf(main)
  if (!cutChildren) return { region, loose: (size - left) / size }
  const others = maskAbove(seen, level).map((set, i) => ((set || region[i]) && !main[i] ? 1 : 0))
  const beside = grow(others, width, height, 1 + Math.hypot(seen.sigma, seen.blur))
  for (let i = 0; i < beside.length; i++) if (beside[i] && !main[i]) seen.unknown[i] = 1
  return left > 0 ? { region: main, loose: (size - left) / left } : null
}

const nothing = (...flags: Flag[]): FrameResult => ({
  flags: flags.length > 0 ? flags : ['no-drop'],
  drop: null,
})

/**
 * Marks the drop in a picture. Pure: the same picture and settings give the same mark. A picture in which nothing
 * differs enough gives the flag `no-drop`, never an error. `bare` is a picture of the bath without a drop, of the same
 * size: all that it shows already (dish, marks, lamps) is then no difference.
 */
export function markDrop(frame: Frame, settings: Settings, bare: Frame | null = null): FrameResult {
  if (frame.width < 8 || frame.height < 8) return nothing('unreadable')
  const coarse = coarsen(frame)
  const bath = bathOf(frame, coarse, settings.watch, bare)
  for (const direction of bath ? directionsOf(coarse, bath, settings) : []) {
    const result = markAlong(frame, bath!, direction, settings)
    if (result.drop) return result
  }
  return nothing()
}

/** Looks closely at the part round a find; at the whole picture if the drop is larger than that. */
function markAlong(frame: Frame, bath: Bath, direction: Direction, settings: Settings): FrameResult {
  const first = markIn(frame, bath, direction, settings, direction.window)
  const { width, height } = frame
  const whole = direction.window.width === width && direction.window.height === height
  if (whole || !first.flags.includes('touches-border')) return first
  return markIn(frame, bath, direction, settings, { left: 0, top: 0, width, height })
}

function markIn(frame: Frame, bath: Bath, found: Direction, settings: Settings, window: Window): FrameResult {
  const first = markWith(frame, bath, found, settings, window, 0)
  if (!first.result.drop || !first.result.flags.includes('bridged')) return first.result
  return markWith(frame, bath, found, settings, window, first.result.drop.blur / deciles).result
}

/** Marks with reflections widened for a lens blur of `blur` px (standard deviation). */
function markWith(
  frame: Frame,
  bath: Bath,
  toward: Direction,
  settings: Settings,
  window: Window,
  blur: number,
): { seen: Seen; result: FrameResult } {
  const seen = look(frame, bath, toward, settings.watch, window, blur)
  const direction = { ...toward, contrast: contrastOf(seen, toward.contrast) }
  const level = settings.level ?? levelAtEdge(seen, direction.contrast)
  const found = level === null ? null : dropRegion(seen, level, settings.cutChildren)
  if (level === null || !found) return { seen, result: nothing() }
  const result = describe(seen, found, level, direction, settings.level !== null)
  if (result.drop) Object.assign(result.drop, lightWithin(frame, bath, window, found.region))
  return { seen, result }
}

function describe(
  seen: Seen,
  { region, loose }: Found,
  level: number,
  direction: Direction,
  fixed: boolean,
): FrameResult {
  const { plane, sigma, noise, calmNoise } = seen
  const traced = traceOutline(region, plane, level, seen.unknown, seen.open)
  const carried = bridge(traced.outline)
  const rough = Math.sqrt(areaOf(carried.outline).area / Math.PI)
  const step = fixed ? direction.contrast : Math.min(direction.contrast, 2 * level)
  const edge = readEdge(plane, carried.outline, step, rough, fixed)
  const blur = Math.sqrt(Math.max((edge.quartileWidth / quartiles) ** 2 - sigma * sigma, 0.09))
  if (deciles * blur > Math.max(8, edgelessShare * rough)) return nothing()
  const flags: Flag[] = []
  if (traced.touches) flags.push('touches-border')
  if (carried.share > 0.02 && !traced.touches) flags.push('bridged')
  if (direction.contrast < 8 * calmNoise || direction.contrast < 2 * leastContrast) flags.push('faint')
  const drop = finish(edge.outline, sigma, seen.window)
  const place = edgeUncertainty(blur, edge.scatter, Math.hypot(blur, sigma) ** 2 / (2 * rough))
  const bridged = Math.min(1, carried.share)
  return {
    flags,
    drop: {
      ...drop,
      blur: deciles * blur,
      uncertainty: radiusUncertainty({ radius: rough, edge: place, ragged: drop.ragged, loose, bridged }),
      level,
      contrast: direction.contrast,
      noise,
      calmNoise,
      loose,
      bridged,
      clipped: 0,
      gain: 0,
    },
  }
}

/** Radii, centre, roundness. A disc smoothed by σ shrinks by σ²/(2r) at half its step (motion by curvature). */
function finish(
  outline: Outline,
  sigma: number,
  { left, top }: Window,
): Pick<
  DropMark,
  'area' | 'equivalentRadius' | 'edgeRadius' | 'x' | 'y' | 'roundness' | 'ragged' | 'outline'
> {
  const { area, centre } = areaOf(outline)
  const shrunk = Math.sqrt(area / Math.PI)
  const back = Math.min((sigma * sigma) / (2 * Math.max(shrunk, 1)), 0.5)
  const radius = shrunk + back
  const flat = new Float32Array(2 * outline.x.length)
  for (let i = 0; i < outline.x.length; i++) {
    flat[2 * i] = outline.x[i]! + left
    flat[2 * i + 1] = outline.y[i]! + top
  }
  return {
    area: Math.PI * radius * radius,
    equivalentRadius: radius,
    edgeRadius: meanRadius(outline, centre) + back,
    x: centre.x + left,
    y: centre.y + top,
    roundness: Math.min(1, roundnessOf(outline)),
    ragged: raggedOf(outline, centre),
    outline: flat,
  }
}
