/** The axisymmetric state on which the perturbations grow, as the operator needs it. SI units. */
import { DRY, H_UP, LEAST, PHI_UP } from '../engine/places.ts'
import type { FilmSystem } from '../model/film.ts'
import { CLOSURE, CLOSURE_COUNT } from '../model/problem.ts'
import { square } from '../numerics/elementary.ts'
import type { RimGeometry } from './geometry.ts'

const STRIDE = 2 * CLOSURE_COUNT

/** Pulls of the base on the bath at all faces of the mesh, N/m over their dual cells: tension's gradient, and the rest. */
export interface BasePulls {
  tension: Float64Array
  other: Float64Array
  /** The edge's own share of `other`: ½ γ_eff s². */
  line: number
}

export function basePulls(sys: FilmSystem): BasePulls {
  const N = sys.mesh.cells
  const tension = new Float64Array(N + 1)
  const other = new Float64Array(N + 1)
  for (let f = 1; f < N; f++) {
    tension[f] = sys.sigma[f] - sys.sigma[f - 1]
    other[f] = sys.force[f] * sys.R * sys.mesh.gap[f] - tension[f]
  }
  tension[N] = sys.problem.gammaO - sys.sigma[N - 1]
  const line = sys.edgePull - tension[N]
  other[N] = line
  return { tension, other, line }
}

/** Slopes ∂x of cell values (m⁻¹) in the cells from `first` on, from values at the faces; `edge` is the value at the edge. */
function slopes(sys: FilmSystem, values: Float64Array, first: number, edge: number | null): Float64Array {
  const { mesh, R } = sys
  const N = mesh.cells
  const face = (f: number): number => {
    if (f === 0) return values[0]
    if (f < N) return values[f - 1] + mesh.weight[f] * (values[f] - values[f - 1])
    return edge ?? values[N - 1] + (mesh.gap[N] * (values[N - 1] - values[N - 2])) / mesh.gap[N - 1]
  }
  return Float64Array.from({ length: N - first }, (_, k) => {
    const i = first + k
    return (face(i + 1) - face(i)) / (R * (mesh.s[i + 1] - mesh.s[i]))
  })
}

/** Cell arrays run from the first cell of the geometry; face arrays from its face 0. */
export class RimBase {
  readonly R: number
  readonly U: number
  /** ∂φ/∂h and ∂φ/∂ψ at constant ψ and h. */
  readonly phiH: Float64Array
  readonly phiPsi: Float64Array
  readonly hx: Float64Array
  readonly phix: Float64Array
  readonly psix: Float64Array
  readonly px: Float64Array
  readonly gammaAx: Float64Array
  /** Carried thickness and fraction at the faces; 0 at the edge. */
  readonly hUp: Float64Array
  readonly phiUp: Float64Array
  /** Relative speed u − s U at the faces, m/s. */
  readonly v: Float64Array
  readonly pulls: BasePulls

  constructor(
    readonly geometry: RimGeometry,
    readonly sys: FilmSystem,
  ) {
    const { first, count, mesh } = geometry
    this.R = sys.R
    this.U = sys.U
    const cells = () => new Float64Array(count)
    ;[this.phiH, this.phiPsi] = [cells(), cells()]
    for (let k = 0; k < count; k++) {
      const i = first + k
      const size = square(sys.h[i]) + DRY * DRY
      this.phiPsi[k] = sys.h[i] / size
      this.phiH[k] = (sys.psi[i] - 2 * sys.h[i] * sys.phi[i]) / size
    }
    const gammaA = Float64Array.from(
      { length: mesh.cells },
      (_, i) => sys.closure[i * STRIDE + CLOSURE.gammaA],
    )
    this.hx = slopes(sys, sys.h, first, 0)
    this.psix = slopes(sys, sys.psi, first, 0)
    this.phix = slopes(sys, sys.phi, first, null)
    this.px = slopes(sys, sys.pressure, first, null)
    this.gammaAx = slopes(sys, gammaA, first, null)
    const faces = () => new Float64Array(count + 1)
    ;[this.hUp, this.phiUp, this.v] = [faces(), faces(), faces()]
    for (let f = 0; f < count; f++) {
      const at = first + f
      if (at === 0) continue
      this.v[f] = sys.speed[at] - mesh.s[at] * sys.U
      sys.upwind(at, this.v[f])
      this.hUp[f] = sys.state.now[H_UP]
      this.phiUp[f] = sys.state.now[PHI_UP]
    }
    this.pulls = basePulls(sys)
  }

  /** A closure (CLOSURE.…) of cell k, and its derivative by φ. */
  closure(k: number, which: number): number {
    return this.sys.closure[(this.geometry.first + k) * STRIDE + which]
  }
  closureSlope(k: number, which: number): number {
    return this.sys.closure[(this.geometry.first + k) * STRIDE + CLOSURE_COUNT + which]
  }

  /** Thickness as mobilities see it. */
  wet(k: number): number {
    return Math.max(this.sys.h[this.geometry.first + k], LEAST)
  }
}
