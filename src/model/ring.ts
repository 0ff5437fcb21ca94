import type { FilmSystem } from './film.ts'

/** A thin spot must lie below the ring by this factor to count. */
const CLEAR = 0.98

/** The thin spot and the ring outside it. Lengths in m. */
export interface RingShape {
  /** Cell of the thin spot, −1 if the profile has none. */
  thinCell: number
  thin: number
  thinRadius: number
  height: number
  radius: number
  /** Width at half the height above the thin spot. */
  width: number
  /** Volume outside the thin spot, m³. */
  volume: number
  /** ∫(h − h_thin) dr outside the thin spot, what is thinner than the coverage cut-off left out, m². */
  section: number
  /** ∫(h − h_thin)² dr likewise, m³. */
  moment: number
  /** Alcohol fraction of that liquid. */
  fraction: number
}

/** Finds thin spot and ring of the state last evaluated by `sys`. */
export function findRing(sys: FilmSystem): RingShape {
  const { h, mesh } = sys
  const N = mesh.cells
  let ringCell = N - 1
  let low = N - 1
  for (let i = N - 2; i >= 0; i--) {
    if (h[i] > h[ringCell]) {
      if (h[low] < CLEAR * h[ringCell]) break
      ringCell = low = i
    } else if (h[i] < h[low]) low = i
  }
  if (low >= ringCell || h[low] >= CLEAR * h[ringCell]) return NO_RING
  return outside(sys, low, ringCell)
}

/** The liquid outside the thin spot in one cell, a ring with its top in another. */
function outside(sys: FilmSystem, thinCell: number, ringCell: number): RingShape {
  const { h, mesh, R } = sys
  const N = mesh.cells
  const height = h[ringCell]
  const floor = Math.max(h[thinCell], sys.problem.coverage)
  let section = 0
  let moment = 0
  let alcohol = 0
  let volume = 0
  let above = 0
  for (let i = thinCell + 1; i < N; i++) {
    const width = (mesh.s[i + 1] - mesh.s[i]) * R
    const excess = Math.max(0, h[i] - floor)
    section += excess * width
    moment += excess * excess * width
    alcohol += sys.phi[i] * excess * width
    volume += 2 * Math.PI * mesh.area[i] * R * R * h[i]
    if (h[i] > 0.5 * (height + h[thinCell])) above += width
  }
  return {
    thinCell,
    thin: Math.max(0, h[thinCell]),
    thinRadius: Math.sqrt(mesh.zc[thinCell]) * R,
    height,
    radius: Math.sqrt(mesh.zc[ringCell]) * R,
    width: above,
    volume,
    section,
    moment,
    fraction: alcohol / section,
  }
}

const NO_RING: RingShape = {
  thinCell: -1,
  thin: Number.NaN,
  thinRadius: Number.NaN,
  height: Number.NaN,
  radius: Number.NaN,
  width: Number.NaN,
  volume: Number.NaN,
  section: Number.NaN,
  moment: Number.NaN,
  fraction: Number.NaN,
}

/** The liquid from a face on, as a ring: what flows in behind a ring that has just been shed. */
export function bodyFrom(sys: FilmSystem, first: number): RingShape {
  const { h, mesh } = sys
  let top = first
  for (let i = first; i < mesh.cells; i++) if (h[i] > h[top]) top = i
  return outside(sys, first - 1, top)
}
