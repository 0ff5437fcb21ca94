/** The drop's region: the film with its fingers, without child drops, and what of it may not be film. */
import { mainPart, type Piece, piecesOf } from './children.ts'
import { maskAbove, regionAbove, sizeOf } from './edgeLevel.ts'
import { grow } from './regions.ts'
import type { Seen } from './seen.ts'

/** The drop's region, and what of it may not be film. */
export interface Found {
  region: Uint8Array
  /** Areas that count or not by how far the signal falls between them and the film, px²: likelier so than not, and hardly. */
  parted: readonly [number, number]
  pieces: readonly Piece[]
}

/** Shares of the step at which the signal between film and child drop must stay for them to be one, and to be so surely. */
const joined = 0.7
const surelyJoined = 0.88
/** What is thicker than its neck by this factor is a child drop. */
const hanging = 1.3

/**
 * The drop's region: the film that is joined with its middle, fingers and all. Child drops are what the signal falls in
 * front of, and what hangs on by a neck; they and their blur become unknown if they are cut, for the outline bridges them.
 */
export function dropRegion(seen: Seen, level: number, contrast: number, cutChildren: boolean): Found | null {
  const region = regionAbove(seen, level)
  if (!region) return null
  const { width, height } = seen.plane
  const step = Math.min(contrast, 2 * level)
  const size = sizeOf(region)
  const reach = Math.min(Math.max(0.12 * Math.sqrt(size / Math.PI), 1.5), 40)
  const whole = cutChildren ? mainPart(region, seen.plane, joined * step) : region
  const sure = sizeOf(mainPart(region, seen.plane, surelyJoined * step))
  const left = sizeOf(whole)
  const parted = [size - left, left - sure] as const
  const pieces = piecesOf(whole, width, height, reach)
  if (!cutChildren) return { region, parted, pieces }
  const main = whole.slice()
  for (const { pixels, bulge } of pieces) if (bulge > hanging) for (const i of pixels) main[i] = 0
  const others = maskAbove(seen, level).map((set, i) => ((set || region[i]) && !main[i] ? 1 : 0))
  const beside = grow(others, width, height, 1 + Math.hypot(seen.sigma, seen.blur))
  for (let i = 0; i < beside.length; i++) if (beside[i] && !main[i]) seen.unknown[i] = 1
  return sizeOf(main) > 0 ? { region: main, parted, pieces } : null
}

/**
 * Standard uncertainty of the area by what may be film or child drop, px². A piece that is film with the likelihood p
 * has a standard deviation of √(p(1 − p)) of its area; all pieces are taken to err together. The likelihood goes by how
 * much a piece is thicker than its neck, and is even where it is too small beside the blur (`blur` px, standard deviation)
 * to show a neck.
 */
export function doubtfulArea({ parted: [apart, hardly], pieces }: Found, blur: number): number {
  let area = 0.4 * Math.max(0, apart) + 0.46 * Math.max(0, hardly)
  for (const { pixels, thick, bulge } of pieces) {
    const film = 1 / (1 + Math.exp((bulge - hanging) / 0.15))
    const blurred = Math.min(1, Math.max(0, 3 - thick / Math.max(blur, 0.3)))
    const even = Math.max(Math.sqrt(film * (1 - film)), 0.5 * blurred)
    area += even * pixels.length
  }
  return area
}

/** Share of a region's area that lies well below the level: holes that were filled, reflections aside. */
export function hollowOf({ plane, unknown }: Seen, region: Uint8Array, level: number): number {
  let [inside, below] = [0, 0]
  for (let i = 0; i < region.length; i++) {
    if (!region[i]) continue
    inside++
    if (!unknown[i] && plane.values[i]! < 0.6 * level) below++
  }
  return below / Math.max(1, inside)
}
