import { BOOK_COUNT, BOOKS, DONOR_SHARE, DRY, type FilmSystem, LEAST } from './film.ts'
import { CLOSURE, CLOSURE_COUNT } from './problem.ts'

const STRIDE = 2 * CLOSURE_COUNT
/** Offset of the φ-derivatives in a cell's closures. */
const D = CLOSURE_COUNT

/**
 * Analytic Jacobian of a FilmSystem, its factorisation and solution.
 *
 * The matrix is a band (film blocks) with the outer bath eliminated, bordered by two columns: the edge speed U, on which
 * every mesh velocity depends, and the radius R, on which every length depends. U is a sum of unknowns (a rank-one
 * term), R follows from its own row, so that one extra solve per factorisation settles both.
 */
export class FilmJacobian {
  /** Jacobian in the band layout of the system. */
  private readonly jac: Float64Array
  /** Direct dependence of the rates on U and on R. */
  private readonly byU: Float64Array
  private readonly byR: Float64Array
  /** (A⁻¹)(byU + hg byR) and 1 − its U. */
  private readonly border: Float64Array
  private closing = 1
  private hg = 0
  /** d(book)/d(X, P) per cell and book. */
  private readonly books: Float64Array
  private readonly edgeAdd: Float64Array
  private readonly moved: Float64Array
  private readonly state: Float64Array
  // Derivatives of one face's quantities by thickness and fraction of the cells f−2 … f+1.
  private readonly forceH = new Float64Array(4)
  private readonly forcePhi = new Float64Array(4)
  private readonly fluxH = new Float64Array(4)
  private readonly fluxPhi = new Float64Array(4)
  private readonly alcoholH = new Float64Array(4)
  private readonly alcoholPhi = new Float64Array(4)
  private readonly pressureH = new Float64Array(4)
  private readonly pressurePhi = new Float64Array(4)
  private readonly upH = new Float64Array(4)
  private readonly upPhi = new Float64Array(4)
  private readonly phiH: Float64Array
  private readonly phiPsi: Float64Array

  constructor(readonly sys: FilmSystem) {
    this.jac = sys.band.data
    const vector = () => new Float64Array(sys.n)
    ;[this.byU, this.byR, this.border, this.moved, this.state] = [
      vector(),
      vector(),
      vector(),
      vector(),
      vector(),
    ]
    this.books = new Float64Array(2 * BOOK_COUNT * sys.mesh.cells)
    this.edgeAdd = new Float64Array(sys.modes)
    this.phiH = new Float64Array(sys.mesh.cells)
    this.phiPsi = new Float64Array(sys.mesh.cells)
  }

  linearise(y: Float64Array, rates: Float64Array): void {
    const { sys, jac } = this
    jac.fill(0)
    this.byU.fill(0)
    this.radiusColumn(y, rates)
    const N = sys.mesh.cells
    for (let i = 0; i < N; i++) {
      const d = 1 / (sys.h[i] * sys.h[i] + DRY * DRY)
      this.phiPsi[i] = sys.h[i] * d
      this.phiH[i] = (sys.psi[i] - 2 * sys.h[i] * sys.phi[i]) * d
    }
    for (let i = 0; i < N; i++) this.cellTerms(i)
    for (let f = 1; f < N; f++) {
      this.pressureTerms(f)
      this.fluxTerms(f)
      if (sys.modes > 0) this.bathTerms(f, y)
    }
    if (sys.modes > 0) this.edgeTerms(y)
  }

  /** Only the column of R is by difference: lengths enter everywhere, and it costs one evaluation. */
  private radiusColumn(y: Float64Array, rates: Float64Array): void {
    const { sys, state, moved, byR } = this
    const moving = sys.problem.edge === 'contact'
    const delta = 1e-7 * y[sys.radiusAt]
    if (moving) {
      state.set(y)
      state[sys.radiusAt] += delta
      sys.rates(state, moved)
    }
    sys.rates(y, rates)
    const inverse = moving ? 1 / delta : 0
    for (let p = 0; p < sys.radiusAt; p++) byR[p] = (moved[p] - rates[p]) * inverse
  }

