import { BOOK_COUNT, BOOKS, type FilmSystem } from './film.ts'
import type { FilmJacobian } from './filmJacobian.ts'

/**
 * Solves (1/hg − J) x = b for a FilmSystem.
 *
 * The matrix is a band with the outer bath eliminated into it, bordered by the columns of U and R. U is a sum of unknowns
 * (a rank-one term), R follows from its own row, so that one extra solve per factorisation settles both.
 */
export class FilmSolver {
  /** (A⁻¹)(byU + hg byR) and 1 − its U. */
  private readonly border: Float64Array
  private closing = 1
  private hg = 0
  /** Entries of the Jacobian that make room for what is added to them. */
  private readonly kept: Float64Array
  private readonly jac: Float64Array
  private readonly byU: Float64Array
  private readonly byR: Float64Array
  private readonly books: Float64Array
  private readonly oil: Float64Array

  constructor(
    readonly sys: FilmSystem,
    jacobian: FilmJacobian,
  ) {
    ;({ jac: this.jac, byU: this.byU, byR: this.byR, books: this.books, oil: this.oil } = jacobian)
    this.border = new Float64Array(sys.n)
    this.kept = new Float64Array(sys.modes * sys.modes)
  }

  /** Forgets the last factorisation. */
  clear(): void {
    this.border.fill(0)
    this.kept.fill(0)
    this.closing = 1
    this.hg = 0
  }

  factor(hg: number): boolean {
    const { sys, border, byU, byR } = this
    this.hg = hg
    if (!this.factorBand(hg)) return false
    this.closing = 1
    if (sys.problem.edge === 'wall') return true
    for (let p = 0; p < sys.booksAt; p++) border[p] = byU[p] + hg * byR[p]
    this.solveFilm(border)
    this.closing = 1 - this.edgeSpeed(border)
    return Math.abs(this.closing) > 1e-12
  }

  private factorBand(hg: number): boolean {
    const { sys, jac } = this
    const { band, mesh, outer, modes } = sys
    if (modes === 0) return band.factor(1 / hg)
    outer.factor(sys, hg)
    const first = (mesh.cells - 1) * sys.block + 2
    band.extraDiagonal.set(outer.edgeDiagonal, first)
    // What the eliminated groups add across their edge rows goes into the matrix for this factorisation only.
    const { linkTo, linkFrom } = sys
    const count = linkTo.length
    for (let c = 0; c < count; c++) {
      const at = (first + linkTo[c]) * band.width + band.half + linkFrom[c] - linkTo[c]
      this.kept[c] = jac[at]
      jac[at] -= outer.edgeAcross[c]
    }
    const ok = band.factor(1 / hg)
    for (let c = 0; c < count; c++)
      jac[(first + linkTo[c]) * band.width + band.half + linkFrom[c] - linkTo[c]] = this.kept[c]
    return ok
  }

  private edgeSpeed(b: Float64Array): number {
    const { sys } = this
    const at = (sys.mesh.cells - 1) * sys.block + 2
    let sum = 0
    for (let m = 0; m < sys.modes; m++) sum += b[at + m]
    return sum
  }

  private solveFilm(b: Float64Array): void {
    const { sys } = this
    const { band, outerAt } = sys
    if (sys.modes > 0) sys.outer.reduce(sys, b)
    for (let p = 0; p < outerAt; p++) band.vector[p] = b[p]
    band.solve()
    for (let p = 0; p < outerAt; p++) b[p] = band.vector[p]
    if (sys.modes > 0) sys.outer.expand(sys, b)
  }

  solve(b: Float64Array): void {
    const { sys, byR, border, hg } = this
    const end = sys.booksAt
    const bR = b[sys.radiusAt]
    const moving = sys.problem.edge === 'contact'
    const volume = this.conserved(b, 0, BOOKS.lostVolume, BOOKS.childVolume)
    const alcohol = this.conserved(b, 1, BOOKS.lostAlcohol, BOOKS.childAlcohol)
    if (moving) for (let p = 0; p < end; p++) b[p] += hg * bR * byR[p]
    this.solveFilm(b)
    let dR = hg * bR
    if (moving) {
      const dU = this.edgeSpeed(b) / this.closing
      for (let p = 0; p < end; p++) b[p] += dU * border[p]
      dR += hg * dU
    }
    b[sys.radiusAt] = dR
    this.solveBooks(b, dR)
    this.settle(b, 0, hg * volume - this.conserved(b, 0, BOOKS.lostVolume, BOOKS.childVolume))
    this.settle(b, 1, hg * alcohol - this.conserved(b, 1, BOOKS.lostAlcohol, BOOKS.childAlcohol))
  }

  /** What is in the drop, evaporated, in child drops and in the oil together, divided by 2π. */
  private conserved(b: Float64Array, offset: 0 | 1, lost: number, child: number): number {
    const { booksAt, oilAt, block, mesh, uptake } = this.sys
    let sum = b[booksAt + lost] + b[booksAt + child]
    for (let i = 0; i < mesh.cells; i++) sum += mesh.area[i] * b[i * block + offset]
    if (uptake) for (let i = 0; i < mesh.cells; i++) sum += mesh.area[i] * b[oilAt + i]
    return sum
  }

  /**
   * One step of iterative refinement in the direction of the conserved sum. On it the matrix acts as 1/hg exactly, so
   * that the defect that rounding leaves behind a factorisation of stiffness 1e12 is known, and undone in proportion to
   * the contents of the cells.
   */
  private settle(b: Float64Array, offset: 0 | 1, defect: number): void {
    const { block, mesh, h, psi } = this.sys
    const share = offset === 0 ? h : psi
    let sum = 0
    for (let i = 0; i < mesh.cells; i++) sum += mesh.area[i] * Math.max(0, share[i])
    if (!(sum > 0)) return
    for (let i = 0; i < mesh.cells; i++) b[i * block + offset] += (defect * Math.max(0, share[i])) / sum
  }

  /** The books follow from the film: nothing depends on them. */
  private solveBooks(b: Float64Array, dR: number): void {
    const { sys, books, byR, hg } = this
    const { booksAt: at, block, mesh } = sys
    for (let k = 0; k < BOOK_COUNT; k++) {
      let sum = b[at + k] + byR[at + k] * dR
      for (let i = 0; i < mesh.cells; i++) {
        const entry = 2 * (BOOK_COUNT * i + k)
        sum += books[entry] * b[i * block] + books[entry + 1] * b[i * block + 1]
      }
      b[at + k] = hg * sum
    }
    if (sys.uptake) this.solveOil(b, dR)
  }

  /** So do the cells' books of what the oil has taken. */
  private solveOil(b: Float64Array, dR: number): void {
    const { sys, byR, hg } = this
    const { oilAt, block, mesh } = sys
    for (let i = 0; i < mesh.cells; i++) {
      const row = oilAt + i
      const fromFilm = this.oil[2 * i] * b[i * block] + this.oil[2 * i + 1] * b[i * block + 1]
      b[row] = hg * (b[row] + byR[row] * dR + fromFilm)
    }
  }
}
