import type { FilmSystem } from './film.ts'
import type { FilmMesh } from './filmMesh.ts'
import { OuterElimination } from './outerElimination.ts'

/** Signs of the two displacements of a central difference. */
const MOVES = [1, -1] as const

/** Weights of faces k−1, k, k+1 in the row of face k. */
export type Bands = readonly [Float64Array, Float64Array, Float64Array]

/**
 * Bath fields between the drop's edge (face 0, whose unknowns belong to the last film block) and the dish wall
 * (face K, u = 0). Its part of the matrix is eliminated from the wall inward, see OuterElimination.
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
  /** Jacobian by fields and faces: lower, diagonal without the decay, upper. */
  private readonly low: Float64Array
  private readonly own: Float64Array
  private readonly up: Float64Array
  private readonly bands: Bands
  private readonly drift: Bands
  private readonly elimination: OuterElimination

  constructor(
    readonly mesh: FilmMesh,
    readonly fields: number,
  ) {
    const K = mesh.outer
    this.faces = K
    const make = () => new Float64Array(K)
    const all = () => new Float64Array(fields * K)
    ;[this.L, this.C, this.R] = [make(), make(), make()]
    ;[this.driftL, this.driftC, this.driftR] = [make(), make(), make()]
    ;[this.low, this.own, this.up] = [all(), all(), all()]
    this.bands = [this.low, this.own, this.up]
    this.drift = [this.driftL, this.driftC, this.driftR]
    this.radius = new Float64Array(K + 1)
    this.elimination = new OuterElimination(mesh, fields)
  }

  /** @param sizes number of fields in each group of fields that drive each other */
  setGroups(sizes: readonly number[]): void {
    this.elimination.setGroups(sizes)
  }

  /** Forgets what was factored: after it the fields are as new. */
  clear(): void {
    for (const part of [this.low, this.own, this.up]) part.fill(0)
    this.elimination.clear()
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

  /** Adds scale·(low u[k−1] + own u[k] + up u[k+1]) of every field and face to `out`; `stride` 0: bands that all share. */
  private addBands(
    sys: FilmSystem,
    y: Float64Array,
    out: Float64Array,
    bands: Bands,
    scale: number,
    stride: number,
  ): void {
    const { faces, fields } = this
    const low = bands[0]
    const own = bands[1]
    const up = bands[2]
    for (let m = 0; m < fields; m++) {
      const base = this.base(sys, m)
      const edge = this.edge(sys, m)
      const at = m * stride
      let before = y[edge - sys.block]
      let here = y[edge]
      let place = edge
      for (let k = 0; k < faces; k++) {
        const after = k + 1 < faces ? y[base + k + 1] : 0
        out[place] += scale * (low[at + k] * before + own[at + k] * here + up[at + k] * after)
        before = here
        here = after
        place = base + k + 1
      }
    }
  }

  /** Does the same with the bands of the mesh as it is laid, and leaves `bands` as they are. */
  private addLaid(sys: FilmSystem, y: Float64Array, out: Float64Array, scale: number): void {
    const { faces, fields, L, C, R, driftL, driftC, driftR } = this
    const { U, spread } = sys
    for (let m = 0; m < fields; m++) {
      const d = spread[m]
      const base = this.base(sys, m)
      let place = this.edge(sys, m)
      let before = y[place - sys.block]
      let here = y[place]
      for (let k = 0; k < faces; k++) {
        const after = k + 1 < faces ? y[base + k + 1] : 0
        const low = d * L[k] + U * driftL[k]
        const own = d * C[k] + U * driftC[k]
        const up = d * R[k] + U * driftR[k]
        out[place] += scale * (low * before + own * here + up * after)
        before = here
        here = after
        place = base + k + 1
      }
    }
  }

  /** Rates of all fields at the edge and outside it. */
  rates(sys: FilmSystem, y: Float64Array, out: Float64Array): void {
    const { faces, mesh, fields } = this
    this.setBands(sys)
    const force = sys.force[mesh.cells]
    for (let m = 0; m < fields; m++) {
      const base = this.base(sys, m)
      const edge = this.edge(sys, m)
      out[edge] = sys.gain[m] * force - sys.decay[m] * y[edge]
      const fading = -sys.decay[m]
      for (let k = 1; k < faces; k++) out[base + k] = fading * y[base + k]
    }
    this.addBands(sys, y, out, this.bands, 1, faces)
    sys.drive(y, out, this.edge(sys, 0), 1, 1, 1)
    sys.drive(y, out, sys.outerAt, faces - 1, 1, faces - 1)
  }

  private setBands(sys: FilmSystem): void {
    const { faces, fields, low, own, up, L, C, R, driftL, driftC, driftR } = this
    const { U, spread } = sys
    for (let m = 0; m < fields; m++) {
      const d = spread[m]
      for (let k = 0; k < faces; k++) {
        const at = m * faces + k
        low[at] = d * L[k] + U * driftL[k]
        own[at] = d * C[k] + U * driftC[k]
        up[at] = d * R[k] + U * driftR[k]
      }
    }
  }

  /** Entry of field m's edge row to the face inside it, and its diagonal without the decay. */
  edgeLow(m: number): number {
    return this.low[m * this.faces]
  }
  edgeOwn(m: number): number {
    return this.own[m * this.faces]
  }

  /**
   * Direct dependence of the rates, of which the last are those of y, on the edge speed U and, by difference, on the
   * radius R (force fixed).
   */
  linearise(sys: FilmSystem, y: Float64Array, byU: Float64Array, byR: Float64Array): void {
    const { mesh } = this
    const delta = 1e-6 * sys.R
    const pull = sys.force[mesh.cells] * this.edgeGap
    for (const sign of MOVES) {
      this.setRadius(sys.R + sign * delta, sys.problem.dishRadius, mesh.s[mesh.cells - 1])
      const scale = sign / (2 * delta)
      this.addLaid(sys, y, byR, scale)
      for (let m = 0; m < this.fields; m++)
        byR[this.edge(sys, m)] += (scale * sys.gain[m] * pull) / this.edgeGap
    }
    this.setRadius(sys.R, sys.problem.dishRadius, mesh.s[mesh.cells - 1])
    for (let m = 0; m < this.fields; m++) {
      byU[this.edge(sys, m)] = 0
      byU.fill(0, this.base(sys, m) + 1, this.base(sys, m) + this.faces)
    }
    this.addBands(sys, y, byU, this.drift, 1, 0)
  }

  /** Eliminates the outer unknowns of 1/hg − J; what that adds to the edge rows is then in `edgeDiagonal` and `edgeAcross`. */
  factor(sys: FilmSystem, hg: number): void {
    this.elimination.factor(sys, hg, this.bands)
  }

  /** What to add to the diagonal of the edge's rows by field, and to their entries by link. */
  get edgeDiagonal(): Float64Array {
    return this.elimination.edgeDiagonal
  }
  get edgeAcross(): Float64Array {
    return this.elimination.edgeAcross
  }

  /** Carries the outer right-hand side to the edge rows. */
  reduce(sys: FilmSystem, b: Float64Array): void {
    this.elimination.reduce(sys, b)
  }

  /** Back substitution from the edge outward. */
  expand(sys: FilmSystem, b: Float64Array): void {
    this.elimination.expand(sys, b)
  }
}
