/** From a region to the drop's outline, radii, blur and uncertainty. */
import { doubtfulArea, type Found } from './dropRegion.ts'
import { readEdge } from './edge.ts'
import { sizeOf } from './edgeLevel.ts'
import { leastContrast } from './find.ts'
import {
  areaOf,
  bridge,
  fineRaggedOf,
  meanRadius,
  type Outline,
  raggedOf,
  roundnessOf,
  traceOutline,
} from './outline.ts'
import type { Seen } from './seen.ts'
import type { Direction, Window } from './signal.ts'
import type { DropMark, Flag, FrameResult } from './types.ts'
import { quartiles, uncertaintyOf } from './uncertainty.ts'

/** Distance of a normal distribution from 10 % to 90 %, in standard deviations. */
export const deciles = 2.563

/** A smaller share of the turn that was bridged needs no word: the stated uncertainty has it. */
const muchBridged = 0.02

/** What passes into the bath over more than this share of its radius is uneven light, not a drop. */
const edgelessShare = 0.45

export const nothing = (...flags: Flag[]): FrameResult => ({
  flags: flags.length > 0 ? flags : ['no-drop'],
  drop: null,
})

export function describe(
  seen: Seen,
  found: Found,
  level: number,
  direction: Direction,
  fixed: boolean,
): FrameResult {
  const { plane, sigma, noise, calmNoise } = seen
  const { region } = found
  const traced = traceOutline(region, plane, level, seen.unknown, seen.open)
  const carried = bridge(traced.outline)
  const rough = Math.sqrt(areaOf(carried.outline).area / Math.PI)
  const step = fixed ? direction.contrast : Math.min(direction.contrast, 2 * level)
  const edge = readEdge(plane, carried.outline, step, rough, fixed)
  const blur = Math.sqrt(Math.max((edge.quartileWidth / quartiles) ** 2 - sigma * sigma, 0.09))
  if (deciles * blur > Math.max(8, edgelessShare * rough)) return nothing()
  const flags: Flag[] = []
  if (traced.touches) flags.push('touches-border')
  if (carried.share > muchBridged && !traced.touches) flags.push('bridged')
  if (direction.contrast < 8 * calmNoise || direction.contrast < 2 * leastContrast) flags.push('faint')
  const drop = finish(edge.outline, sigma, seen.window)
  const bridged = Math.min(1, carried.share)
  const loose = doubtfulArea(found, Math.hypot(blur, sigma)) / sizeOf(region)
  const parts = uncertaintyOf({
    radius: rough,
    blur,
    scatter: edge.scatter,
    bend: Math.hypot(blur, sigma) ** 2 / (2 * rough),
    ragged: drop.ragged,
    fine: fineRaggedOf(edge.outline, areaOf(edge.outline).centre),
    loose,
    bridged,
  })
  return {
    flags,
    drop: {
      ...drop,
      blur: deciles * blur,
      ...parts,
      level,
      contrast: direction.contrast,
      noise,
      calmNoise,
      loose,
      bridged,
      clipped: 0,
      gain: 0,
      hollow: 0,
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