  /** Adds to row p the dependence on cell j given by thickness and fraction. */
  private add(p: number, j: number, dh: number, dphi: number): void {
    const { sys, jac } = this
    const { band, block } = sys
    const inverse = 1 / (sys.R * sys.R)
    const at = p * band.width + band.half + j * block - p
    jac[at] += (dh + this.phiH[j] * dphi) * inverse
    jac[at + 1] += this.phiPsi[j] * dphi * inverse
  }

  /** Evaporation and shedding. */
  private cellTerms(i: number): void {
    const { sys } = this
    const { h, closure, problem, block } = sys
    const R2 = sys.R * sys.R
    const c = i * STRIDE
    const thick = Math.abs(h[i]) + problem.evaporationCutoff
    const wet = h[i] / thick
    const wetH = problem.evaporationCutoff / (thick * thick)
    const speedA = sys.alcoholSpeed[i] * R2
    const speedW = sys.waterSpeed[i] * R2
    const alcoholH = wetH * speedA * closure[c + CLOSURE.alcoholLoss]
    const alcoholPhi = wet * speedA * closure[c + D + CLOSURE.alcoholLoss]
    const allH = alcoholH + wetH * speedW * closure[c + CLOSURE.waterLoss]
    const allPhi = alcoholPhi + wet * speedW * closure[c + D + CLOSURE.waterLoss]
    const row = i * block
    const sheds = i >= sys.shedFrom && h[i] > sys.shedAbove
    const leaving = sheds ? sys.shedRate * R2 : 0
    const excess = leaving * (h[i] - sys.shedAbove)
    const childH = leaving * sys.phi[i]
    const childPhi = sheds ? excess : 0
    this.add(row, i, -allH - leaving, -allPhi)
    this.add(row + 1, i, -alcoholH - childH, -alcoholPhi - childPhi)
    const a = sys.mesh.area[i] / R2
    const at = 2 * BOOK_COUNT * i
    this.book(at + 2 * BOOKS.lostVolume, i, a * allH, a * allPhi)
    this.book(at + 2 * BOOKS.lostAlcohol, i, a * alcoholH, a * alcoholPhi)
    this.book(at + 2 * BOOKS.childVolume, i, a * leaving, 0)
    this.book(at + 2 * BOOKS.childAlcohol, i, a * childH, a * childPhi)
  }

  private book(at: number, i: number, byH: number, byPhi: number): void {
    this.books[at] = byH + this.phiH[i] * byPhi
    this.books[at + 1] = this.phiPsi[i] * byPhi
  }

  /** Derivatives of the pressure difference across face f. */
  private pressureTerms(f: number): void {
    const { sys, pressureH, pressurePhi } = this
    const { closure, lapL, lapC, lapR, curvature, problem } = sys
    const inverse = 1 / (sys.R * sys.R)
    const a = f - 1
    const ga = closure[a * STRIDE + CLOSURE.levelling] * inverse
    const gb = closure[f * STRIDE + CLOSURE.levelling] * inverse
    pressureH[0] = ga * lapL[a]
    pressureH[1] = ga * lapC[a] - gb * lapL[f] - problem.buoyancy
    pressureH[2] = ga * lapR[a] - gb * lapC[f] + problem.buoyancy
    pressureH[3] = -gb * lapR[f]
    pressurePhi[1] = closure[a * STRIDE + D + CLOSURE.levelling] * curvature[a]
    pressurePhi[2] = -closure[f * STRIDE + D + CLOSURE.levelling] * curvature[f]
  }

