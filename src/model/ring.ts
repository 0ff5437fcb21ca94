import type { FilmSystem } from './film.ts'
import { CLOSURE, CLOSURE_COUNT } from './problem.ts'

/**
 * Breaking of a liquid thread by its own tension, inviscid (Rayleigh 1879): fastest wavelength and drop radius in units
 * of the thread's radius. Constants from the maximum of the dispersion relation; see tests.
 */
export const THREAD = { wavelength: 9.014376898, dropRadius: 1.890887359 } as const

/** Growth of the thread's waves in viscous surroundings: rate ≈ SLOWED γ/(2 ηo a) (order of magnitude). */
const SLOWED = 0.1
/** e-foldings of the wave until the thread has broken; liquid leaves over that time. */
const EFOLDINGS = 5

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
  let volume = 0
  let above = 0
  for (let i = thinCell + 1; i < N; i++) {
    const width = (mesh.s[i + 1] - mesh.s[i]) * R
    section += Math.max(0, h[i] - floor) * width
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
}

/**
 * Sets the rate at which ring liquid leaves as child drops (an estimate, see model notes): a thread of the ring's
 * section a = √(A/π) breaks at SLOWED γ_eff/(2 ηo a) over EFOLDINGS e-foldings.
 * @returns radius of the child drops being shed, m, or NaN
 */
export function setShedding(sys: FilmSystem, ring: RingShape): number {
  const { coverage, oilViscosity } = sys.problem
  const body = ring.thinCell < 0 && sys.shedFrom < sys.mesh.cells ? lastBody(sys) : ring
  sys.shedRate = 0
  if (!(body.section > 0)) return Number.NaN
  const thread = Math.sqrt(body.section / Math.PI)
  const tension = sys.closure[(sys.mesh.cells - 1) * 2 * CLOSURE_COUNT + CLOSURE.levelling]
  // A film thinner than the coverage cut-off is no liquid that could bead: it stays, and a ripple on it is no thread.
  sys.shedAbove = Math.max(body.thin, coverage)
  const rise = Math.max(0, body.height - sys.shedAbove) / coverage
  const liquid = rise / (1 + rise)
  sys.shedRate = (liquid * SLOWED * tension) / (2 * oilViscosity * thread) / EFOLDINGS
  sys.shedFrom = body.thinCell + 1
  return THREAD.dropRadius * thread
}

/** A ring that has just been shed down to the film: what flows in behind it goes the same way. */
function lastBody(sys: FilmSystem): RingShape {
  const { h, mesh, shedFrom } = sys
  let top = shedFrom
  for (let i = shedFrom; i < mesh.cells; i++) if (h[i] > h[top]) top = i
  return outside(sys, shedFrom - 1, top)
}
