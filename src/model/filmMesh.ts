/**
 * The front-fitted mesh: cells on s = r/R under the drop, faces g = (r − R)/(R_dish − R) outside it.
 * Differences are taken in r²: cell averages with weight r are averages in r², so that even functions are met
 * to second order up to the axis.
 */
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
  /** Outer faces g[0] = 0 … g[outer] = 1. */
  outer: number
  g: Float64Array
}

/** Cells bunched over the outer part of the drop, where thin spot and ring lie. */
function bunched(cells: number): Float64Array {
  const samples = 4000
  const cumulative = new Float64Array(samples + 1)
  const density = (s: number) => 1 + 10 / (1 + Math.exp(-(s - 0.9) / 0.05))
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
    const sum = (ratio ** outer - 1) / (ratio - 1)
    ratio *= (1 / first / sum) ** (1 / outer)
  }
  const faces = new Float64Array(outer + 1)
  for (let k = 1; k < outer; k++) faces[k] = (ratio ** k - 1) / (ratio ** outer - 1)
  faces[outer] = 1
  return faces
}

/** @param cells at least 4; @param outer at least 2 */
export function makeFilmMesh(cells: number, outer: number, faces = bunched(cells)): FilmMesh {
  const area = new Float64Array(cells)
  const zc = new Float64Array(cells)
  const gap = new Float64Array(cells + 1)
  for (let i = 0; i < cells; i++) {
    const inner = faces[i] ** 2
    const far = faces[i + 1] ** 2
    area[i] = (far - inner) / 2
    zc[i] = (far + inner) / 2
  }
  for (let f = 1; f < cells; f++) gap[f] = (zc[f] - zc[f - 1]) / (2 * faces[f])
  gap[cells] = (1 - zc[cells - 1]) / 2
  return { cells, s: faces, area, zc, gap, outer, g: stretched(outer, 0.5 / outer / outer) }
}