  private fluxTerms(f: number): void {
    const { sys, fluxH, fluxPhi, alcoholH, alcoholPhi, pressureH, pressurePhi, upH, upPhi } = this
    const { h, phi, closure, pressure, mesh, problem } = sys
    const a = f - 1
    const ca = a * STRIDE
    const cb = f * STRIDE
    const d = sys.R * mesh.gap[f]
    const r = sys.R * mesh.s[f]
    const hm = Math.sqrt(Math.max(h[a], LEAST) * Math.max(h[f], LEAST))
    const hmA = h[a] > LEAST ? hm / (2 * h[a]) : 0
    const hmB = h[f] > LEAST ? hm / (2 * h[f]) : 0
    const cover = (hm * hm) / (hm * hm + problem.coverage * problem.coverage)
    const viscosity = 0.5 * (closure[ca + CLOSURE.viscosity] + closure[cb + CLOSURE.viscosity])
    const tension = (cover * hm * hm) / (2 * viscosity * d)
    const rise = closure[cb + CLOSURE.gammaA] - closure[ca + CLOSURE.gammaA]
    const push = pressure[f] - pressure[a]
    const donorSlot = push < 0 ? 1 : 2
    const donor = h[f - 2 + donorSlot]
    const share = donor > hm ? DONOR_SHARE : 0
    const mobility = ((1 - share) * hm * hm * hm + share * donor * donor * donor) / (3 * viscosity * d)
    const q = tension * rise - mobility * push
    const qHm =
      ((hm * cover * (4 - 2 * cover)) / (2 * viscosity * d)) * rise -
      (1 - share) * ((hm * hm) / (viscosity * d)) * push
    const thin = -q / (2 * viscosity)
    for (let k = 0; k < 4; k++) {
      fluxH[k] = -mobility * pressureH[k]
      fluxPhi[k] = 0
    }
    fluxH[1] += qHm * hmA
    fluxH[2] += qHm * hmB
    fluxH[donorSlot] -= share * ((donor * donor) / (viscosity * d)) * push
    fluxPhi[1] =
      -tension * closure[ca + D + CLOSURE.gammaA] +
      thin * closure[ca + D + CLOSURE.viscosity] -
      mobility * pressurePhi[1]
    fluxPhi[2] =
      tension * closure[cb + D + CLOSURE.gammaA] +
      thin * closure[cb + D + CLOSURE.viscosity] -
      mobility * pressurePhi[2]

    const v = sys.speed[f] - mesh.s[f] * sys.U
    this.upwindTerms(f, v)
    const { hUp, phiUp } = sys
    const mean = 0.5 * (phi[a] + phi[f])
    const step = (phi[f] - phi[a]) / d
    const spread = sys.dispersion[f]
    for (let k = 0; k < 4; k++) {
      alcoholH[k] = r * (mean * fluxH[k] + phiUp * v * upH[k])
      alcoholPhi[k] = r * (mean * fluxPhi[k] + hUp * v * upPhi[k])
      fluxH[k] = r * (fluxH[k] + v * upH[k])
      fluxPhi[k] *= r
    }
    alcoholH[1] -= r * hmA * spread * step
    alcoholH[2] -= r * hmB * spread * step
    alcoholPhi[1] += r * (0.5 * q + (hm * spread) / d)
    alcoholPhi[2] += r * (0.5 * q - (hm * spread) / d)
    this.spreadFlux(f, r * hUp, r * phiUp * hUp)
  }

  /** Writes face f's flux derivatives into the rows of the two cells beside it. */
  private spreadFlux(f: number, bySpeed: number, alcoholBySpeed: number): void {
    const { sys, jac, byU, fluxH, fluxPhi, alcoholH, alcoholPhi } = this
    const { block, band, mesh, modes, share } = sys
    const N = mesh.cells
    for (let side = 0; side < 2; side++) {
      const i = f - 1 + side
      const sign = (side === 0 ? -1 : 1) / mesh.area[i]
      const row = i * block
      for (let k = 0; k < 4; k++) {
        const j = f - 2 + k
        if (j < 0 || j >= N) continue
        this.add(row, j, sign * fluxH[k], sign * fluxPhi[k])
        this.add(row + 1, j, sign * alcoholH[k], sign * alcoholPhi[k])
      }
      const u = (f - 1) * block + 2
      const at = row * band.width + band.half + u - row
      for (let m = 0; m < modes; m++) {
        jac[at + m] += sign * bySpeed * share[m]
        jac[at + band.width - 1 + m] += sign * alcoholBySpeed * share[m]
      }
      byU[row] -= sign * bySpeed * mesh.s[f]
      byU[row + 1] -= sign * alcoholBySpeed * mesh.s[f]
    }
  }

