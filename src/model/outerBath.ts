import type { FilmSystem } from './film.ts'
import type { FilmMesh } from './filmMesh.ts'

/**
 * Bath fields between the drop's edge (face 0, whose unknowns belong to the last film block) and the dish wall
 * (face K, u = 0). Per mode one tridiagonal system, eliminated from the wall inward.
 */
export class OuterBath {
  /** Number of faces K from edge to wall. */
  readonly faces: number
  /** Width of the edge's dual cell, m. */
  edgeGap = 1
  /** ∂r((1/r)∂r(r u)) at face k on faces k−1, k, k+1, 1/m². */
  private readonly L: Float64Array
  private readonly C: Float64Array
  private readonly R: Float64Array
  /** ∂r u at face k on faces k−1, k, k+1, 1/m. */
  private readonly sL: Float64Array
  private readonly sC: Float64Array
  private readonly sR: Float64Array
  private readonly radius: Float64Array
  /** Per mode and face: reciprocal pivots, and factors towards the wall and the edge. */
  private readonly pivot: Float64Array
  private readonly low: Float64Array
  private readonly up: Float64Array
  private readonly lowJ: Float64Array
  private readonly diagonalJ: Float64Array
  private readonly upJ: Float64Array

  constructor(
    readonly mesh: FilmMesh,
    readonly modes: number,
  ) {
    const K = mesh.outer
    this.faces = K
    const make = () => new Float64Array(K)
    ;[this.L, this.C, this.R, this.sL, this.sC, this.sR] = [make(), make(), make(), make(), make(), make()]
    this.radius = new Float64Array(K + 1)
    const table = () => new Float64Array(modes * K)
    ;[this.pivot, this.low, this.up, this.lowJ, this.diagonalJ, this.upJ] = [
      table(),
      table(),
      table(),
      table(),
      table(),
      table(),
    ]
  }

  /** Lays the outer mesh; `inside` is s of the face next to the edge. */
  setRadius(edge: number, dish: number, inside: number): void {
    const { radius, mesh, faces } = this
    for (let k = 0; k <= faces; k++) radius[k] = edge + (dish - edge) * mesh.g[k]
    let before = edge * inside
    for (let k = 0; k < faces; k++) {
      const at = radius[k]
      const after = radius[k + 1]
      const areaIn = (at - before) * (at + before)
      const areaOut = (after - at) * (after + at)
      const gap = (areaIn + areaOut) / (4 * at)
      this.L[k] = (2 * before) / (areaIn * gap)
      this.R[k] = (2 * after) / (areaOut * gap)
      this.C[k] = (-2 * at * (1 / areaIn + 1 / areaOut)) / gap
      const left = at - before
      const right = after - at
      this.sL[k] = -right / (left * (left + right))
      this.sR[k] = left / (right * (left + right))
      this.sC[k] = -this.sL[k] - this.sR[k]
      if (k === 0) this.edgeGap = gap
      before = at
    }
  }

  /** Index in the state of mode m at outer face k ≥ 1. */
  private index(sys: FilmSystem, m: number, k: number): number {
    return k === 0 ? (this.mesh.cells - 1) * sys.block + 2 + m : sys.outerAt + m * (this.faces - 1) + k - 1
  }

  rates(sys: FilmSystem, y: Float64Array, out: Float64Array): void {
    const { faces, mesh } = this
    for (let m = 0; m < this.modes; m++) {
      const rate = sys.modeRate[m]
      const diffusion = rate * sys.modeLength2[m]
      let before = y[(mesh.cells - 2) * sys.block + 2 + m]
      let here = y[this.index(sys, m, 0)]
      for (let k = 0; k < faces; k++) {
        const after = k + 1 < faces ? y[sys.outerAt + m * (faces - 1) + k] : 0
        const spread = this.L[k] * before + this.C[k] * here + this.R[k] * after
        const slope = this.sL[k] * before + this.sC[k] * here + this.sR[k] * after
        const force = k === 0 ? sys.modeGain[m] * sys.force[mesh.cells] : 0
        out[this.index(sys, m, k)] =
          rate * (force - here) + diffusion * spread + sys.U * (1 - mesh.g[k]) * slope
        before = here
        here = after
      }
    }
  }

  /**
   * Jacobian part: edge-row entries [to the face inside, diagonal] per mode into `edge`, the outer bands kept here, and
   * the direct dependence on the edge speed U into `byU`.
   */
  linearise(sys: FilmSystem, y: Float64Array, edge: Float64Array, byU: Float64Array): void {
    const { faces, mesh } = this
    for (let m = 0; m < this.modes; m++) {
      const rate = sys.modeRate[m]
      const diffusion = rate * sys.modeLength2[m]
      let before = y[(mesh.cells - 2) * sys.block + 2 + m]
      let here = y[this.index(sys, m, 0)]
      for (let k = 0; k < faces; k++) {
        const drift = sys.U * (1 - mesh.g[k])
        const low = diffusion * this.L[k] + drift * this.sL[k]
        const diagonal = -rate + diffusion * this.C[k] + drift * this.sC[k]
        const after = k + 1 < faces ? y[sys.outerAt + m * (faces - 1) + k] : 0
        byU[this.index(sys, m, k)] =
          (1 - mesh.g[k]) * (this.sL[k] * before + this.sC[k] * here + this.sR[k] * after)
        const at = m * faces + k
        this.lowJ[at] = low
        this.diagonalJ[at] = diagonal
        this.upJ[at] = diffusion * this.R[k] + drift * this.sR[k]
        before = here
        here = after
      }
      edge[2 * m] = this.lowJ[m * faces]
      edge[2 * m + 1] = this.diagonalJ[m * faces]
    }
  }

  /** Eliminates the outer unknowns of 1/hg − J; returns through `edge[m]` what to add to the edge row's diagonal. */
  factor(hg: number, edge: Float64Array): void {
    const { faces, pivot, low, up } = this
    for (let m = 0; m < this.modes; m++) {
      let carried = 0
      for (let k = faces - 1; k >= 1; k--) {
        const at = m * faces + k
        pivot[at] = 1 / (1 / hg - this.diagonalJ[at] + carried)
        low[at] = -this.lowJ[at]
        up[at - 1] = -this.upJ[at - 1]
        carried = -up[at - 1] * pivot[at] * low[at]
      }
      edge[m] = carried
    }
  }

  /** Carries the outer right-hand side to the edge rows. */
  reduce(sys: FilmSystem, b: Float64Array): void {
    const { faces, pivot, up } = this
    for (let m = 0; m < this.modes; m++) {
      const base = sys.outerAt + m * (faces - 1) - 1
      for (let k = faces - 1; k >= 2; k--)
        b[base + k - 1] -= up[m * faces + k - 1] * pivot[m * faces + k] * b[base + k]
      if (faces > 1) b[this.index(sys, m, 0)] -= up[m * faces] * pivot[m * faces + 1] * b[base + 1]
    }
  }

  /** Back substitution from the edge outward. */
  expand(sys: FilmSystem, b: Float64Array): void {
    const { faces, pivot, low } = this
    for (let m = 0; m < this.modes; m++) {
      const base = sys.outerAt + m * (faces - 1) - 1
      let before = b[this.index(sys, m, 0)]
      for (let k = 1; k < faces; k++) {
        const at = m * faces + k
        before = pivot[at] * (b[base + k] - low[at] * before)
        b[base + k] = before
      }
    }
  }
}
