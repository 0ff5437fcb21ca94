/** The film's cut as the stage needs it: nodes from the axis to the edge with height, slope and colour place. */
import type { Fields } from '../../life/view.ts'
import { type FilmTable, placeOfThickness, rowOf } from '../../optics/filmTable.ts'
import type { ColourScale } from '../colourScale.ts'
import { placeOf } from '../colourScale.ts'
import { type HeightMap, heightOf } from './heightMap.ts'

/** Most nodes of a profile; the mesh of a life may have at most this many cells less two. */
export const mostNodes = 512

export interface Profile {
  count: number
  /** Radius and height, m. */
  r: Float64Array
  y: Float64Array
  /** dy/dr. */
  slope: Float64Array
  /** Place in the colour table, 0–1. */
  place: Float64Array
  /** Of a film table: n/n₀ and row (with its fraction); 1 and 0 without. */
  ratio: Float64Array
  row: Float64Array
}

export const createProfile = (): Profile => ({
  count: 0,
  r: new Float64Array(mostNodes),
  y: new Float64Array(mostNodes),
  slope: new Float64Array(mostNodes),
  place: new Float64Array(mostNodes),
  ratio: new Float64Array(mostNodes).fill(1),
  row: new Float64Array(mostNodes),
})

export function valueAt(fields: Fields, scale: ColourScale, cell: number): number {
  if (scale.quantity === 'alcohol') return fields.phi[cell]!
  if (scale.quantity === 'tension') return fields.sigma[cell]!
  if (scale.quantity === 'thickness') return fields.h[cell]!
  return 0.5 * (fields.surfaceSpeed[cell]! + fields.surfaceSpeed[cell + 1]!)
}

/** Places in a film table: they follow thickness and composition; at the edge there is no film. */
function fillFilm(profile: Profile, fields: Fields, film: FilmTable): void {
  const { count, place, ratio, row } = profile
  for (let i = 1; i < count - 1; i++) {
    const phi = fields.phi[i - 1]!
    const [lower, share] = rowOf(film, phi)
    ratio[i] = film.ratio(phi)
    row[i] = lower + share
    place[i] = placeOfThickness(ratio[i]! * fields.h[i - 1]!)
  }
  for (const values of [place, ratio, row]) {
    values[0] = values[1]!
    values[count - 1] = values[count - 2]!
  }
  place[count - 1] = 0
}

/** Fills the profile: the axis, the cell centres, and the edge with height 0. */
export function fillProfile(
  profile: Profile,
  fields: Fields,
  map: HeightMap,
  scale: ColourScale,
  film: FilmTable | null = null,
): void {
  const cells = Math.min(fields.inner, mostNodes - 2)
  const { r, y, place } = profile
  for (let i = 0; i < cells; i++) {
    r[i + 1] = fields.cellRadius[i]!
    y[i + 1] = heightOf(map, fields.h[i]!)
    place[i + 1] = placeOf(scale, valueAt(fields, scale, i))
  }
  r[0] = 0
  y[0] = y[1]!
  place[0] = place[1]!
  r[cells + 1] = fields.R
  y[cells + 1] = 0
  place[cells + 1] = place[cells]!
  profile.count = cells + 2
  if (film) fillFilm(profile, fields, film)
  fillSlopes(profile)
}

/** Slope at each node: the mean of both neighbouring lines, each weighted by the length of the other. */
function fillSlopes({ count, r, y, slope }: Profile): void {
  slope[0] = 0
  for (let i = 1; i < count - 1; i++) {
    const left = r[i]! - r[i - 1]!
    const right = r[i + 1]! - r[i]!
    if (!(left > 0) || !(right > 0)) {
      slope[i] = 0
      continue
    }
    const before = (y[i]! - y[i - 1]!) / left
    const after = (y[i + 1]! - y[i]!) / right
    slope[i] = (before * right + after * left) / (left + right)
  }
  const last = count - 1
  const width = r[last]! - r[last - 1]!
  slope[last] = width > 0 ? (y[last]! - y[last - 1]!) / width : 0
}

/** Height (m) of the drop at radius r; 0 outside and for an unknown radius (NaN). */
export function profileHeight({ count, r, y }: Profile, at: number): number {
  if (count < 2 || !(at < r[count - 1]!)) return 0
  let low = 0
  let high = count - 1
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (r[middle]! <= at) low = middle
    else high = middle
  }
  const width = r[high]! - r[low]!
  return width > 0 ? y[low]! + ((at - r[low]!) / width) * (y[high]! - y[low]!) : y[low]!
}
