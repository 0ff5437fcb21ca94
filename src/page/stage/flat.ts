/**
 * The drop from straight above, to be laid beside a photograph: a pure function from a place in the picture to a colour.
 * A pixel has the mean colour of the film between its inner and its outer side, so that fringes finer than pixels fade and
 * make no false pattern. The rim's beads and the child drops stand where the stage has them; the half that the stage does
 * not show mirrors it. Lengths in m.
 */
import { cellValue, type Fields, intervalOf } from '../../life/view.ts'
import { meanColour } from '../../optics/filmTable.ts'
import type { Beads } from '../beads.ts'
import { tableSize } from '../colour.ts'
import { placeOf } from '../colourScale.ts'
import { columnsFor, fillWave, mostColumns, shownAt, shownBy } from './beadWave.ts'
import type { Look } from './look.ts'
import { valueAt } from './profile.ts'

export type Rgb = [number, number, number]

/** A child drop in the picture: distance from the middle, direction (rad, 0–π) and radius. */
export interface FlatChild {
  r: number
  angle: number
  radius: number
  opacity: number
}

export interface FlatScene {
  fields: Fields
  look: Look
  beads: Beads | null
  /** Thickness and place of the thin spot. */
  thin: { thin: number; thinRadius: number }
  children: readonly FlatChild[]
  /** Ground where the look has no bare oil's colour, and beyond the dish's wall; 0–1. */
  oil: Rgb
  beyond: Rgb
  child: Rgb
}

/** Displacement of the edge (−1 … 1) at a direction (rad). */
type Wave = (angle: number) => number

function waveOf(beads: Beads | null, perMetre: number): Wave | null {
  if (!beads) return null
  const shown =
    shownBy(perMetre * beads.amplitude, beads.amplitude / (2 * beads.halfBase)) *
    shownAt(perMetre * beads.spacing)
  if (!(shown > 0)) return null
  const columns = columnsFor(beads.count)
  const data = new Float32Array(2 * (mostColumns + 1))
  fillWave(data, columns, beads.count, () => shown)
  return (angle) => {
    const place = (columns * Math.min(Math.PI, Math.abs(angle))) / Math.PI
    const k = Math.min(columns - 1, Math.floor(place))
    return data[2 * k]! + (place - k) * (data[2 * k + 2]! - data[2 * k]!)
  }
}

/** Thickness at a distance from the middle; from the outermost cell it falls evenly to nothing at the edge. */
export function thicknessAt(fields: Fields, r: number): number {
  const last = fields.inner - 1
  const from = fields.cellRadius[last]!
  if (r >= fields.R) return 0
  if (r > from) return (fields.h[last]! * (fields.R - r)) / (fields.R - from)
  return cellValue(fields, 'h', r)
}

/** Where a place of the bulging rim lies on the round one, and by what its excess over the thin spot has grown. */
function straightened({ fields, beads, thin }: FlatScene, r: number, c: number): [r: number, grown: number] {
  const { amplitude, halfBase } = beads!
  const middle = fields.R - halfBase
  const swing = (amplitude / halfBase) * c
  const at = r <= middle ? r : middle + (r - middle) / Math.max(0.05, 1 + swing)
  const inner = Math.max(thin.thinRadius, middle - 1.5 * halfBase)
  const x = Math.min(1, Math.max(0, (at - inner) / Math.max(1e-12, middle - inner)))
  return [at, Math.max(0, 1 + swing * x * x * (3 - 2 * x))]
}

interface Spot {
  r: number
  h: number
}

function spotAt(scene: FlatScene, r: number, c: number): Spot {
  if (c === 0) return { r, h: thicknessAt(scene.fields, r) }
  const [at, grown] = straightened(scene, r, c)
  const h = thicknessAt(scene.fields, at)
  return { r: at, h: h + Math.max(0, h - scene.thin.thin) * (grown - 1) }
}

/** Colour of the drop from the inner to the outer spot. */
function filmColour({ fields, look }: FlatScene, inner: Spot, outer: Spot): Rgb {
  const r = 0.5 * (inner.r + outer.r)
  if (look.film)
    return meanColour(look.film, inner.h, outer.h, cellValue(fields, 'phi', Math.min(r, fields.R)))
  const cell = intervalOf(fields.cellRadius, fields.inner, r)
  const value =
    look.scale.quantity === 'thickness' ? 0.5 * (inner.h + outer.h) : valueAt(fields, look.scale, cell)
  const k = 3 * Math.round(placeOf(look.scale, value) * (tableSize - 1))
  return [look.table[k]! / 255, look.table[k + 1]! / 255, look.table[k + 2]! / 255]
}

