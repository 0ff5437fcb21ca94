import type { FilmSystem } from './film.ts'
import type { FilmMesh } from './filmMesh.ts'

/** Signs of the two displacements of a central difference. */
const MOVES = [1, -1] as const

/** Weights of faces k−1, k, k+1 in the row of face k. */
type Bands = readonly [Float64Array, Float64Array, Float64Array]

/**
 * Bath fields between the drop's edge (face 0, whose unknowns belong to the last film block) and the dish wall
 * (face K, u = 0). Per field one tridiagonal system, eliminated from the wall inward; a complex pair is one system in
 * complex numbers. All fields spread alike, so that the off-diagonals are shared.
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
  /** Drift with the mesh, (1 − g) ∂r u at face k, on faces k−1, k, k+1, 1/m. */
  private readonly driftL: Float64Array
  private readonly driftC: Float64Array
  private readonly driftR: Float64Array
  private readonly radius: Float64Array
  /** Jacobian by faces: lower, diagonal without the decay, upper. */
  private readonly low: Float64Array
  private readonly own: Float64Array
  private readonly up: Float64Array
  private readonly bands: Bands
  private readonly drift: Bands
  /** Reciprocal pivots per field and face; for a pair real part, then imaginary part. */
  private readonly pivot: Float64Array
  /** Off-diagonals as they were factored: the stages of a step evaluate other states in between. */
  private readonly lowFactored: Float64Array
  private readonly upFactored: Float64Array

  constructor(
    readonly mesh: FilmMesh,
    readonly fields: number,
  ) {
    const K = mesh.outer
    this.faces = K
    const make = () => new Float64Array(K)
    ;[this.L, this.C, this.R] = [make(), make(), make()]
    ;[this.driftL, this.driftC, this.driftR] = [make(), make(), make()]
    ;[this.low, this.own, this.up] = [make(), make(), make()]
    this.bands = [this.low, this.own, this.up]
    this.drift = [this.driftL, this.driftC, this.driftR]
    ;[this.lowFactored, this.upFactored] = [make(), make()]
    this.radius = new Float64Array(K + 1)
    this.pivot = new Float64Array(fields * K)
  }

  /** Forgets what was factored: after it the fields are as new. */
  clear(): void {
    for (const part of [this.low, this.own, this.up, this.pivot, this.lowFactored, this.upFactored])
      part.fill(0)
  }

  /** Lays the outer mesh; `inside` is s of the face next to the edge. */
  setRadius(edge: number, dish: number, inside: number): void {
    const { radius, mesh, faces } = this
    for (let k = 0; k <= faces; k++) radius[k] = edge + (dish - edge) * mesh.g[k]
    let before = edge * inside
    for (let k = 0; k < faces; k++) {
      const at = radius[k]
      const after = radius[k + 1]
      const left = at - before
      const right = after - at
      const areaIn = left * (at + before)
      const areaOut = right * (after + at)
      const gap = (areaIn + areaOut) / (4 * at)
      this.L[k] = (2 * before) / (areaIn * gap)
      this.R[k] = (2 * after) / (areaOut * gap)
      this.C[k] = (-2 * at * (areaIn + areaOut)) / (areaIn * areaOut * gap)
      const share = 1 - mesh.g[k]
      if (k === 0) {
        this.edgeGap = gap
        // At the edge u has a kink: the finite-volume mean of its slope, not the three-point formula.
        this.setDrift(0, -share / (left + right), share / (left + right))
      } else {
        const scale = share / (left * right * (left + right))
        this.setDrift(k, -right * right * scale, left * left * scale)
      }
      before = at
    }
  }

  private setDrift(k: number, left: number, right: number): void {
    this.driftL[k] = left
    this.driftC[k] = -left - right
    this.driftR[k] = right
  }

  /** Index in the state of field m at the edge, at the face inside it, and (less one) at the first outer face. */
  private edge(sys: FilmSystem, m: number): number {
    return (this.mesh.cells - 1) * sys.block + 2 + m
  }
  private base(sys: FilmSystem, m: number): number {
    return sys.outerAt + m * (this.faces - 1) - 1
  }

  /** Adds scale·(low u[k−1] + own u[k] + up u[k+1]) of every field and face to `out`. */
  private addBands(
    sys: FilmSystem,
    y: Float64Array,
    out: Float64Array,
    [low, own, up]: Bands,
    scale: number,
  ): void {
    const { faces, fields } = this
    for (let m = 0; m < fields; m++) {
      const base = this.base(sys, m)
      const edge = this.edge(sys, m)
      let before = y[edge - sys.block]
      let here = y[edge]
      for (let k = 0; k < faces; k++) {
        const after = k + 1 < faces ? y[base + k + 1] : 0
        out[k === 0 ? edge : base + k] += scale * (low[k] * before + own[k] * here + up[k] * after)
        before = here
        here = after
      }
    }
  }

  /** Rates of all fields at the edge and outside it, without the coupling within a pair's other half. */
  rates(sys: FilmSystem, y: Float64Array, out: Float64Array): void {
    const { faces, mesh, fields } = this
    this.setBands(sys)
    const force = sys.force[mesh.cells]
    for (let m = 0; m < fields; m++) {
      const base = this.base(sys, m)
      const edge = this.edge(sys, m)
      out[edge] = sys.gain[m] * force - sys.decay[m] * y[edge]
      for (let k = 1; k < faces; k++) out[base + k] = -sys.decay[m] * y[base + k]
    }
    this.addBands(sys, y, out, this.bands, 1)
    if (sys.paired) this.addPair(sys, y, out)
  }

  private addPair(sys: FilmSystem, y: Float64Array, out: Float64Array): void {
    const a = this.fields - 2
    for (let k = 0; k < this.faces; k++) {
      const p = k === 0 ? this.edge(sys, a) : this.base(sys, a) + k
      const q = k === 0 ? this.edge(sys, a + 1) : this.base(sys, a + 1) + k
      out[p] += sys.pairRate * y[q]
      out[q] -= sys.pairRate * y[p]
    }
  }

  private setBands(sys: FilmSystem): void {
    for (let k = 0; k < this.faces; k++) {
      this.low[k] = sys.spreading * this.L[k] + sys.U * this.driftL[k]
      this.own[k] = sys.spreading * this.C[k] + sys.U * this.driftC[k]
      this.up[k] = sys.spreading * this.R[k] + sys.U * this.driftR[k]
    }
  }

  /** Entry of the edge row to the face inside it, and its diagonal without the decay. */
  edgeEntries(): [number, number] {
    return [this.low[0], this.own[0]]
  }

  /** Direct dependence of the rates on the edge speed U and, by difference, on the radius R (force fixed). */
  linearise(sys: FilmSystem, y: Float64Array, byU: Float64Array, byR: Float64Array): void {
    const { mesh } = this
    const delta = 1e-6 * sys.R
    const pull = sys.force[mesh.cells] * this.edgeGap
    for (const sign of MOVES) {
      this.setRadius(sys.R + sign * delta, sys.problem.dishRadius, mesh.s[mesh.cells - 1])
      this.setBands(sys)
      const scale = sign / (2 * delta)
      this.addBands(sys, y, byR, this.bands, scale)
      for (let m = 0; m < this.fields; m++)
        byR[this.edge(sys, m)] += (scale * sys.gain[m] * pull) / this.edgeGap
    }
    this.setRadius(sys.R, sys.problem.dishRadius, mesh.s[mesh.cells - 1])
    this.setBands(sys)
    for (let m = 0; m < this.fields; m++) {
      byU[this.edge(sys, m)] = 0
      byU.fill(0, this.base(sys, m) + 1, this.base(sys, m) + this.faces)
    }
    this.addBands(sys, y, byU, this.drift, 1)
  }

  /**
   * Eliminates the outer unknowns of 1/hg − J; `edge[m]` becomes what to add to the edge row's diagonal.
   * @returns imaginary part of that addition for the pair, 0 without one
   */
  factor(sys: FilmSystem, hg: number, edge: Float64Array): number {
    const { faces, pivot, low, own, up } = this
    this.lowFactored.set(low)
    this.upFactored.set(up)
    const single = sys.paired ? this.fields - 2 : this.fields
    for (let m = 0; m < single; m++) {
      let carried = 0
      for (let k = faces - 1; k >= 1; k--) {
        const inverse = 1 / (1 / hg + sys.decay[m] - own[k] + carried)
        pivot[m * faces + k] = inverse
        carried = -up[k - 1] * inverse * low[k]
      }
      edge[m] = carried
    }
    if (!sys.paired) return 0
    let re = 0
    let im = 0
    for (let k = faces - 1; k >= 1; k--) {
      const x = 1 / hg + sys.decay[single] - own[k] + re
      const y = sys.pairRate + im
      const size = 1 / (x * x + y * y)
      pivot[single * faces + k] = x * size
      pivot[(single + 1) * faces + k] = -y * size
      re = -up[k - 1] * low[k] * x * size
      im = up[k - 1] * low[k] * y * size
    }
    edge[single] = edge[single + 1] = re
    return im
  }

  /** Carries the outer right-hand side to the edge rows. */
  reduce(sys: FilmSystem, b: Float64Array): void {
    const { faces, pivot, upFactored: up } = this
    const single = sys.paired ? this.fields - 2 : this.fields
    for (let m = 0; m < single; m++) {
      const base = this.base(sys, m)
      for (let k = faces - 1; k >= 1; k--) {
        b[k === 1 ? this.edge(sys, m) : base + k - 1] += up[k - 1] * pivot[m * faces + k] * b[base + k]
      }
    }
    if (!sys.paired) return
    const re = this.base(sys, single)
    const im = this.base(sys, single + 1)
    for (let k = faces - 1; k >= 1; k--) {
      const pr = pivot[single * faces + k]
      const pi = pivot[(single + 1) * faces + k]
      b[k === 1 ? this.edge(sys, single) : re + k - 1] += up[k - 1] * (pr * b[re + k] - pi * b[im + k])
      b[k === 1 ? this.edge(sys, single + 1) : im + k - 1] += up[k - 1] * (pr * b[im + k] + pi * b[re + k])
    }
  }

  /** Back substitution from the edge outward. */
  expand(sys: FilmSystem, b: Float64Array): void {
    const { faces, pivot, lowFactored: low } = this
    const single = sys.paired ? this.fields - 2 : this.fields
    for (let m = 0; m < single; m++) {
      const base = this.base(sys, m)
      let before = b[this.edge(sys, m)]
      for (let k = 1; k < faces; k++) {
        before = pivot[m * faces + k] * (b[base + k] + low[k] * before)
        b[base + k] = before
      }
    }
    if (!sys.paired) return
    const re = this.base(sys, single)
    const im = this.base(sys, single + 1)
    let beforeRe = b[this.edge(sys, single)]
    let beforeIm = b[this.edge(sys, single + 1)]
    for (let k = 1; k < faces; k++) {
      const pr = pivot[single * faces + k]
      const pi = pivot[(single + 1) * faces + k]
      const x = b[re + k] + low[k] * beforeRe
      const y = b[im + k] + low[k] * beforeIm
      beforeRe = pr * x - pi * y
      beforeIm = pr * y + pi * x
      b[re + k] = beforeRe
      b[im + k] = beforeIm
    }
  }
}
