/**
 * The front-fitted mesh: cells on s = r/R under the drop, faces g = (r − R)/(R_dish − R) outside it.
 * Differences are taken in r²: cell averages with weight r are averages in r², so that even functions are met
 * to second order up to the axis.
 */
import { exp, pow, square } from '../numerics/elementary.ts'

export interface FilmMesh {
  /** Cells under the drop, faces s[0] = 0 … s[cells] = 1. */
  cells: number
  s: Float64Array
  /** ∫ s ds over each cell. */
  area: Float64Array
  /** Middle of each cell in s². */
  zc: Float64Array
  /** Distance of cell centres across face f in units of R; the last entry is the half cell at the edge. */
  gap: Float64Array
  /** Weight of the outer cell in the linear interpolation to face f. */
  weight: Float64Array
  /** ∂r((1/r) ∂r(r u))·R² at face f on faces f − 1, f, f + 1. */
  spread: [Float64Array, Float64Array, Float64Array]
  /** ∂r u·R at face f on faces f − 1, f, f + 1. */
  slope: [Float64Array, Float64Array, Float64Array]
  /** Outer faces g[0] = 0 … g[outer] = 1. */
  outer: number
  g: Float64Array
}

/** Cells bunched over the outer part of the drop, where thin spot and ring lie. */
function bunched(cells: number): Float64Array {
  const samples = 4000
  const cumulative = new Float64Array(samples + 1)
  const density = (s: number) => 1 + 10 / (1 + exp(-(s - 0.9) / 0.05))
  for (let i = 0; i < samples; i++) cumulative[i + 1] = cumulative[i] + density((i + 0.5) / samples)
  const faces = new Float64Array(cells + 1)
  let at = 0
  for (let f = 1; f < cells; f++) {
    const wanted = (cumulative[samples] * f) / cells
    while (cumulative[at + 1] < wanted) at++
    faces[f] = (at + (wanted - cumulative[at]) / (cumulative[at + 1] - cumulative[at])) / samples
  }
  faces[cells] = 1
  return faces
}

/** Geometric growth from the edge outward: first step about `first` of the whole. */
function stretched(outer: number, first: number): Float64Array {
  let ratio = 1.05
  for (let i = 0; i < 60; i++) {
    const sum = (pow(ratio, outer) - 1) / (ratio - 1)
    ratio *= pow(1 / first / sum, 1 / outer)
  }
  const faces = new Float64Array(outer + 1)
  for (let k = 1; k < outer; k++) faces[k] = (pow(ratio, k) - 1) / (pow(ratio, outer) - 1)
  faces[outer] = 1
  return faces
}

/** @param cells at least 4; @param outer at least 2 */
export function makeFilmMesh(cells: number, outer: number, faces = bunched(cells)): FilmMesh {
  const area = new Float64Array(cells)
  const zc = new Float64Array(cells)
  const gap = new Float64Array(cells + 1)
  for (let i = 0; i < cells; i++) {
    const inner = square(faces[i])
    const far = square(faces[i + 1])
    area[i] = (far - inner) / 2
    zc[i] = (far + inner) / 2
  }
  for (let f = 1; f < cells; f++) gap[f] = (zc[f] - zc[f - 1]) / (2 * faces[f])
  gap[cells] = (1 - zc[cells - 1]) / 2
  const g = stretched(outer, 0.5 / outer / outer)
  return { cells, s: faces, area, zc, gap, ...differences(faces, area, zc, gap), outer, g }
}

/** Coefficients of interpolation and differences at the inner faces. */
function differences(
  s: Float64Array,
  area: Float64Array,
  zc: Float64Array,
  gap: Float64Array,
): Pick<FilmMesh, 'weight' | 'spread' | 'slope'> {
  const make = () => new Float64Array(s.length)
  const [weight, bathL, bathC, bathR, slopeL, slopeC, slopeR] = Array.from({ length: 7 }, make) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ]
  for (let f = 1; f < area.length; f++) {
    weight[f] = (square(s[f]) - zc[f - 1]) / (zc[f] - zc[f - 1])
    bathL[f] = s[f - 1] / (area[f - 1] * gap[f])
    bathC[f] = (-s[f] * (1 / area[f] + 1 / area[f - 1])) / gap[f]
    bathR[f] = s[f + 1] / (area[f] * gap[f])
    const left = s[f] - s[f - 1]
    const right = s[f + 1] - s[f]
    slopeL[f] = -right / (left * (left + right))
    slopeR[f] = left / (right * (left + right))
    slopeC[f] = -slopeL[f] - slopeR[f]
  }
  return { weight, spread: [bathL, bathC, bathR], slope: [slopeL, slopeC, slopeR] }
}