const mixed = (a: Rgb, b: Rgb, x: number): Rgb => [
  a[0] + x * (b[0] - a[0]),
  a[1] + x * (b[1] - a[1]),
  a[2] + x * (b[2] - a[2]),
]

/** Colour (0–1) of a pixel whose middle lies at `r` in direction `angle` (rad); `pixel` is its side. */
export function pixelColour(
  scene: FlatScene,
  wave: Wave | null,
  r: number,
  angle: number,
  pixel: number,
): Rgb {
  const { fields, look, oil, beyond } = scene
  const bare = look.bare ?? oil
  const c = wave ? wave(angle) : 0
  const edge = fields.R + (wave ? scene.beads!.amplitude * c : 0)
  const wall = mixed(bare, beyond, Math.min(1, Math.max(0, (r - fields.dishRadius) / pixel + 0.5)))
  if (r - pixel / 2 >= edge) return wall
  const [from, to] = [Math.max(0, r - pixel / 2), Math.min(edge, r + pixel / 2)]
  const shown = filmColour(scene, spotAt(scene, from, c), spotAt(scene, to, c))
  return mixed(wall, shown, Math.min(1, (edge - (r - pixel / 2)) / pixel))
}

/** Colours within the bulging part, and of a round drop everywhere, depend on the distance alone: kept for each eighth of a pixel. */
function remembered(scene: FlatScene, wave: Wave | null, pixel: number): (r: number, angle: number) => Rgb {
  const calm = wave ? scene.fields.R - 2.5 * scene.beads!.halfBase : Number.POSITIVE_INFINITY
  const known: Rgb[] = []
  return (r, angle) => {
    if (
      r > scene.fields.R + pixel + (wave ? scene.beads!.amplitude : 0) &&
      r < scene.fields.dishRadius - pixel
    ) {
      return scene.look.bare ?? scene.oil
    }
    if (r >= calm - pixel) return pixelColour(scene, wave, r, angle, pixel)
    const k = Math.round((8 * r) / pixel)
    known[k] ??= pixelColour(scene, null, (k * pixel) / 8, 0, pixel)
    return known[k]
  }
}

/** RGBA bytes of a square picture `size` pixels wide that shows `across` m. */
export function flatPixels(scene: FlatScene, size: number, across: number): Uint8ClampedArray {
  const bytes = new Uint8ClampedArray(4 * size * size).fill(255)
  const pixel = across / size
  const colourOf = remembered(scene, waveOf(scene.beads, 1 / pixel), pixel)
  for (let j = 0; j < size; j++) {
    const y = (size / 2 - j - 0.5) * pixel
    for (let i = 0; i < size; i++) {
      const x = (i + 0.5 - size / 2) * pixel
      const rgb = colourOf(Math.hypot(x, y), Math.atan2(y, x))
      for (let c = 0; c < 3; c++) bytes[4 * (size * j + i) + c] = 255 * rgb[c]!
    }
  }
  for (const child of scene.children) putChild(scene, child, bytes, size, pixel)
  return bytes
}

/** A child drop and its mirror image; none is drawn narrower than two pixels. */
function putChild(scene: FlatScene, child: FlatChild, bytes: Uint8ClampedArray, size: number, pixel: number) {
  const { look } = scene
  const radius = Math.max(pixel, child.radius || 0)
  const colour = look.film ? meanColour(look.film, 0, child.radius || pixel, 0) : scene.child
  for (const side of [1, -1]) {
    const x = size / 2 + (child.r * Math.cos(child.angle)) / pixel
    const y = size / 2 - (side * child.r * Math.sin(child.angle)) / pixel
    const reach = Math.ceil(radius / pixel) + 1
    for (let j = Math.floor(y) - reach; j <= y + reach; j++) {
      for (let i = Math.floor(x) - reach; i <= x + reach; i++) {
        if (i < 0 || j < 0 || i >= size || j >= size) continue
        const cover = radius / pixel - Math.hypot(i + 0.5 - x, j + 0.5 - y) + 0.5
        const alpha = child.opacity * Math.min(1, Math.max(0, cover))
        for (let c = 0; c < 3; c++) {
          const at = 4 * (size * j + i) + c
          bytes[at] = bytes[at]! + alpha * (255 * colour[c]! - bytes[at]!)
        }
      }
    }
  }
}
