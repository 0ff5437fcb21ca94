/**
 * The linear operator of perturbations exp(inθ) of a drop's film and edge on its bath.
 *
 * Unknowns: thickness h1 and alcohol ψ1 in the cells and ζ, the displacement of the edge (all m), in a frame that is
 * displaced by f ζ: h1 = h′ + f ζ ∂x h0 with h′ the perturbation at a fixed place. Where f = 1 the equations are those of
 * a straight translation; where f varies, what the operator of a round drop does to f b less f times what it does to b
 * comes in, b = ∂x(h0, ψ0, u0, p0). The bath is a half space under a straight rim, without inertia (`kernels.ts`).
 */
import { CLOSURE } from '../model/problem.ts'
import { square } from '../numerics/elementary.ts'
import type { RimBase } from './base.ts'
import { BathPart } from './bathPart.ts'
import { FilmPart, faceShare } from './filmPart.ts'
import { CellForms } from './forms.ts'
import type { RimGeometry } from './geometry.ts'
import type { RimKernels } from './kernels.ts'

export class RimOperator {
  /** Number of unknowns: h1 of all cells, ψ1 of all cells, ζ. */
  readonly size: number
  /** dx/dt = matrix · x, row-major. */
  readonly matrix: Float64Array
  readonly bath: BathPart
  private readonly cells: CellForms
  private readonly film: FilmPart
  private base!: RimBase
  private k = 0

  constructor(readonly geometry: RimGeometry) {
    this.size = 2 * geometry.count + 1
    this.matrix = new Float64Array(this.size * this.size)
    this.cells = new CellForms(geometry)
    this.bath = new BathPart(geometry, this.cells, this.size)
    this.film = new FilmPart(geometry, this.cells, this.bath, this.matrix, this.size)
  }

  /** Lays the operator for a base state and the kernels of one n. */
  lay(base: RimBase, kernels: RimKernels): void {
    this.base = base
    this.k = kernels.n / base.R
    this.matrix.fill(0)
    this.cells.lay(base, this.k)
    this.bath.lay(base, kernels, this.k)
    this.film.lay(base)
    this.layAcross()
    this.layLoss()
    this.layDisplacement()
  }

  /** Flow along the rim, and the widening of the mesh. */
  private layAcross(): void {
    const { geometry, base, matrix, size, k } = this
    const { along } = this.bath
    const { count: m, first, shiftCell } = geometry
    const { sys } = base
    const row = new Float64Array(size)
    for (let i = 0; i < m; i++) {
      const c = first + i
      const h = Math.max(sys.h[c], 0)
      const f = shiftCell[i]
      const viscosity = base.closure(i, CLOSURE.viscosity)
      const gammaBy = base.closureSlope(i, CLOSURE.gammaA)
      const pull = (-k * k * sys.cover[c] * h * h) / (2 * viscosity)
      const push = (k * k * h * h * h) / (3 * viscosity)
      for (let u = 0; u < size; u++) row[u] = h * along[i * size + u]
      const [left, own, right, psi, moved] = this.cells.p
      if (i > 0) row[i - 1] += push * left[i]
      row[i] += push * own[i] + pull * gammaBy * base.phiH[i]
      if (i + 1 < m) row[i + 1] += push * right[i]
      row[m + i] += push * psi[i] + pull * gammaBy * base.phiPsi[i]
      row[2 * m] += push * (moved[i] - f * base.px[i]) - pull * f * base.gammaAx[i]
      const phi = sys.phi[c]
      for (let u = 0; u < size; u++) {
        matrix[i * size + u] -= row[u]
        matrix[(m + i) * size + u] -= phi * row[u]
      }
      const D =
        0.5 *
        (sys.dispersion.at[Math.max(c, 1)] + sys.dispersion.at[Math.min(c + 1, geometry.mesh.cells - 1)])
      const diffuse = k * k * h * D
      const to = (m + i) * size
      matrix[to + i] -= diffuse * base.phiH[i]
      matrix[to + m + i] -= diffuse * base.phiPsi[i]
      matrix[to + 2 * m] += diffuse * f * base.phix[i]
      const widening = (2 * base.U) / base.R
      matrix[i * size + i] -= widening
      matrix[to + m + i] -= widening
    }
  }

  /** Evaporation. */
  private layLoss(): void {
    const { geometry, base } = this
    const { sys } = base
    const m = geometry.count
    const cutoff = sys.problem.evaporationCutoff
    for (let i = 0; i < m; i++) {
      const c = geometry.first + i
      const h = Math.max(sys.h[c], 0)
      const wet = h / (h + cutoff)
      const wetBy = cutoff / square(h + cutoff)
      this.lose(i, i, CLOSURE.alcoholLoss, sys.vapour.alcohol[c], wet, wetBy)
      this.lose(i, i, CLOSURE.waterLoss, sys.vapour.water[c], wet, wetBy)
      this.lose(m + i, i, CLOSURE.alcoholLoss, sys.vapour.alcohol[c], wet, wetBy)
      // Vapour of other rings is taken off by what is wet; the waves in that vapour are left out.
      this.matrix[i * this.size + i] += wetBy * (sys.vapour.alcoholBack[c] + sys.vapour.waterBack[c])
      this.matrix[(m + i) * this.size + i] += wetBy * sys.vapour.alcoholBack[c]
    }
  }

  private lose(row: number, i: number, which: number, speed: number, wet: number, wetBy: number): void {
    const { base, matrix, size, geometry } = this
    const by = base.closureSlope(i, which) * speed * wet
    matrix[row * size + i] -= wetBy * base.closure(i, which) * speed + by * base.phiH[i]
    matrix[row * size + geometry.count + i] -= by * base.phiPsi[i]
  }

  /** The edge's row, and what its displacement does in the displaced frame: ζ̇ f ∂x(h0, ψ0). */
  private layDisplacement(): void {
    const { geometry, base, matrix, size } = this
    const { speed } = this.bath
    const { sys } = base
    const { count: m, first, shiftFace } = geometry
    const edge = m * size
    for (let i = 0; i < m; i++) {
      const c = first + i
      const inner = faceShare(base, i, i) * shiftFace[i]
      const outer = faceShare(base, i + 1, i) * shiftFace[i + 1]
      if (inner === 0 && outer === 0) continue
      const [h0, h1] = [base.hUp[i], base.hUp[i + 1]]
      const [p0, p1] = [h0 * base.phiUp[i], h1 * base.phiUp[i + 1]]
      const byH = outer * (h1 - sys.h[c]) - inner * (h0 - sys.h[c])
      const byPsi = outer * (p1 - sys.psi[c]) - inner * (p0 - sys.psi[c])
      for (let u = 0; u < size; u++) {
        matrix[i * size + u] += byH * speed[edge + u]
        matrix[(m + i) * size + u] += byPsi * speed[edge + u]
      }
    }
    for (let u = 0; u < size; u++) matrix[2 * m * size + u] = speed[edge + u]
  }
}
