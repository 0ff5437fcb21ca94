/**
 * The bath's light without the drop: a smooth low-order surface through the bath that can be seen, or a picture of the
 * bare bath times such a surface (the lamp may have changed since).
 */
import { type Bath, surfaceBlocks } from './bathLight.ts'
import { leastLight, movedBlocks, type Picture } from './bathPicture.ts'
import { type Fit, fitSurface, placeOf } from './bathSurface.ts'
import type { Coarse } from './light.ts'
import type { Circle, Frame, Point } from './types.ts'

/** True for the blocks whose centre lies in the watched circle (with `margin`, px, off its edge). */
export function watched({ width, height, block }: Coarse, watch: Circle | null, margin = 0): Uint8Array {
  const mask = new Uint8Array(width * height).fill(1)
  if (!watch) return mask
  const reach = Math.max(1, watch.r - margin)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const away = Math.hypot((x + 0.5) * block - watch.x, (y + 0.5) * block - watch.y)
      mask[y * width + x] = away <= reach ? 1 : 0
    }
  }
  return mask
}

/** Blocks near the edge of the watched part: the likeliest place of bare bath. */
function outerBand(coarse: Coarse, inside: Uint8Array, watch: Circle | null): Uint8Array {
  const { width, height, block } = coarse
  const band = new Uint8Array(inside.length)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x
      if (!inside[i]) continue
      const part = watch
        ? Math.hypot((x + 0.5) * block - watch.x, (y + 0.5) * block - watch.y) / watch.r
        : Math.max(Math.abs(placeOf(x, width)), Math.abs(placeOf(y, height)))
      band[i] = part > 0.75 ? 1 : 0
    }
  }
  return band
}

/** Blocks that lie on the surface within `times` robust standard deviations in every colour. */
function onSurface(coarse: Coarse, bath: Bath, fit: Fit, inside: Uint8Array, times: number): Uint8Array {
  const planes = surfaceBlocks(bath, coarse)
  return inside.map((set, i) => {
    if (!set) return 0
    for (let k = 0; k < 3; k++) {
      if (Math.abs(coarse.light[k]![i]! - planes[k]![i]!) > times * fit.spread[k]!) return 0
    }
    return 1
  })
}

const count = (mask: Uint8Array): number => mask.reduce((sum, set) => sum + set, 0)

/**
 * The bath's light: a surface of second degree through the outer band, then, again and again, one of fourth degree through all
 * that lies on the last one (second degree where little is bare). Uneven light and vignetting of common lenses are of that order. Where most of the band is covered, the
 * surface of what is seen there is given; null if the watched part is too small for one.
 */
export function bathOf(
  frame: Frame,
  seen: Coarse,
  watch: Circle | null,
  picture: Picture | null = null,
  shift: Point = { x: 0, y: 0 },
): Bath | null {
  const blocks = picture ? movedBlocks(picture.coarse, shift) : undefined
  const coarse = blocks ? dividedBy(seen, blocks) : seen
  const margin = watch ? Math.max(coarse.block, 0.03 * watch.r) : 0
  const inside = watched(coarse, watch, margin)
  const make = (degree: number, { coefficients }: Fit): Bath => ({
    degree,
    width: frame.width,
    height: frame.height,
    coefficients,
    ...(picture && blocks ? { picture, blocks, shift } : {}),
  })
  const first = fitSurface(coarse, outerBand(coarse, inside, watch), 2, 4) ?? fitSurface(coarse, inside, 0, 5)
  if (!first) return null
  const rough = make(first.coefficients[0].length === 1 ? 0 : 2, first)
  return rough.degree === 0 ? rough : refine(rough, first, coarse, inside, make, picture ? 2 : 4)
}

/** Fits again and again what lies on the last surface, with a finer one as long as enough is bare. */
function refine(
  rough: Bath,
  first: Fit,
  coarse: Coarse,
  inside: Uint8Array,
  make: (degree: number, fit: Fit) => Bath,
  finest: number,
): Bath {
  let bath = rough
  let fit = first
  for (let round = 0; round < 3; round++) {
    const bare = onSurface(coarse, bath, fit, inside, 4)
    const degree = count(bare) / count(inside) > 0.3 ? finest : 2
    const next = fitSurface(coarse, bare, degree, 3)
    if (!next) break
    fit = next
    bath = make(degree, next)
  }
  return bath
}

/** The frame's light as a share of the bare bath's. */
function dividedBy(seen: Coarse, bare: Coarse): Coarse {
  const light = seen.light.map((values, k) =>
    values.map((value, i) => value / Math.max(bare.light[k]![i]!, leastLight)),
  ) as Coarse['light']
  return { ...seen, light }
}