  private upwindTerms(f: number, v: number): void {
    const { sys, upH, upPhi } = this
    const { h, phi, mesh, weight } = sys
    const { gap, cells } = mesh
    sys.upwind(f, v)
    upH.fill(0)
    upPhi.fill(0)
    if (v > 0) {
      upH[1] = upPhi[1] = 1
      if (f < 2) return
      const reach = gap[f] * weight[f]
      limitedTerms(upH, 0, h[f - 2], h[f - 1], h[f], gap[f - 1], gap[f], reach)
      limitedTerms(upPhi, 0, phi[f - 2], phi[f - 1], phi[f], gap[f - 1], gap[f], reach)
      return
    }
    upH[2] = upPhi[2] = 1
    const reach = -gap[f] * (1 - weight[f])
    const last = f === cells - 1
    limitedTerms(upH, 1, h[f - 1], h[f], last ? 0 : h[f + 1], gap[f], gap[f + 1], reach)
    limitedTerms(upPhi, 1, phi[f - 1], phi[f], last ? phi[f] : phi[f + 1], gap[f], gap[f + 1], reach)
  }

  private bathTerms(f: number, y: Float64Array): void {
    const { sys, jac, byU } = this
    const { block, band, mesh, modes, decay } = sys
    this.forceTerms(f)
    this.forceColumns(f)
    const diffusion = sys.spreading / (sys.R * sys.R)
    const stretch = mesh.s[f] / sys.R
    const drift = stretch * sys.U
    const low = diffusion * sys.bathL[f] + drift * sys.slopeL[f]
    const own = diffusion * sys.bathC[f] + drift * sys.slopeC[f]
    const up = diffusion * sys.bathR[f] + drift * sys.slopeR[f]
    const first = (f - 1) * block + 2
    for (let m = 0; m < modes; m++) {
      const row = first + m
      const at = row * band.width + band.half
      jac[at] += own - decay[m]
      jac[at + block] += up
      const left = f > 1 ? y[row - block] : 0
      if (f > 1) jac[at - block] += low
      byU[row] += stretch * (sys.slopeL[f] * left + sys.slopeC[f] * y[row] + sys.slopeR[f] * y[row + block])
    }
    if (sys.paired) this.pairTerms(first + modes - 2)
  }

  /** Coupling within the pair whose first field stands in row p. */
  private pairTerms(p: number): void {
    const { band, pairRate } = this.sys
    this.jac[p * band.width + band.half + 1] += pairRate
    this.jac[(p + 1) * band.width + band.half - 1] -= pairRate
  }

  /** Columns of the force at face f in all field rows. */
  private forceColumns(f: number): void {
    const { sys, jac, forceH, forcePhi } = this
    const { block, band, mesh, modes, gain } = sys
    const inverse = 1 / (sys.R * sys.R)
    for (let k = 0; k < 4; k++) {
      const j = f - 2 + k
      if (j < 0 || j >= mesh.cells) continue
      const byX = (forceH[k] + this.phiH[j] * forcePhi[k]) * inverse
      const byP = this.phiPsi[j] * forcePhi[k] * inverse
      let at = ((f - 1) * block + 2) * band.width + band.half + j * block - (f - 1) * block - 2
      for (let m = 0; m < modes; m++) {
        jac[at] += gain[m] * byX
        jac[at + 1] += gain[m] * byP
        at += band.width - 1
      }
    }
  }

