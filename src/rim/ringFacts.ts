/** What the ring of a state is like, for the calculation's report and for laws fitted to it. SI units. */
import type { FilmSystem } from '../model/film.ts'
import { CLOSURE, CLOSURE_COUNT } from '../model/problem.ts'
import { findRing } from '../model/ring.ts'

export interface RingFacts {
  /** Height of the ring, m, and section A = ∫(h − h_thin) dr outside the thin spot, m². NaN where there is no ring. */
  height: number
  section: number
  /** Thickness of the thin spot, m. */
  thin: number
  /** Base b of the parabola of the same height and section, 1.5 A/h, m. */
  base: number
  /** Angle of that parabola at its foot, 4 h/b. */
  angle: number
  /** Slope of the film at the edge, as the mesh has it. */
  edgeSlope: number
  /** Spreading parameter, γ_eff and γ_i in the last cell, N/m, and its viscosity, Pa·s. */
  edgeSpreading: number
  levelling: number
  viscosity: number
  /** Alcohol fraction of the last cell and of the thin spot. */
  edgePhi: number
  thinPhi: number
}

export function ringFacts(sys: FilmSystem): RingFacts {
  const ring = findRing(sys)
  const last = sys.mesh.cells - 1
  const at = (which: number) => sys.closure[last * 2 * CLOSURE_COUNT + which]
  const base = (1.5 * ring.section) / ring.height
  return {
    height: ring.height,
    section: ring.section,
    thin: ring.thin,
    base,
    angle: (4 * ring.height) / base,
    edgeSlope: sys.h[last] / (sys.R * sys.mesh.gap[last + 1]),
    edgeSpreading: at(CLOSURE.spreading),
    levelling: at(CLOSURE.levelling),
    viscosity: at(CLOSURE.viscosity),
    edgePhi: sys.phi[last],
    thinPhi: ring.thinCell < 0 ? Number.NaN : sys.phi[ring.thinCell],
  }
}