  /** Derivatives of the force on the bath at an inner face. */
  private forceTerms(f: number): void {
    const { sys, forceH, forcePhi, pressureH, pressurePhi } = this
    const { h, closure, cover, coverSlope, pressure, mesh, weight } = sys
    const a = f - 1
    const ca = a * STRIDE
    const cb = f * STRIDE
    const d = sys.R * mesh.gap[f]
    const rise = h[f] - h[a]
    const slope = rise / d
    const level = h[a] + weight[f] * rise
    const push = pressure[f] - pressure[a]
    const levelling = closure[cb + CLOSURE.levelling] - closure[ca + CLOSURE.levelling]
    for (let k = 0; k < 4; k++) {
      forceH[k] = (-level * pressureH[k]) / d
      forcePhi[k] = 0
    }
    const bySlope = (slope * levelling) / d
    forceH[1] += (coverSlope[a] * closure[ca + CLOSURE.spreading] - (1 - weight[f]) * push + bySlope) / d
    forceH[2] += (-coverSlope[f] * closure[cb + CLOSURE.spreading] - weight[f] * push - bySlope) / d
    const half = 0.5 * slope * slope
    forcePhi[1] =
      (cover[a] * closure[ca + D + CLOSURE.spreading] -
        level * pressurePhi[1] +
        half * closure[ca + D + CLOSURE.levelling]) /
      d
    forcePhi[2] =
      (-cover[f] * closure[cb + D + CLOSURE.spreading] -
        level * pressurePhi[2] -
        half * closure[cb + D + CLOSURE.levelling]) /
      d
  }

  /** The edge row: its force depends on the last cell alone. */
  private edgeTerms(y: Float64Array): void {
    const { sys, jac } = this
    const { block, band, mesh, closure, cover, coverSlope, h, modes } = sys
    const i = mesh.cells - 1
    const c = i * STRIDE
    const d = sys.R * mesh.gap[mesh.cells]
    const slope = h[i] / d
    const gap = sys.outer.edgeGap
    const byH =
      (coverSlope[i] * closure[c + CLOSURE.spreading] + (closure[c + CLOSURE.levelling] * slope) / d) / gap
    const byPhi =
      (cover[i] * closure[c + D + CLOSURE.spreading] +
        0.5 * slope * slope * closure[c + D + CLOSURE.levelling]) /
      gap
    sys.outer.linearise(sys, y, this.byU)
    const [low, own] = sys.outer.edgeEntries()
    for (let m = 0; m < modes; m++) {
      const row = i * block + 2 + m
      this.add(row, i, sys.gain[m] * byH, sys.gain[m] * byPhi)
      const at = row * band.width + band.half
      jac[at - block] += low
      jac[at] += own - sys.decay[m]
    }
    if (sys.paired) this.pairTerms(i * block + modes)
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
    const { sys, edgeAdd, jac } = this
    const { band } = sys
    if (sys.modes === 0) return band.factor(1 / hg)
    const across = sys.outer.factor(sys, hg, edgeAdd)
    const first = (sys.mesh.cells - 1) * sys.block + 2
    band.extraDiagonal.set(edgeAdd, first)
    if (!sys.paired) return band.factor(1 / hg)
    // What the eliminated pair adds across its two edge rows goes into the matrix for this factorisation only.
    const p = first + sys.modes - 2
    const re = p * band.width + band.half + 1
    const im = (p + 1) * band.width + band.half - 1
    jac[re] += across
    jac[im] -= across
    const ok = band.factor(1 / hg)
    jac[re] -= across
    jac[im] += across
    return ok
  }

  private edgeSpeed(b: Float64Array): number {
    const { sys } = this
    const at = (sys.mesh.cells - 1) * sys.block + 2
    let sum = 0
    for (let m = 0; m < sys.modes; m++) sum += sys.share[m] * b[at + m]
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
  }
}

/** Adds reach·∂limited/∂v to the three values v0, v1, v2 at slots k, k+1, k+2 (slopes over gap01 and gap12). */
function limitedTerms(
  to: Float64Array,
  k: number,
  v0: number,
  v1: number,
  v2: number,
  gap01: number,
  gap12: number,
  reach: number,
): void {
  const a = (v1 - v0) / gap01
  const b = (v2 - v1) / gap12
  if (!(a * b > 0)) return
  const sum = a + b
  const byA = (reach * 2 * b * b) / (sum * sum) / gap01
  const byB = (reach * 2 * a * a) / (sum * sum) / gap12
  to[k] -= byA
  to[k + 1] += byA - byB
  if (k + 2 < 4) to[k + 2] += byB
}
