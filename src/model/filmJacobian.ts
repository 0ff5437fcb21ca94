import { limitedTerms } from '../numerics/limiter.ts'
import { BOOK_COUNT, BOOKS, DONOR_SHARE, DRY, type FilmSystem, LEAST, NO_WETNESS } from './film.ts'
import { CLOSURE, CLOSURE_COUNT } from './problem.ts'

const STRIDE = 2 * CLOSURE_COUNT
/** Offset of the φ-derivatives in a cell's closures. */
const D = CLOSURE_COUNT

/**
 * Analytic Jacobian of a FilmSystem: a band of film blocks (the outer bath's part is kept by OuterBath) and two columns
 * beside it, the direct dependence on the edge speed U, on which every mesh velocity depends, and on the radius R, on
 * which every length depends.
 */
export class FilmJacobian {
  /** Jacobian in the band layout of the system. */
  readonly jac: Float64Array
  /** Direct dependence of the rates on U and on R. */
  readonly byU: Float64Array
  readonly byR: Float64Array
  /** d(book)/d(X, P) per cell and book. */
  readonly books: Float64Array
  /** d(what passes into the oil)/d(X, P) per cell. */
  readonly oil: Float64Array
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
  /** Change of thickness and fraction with R at fixed contents. */
  private readonly hR: Float64Array
  private readonly phiR: Float64Array
  /** Explicit dependence on R of the face at hand, and the part of its pressure difference that is curvature. */
  private fluxR = 0
  private alcoholR = 0
  private forceR = 0
  private curvedPush = 0

  constructor(readonly sys: FilmSystem) {
    this.jac = sys.band.data
    const vector = () => new Float64Array(sys.n)
    ;[this.byU, this.byR] = [vector(), vector()]
    this.books = new Float64Array(2 * BOOK_COUNT * sys.mesh.cells)
    this.oil = new Float64Array(sys.uptake ? 2 * sys.mesh.cells : 0)
    this.phiH = new Float64Array(sys.mesh.cells)
    this.phiPsi = new Float64Array(sys.mesh.cells)
    this.hR = new Float64Array(sys.mesh.cells)
    this.phiR = new Float64Array(sys.mesh.cells)
  }

  /** Forgets the last state. The scratch of a face is written before it is read; what lasts longer is emptied. */
  clear(): void {
    for (const part of [this.byU, this.byR, this.books, this.oil]) part.fill(0)
    for (const part of [this.phiH, this.phiPsi, this.hR, this.phiR]) part.fill(0)
    for (const part of [this.forceH, this.forcePhi, this.fluxH, this.fluxPhi, this.alcoholH]) part.fill(0)
    for (const part of [this.alcoholPhi, this.pressureH, this.pressurePhi, this.upH, this.upPhi]) part.fill(0)
    this.fluxR = this.alcoholR = this.forceR = this.curvedPush = 0
  }

  /** Jacobian at y, of which `sys` has just evaluated the rates. */
  linearise(y: Float64Array): void {
    const { sys } = this
    this.jac.fill(0)
    this.byU.fill(0)
    this.byR.fill(0)
    const N = sys.mesh.cells
    for (let i = 0; i < N; i++) {
      const d = 1 / (sys.h[i] * sys.h[i] + DRY * DRY)
      this.phiPsi[i] = sys.h[i] * d
      this.phiH[i] = (sys.psi[i] - 2 * sys.h[i] * sys.phi[i]) * d
      this.hR[i] = (-2 * sys.h[i]) / sys.R
      this.phiR[i] = this.phiH[i] * this.hR[i] - (2 * this.phiPsi[i] * sys.psi[i]) / sys.R
    }
    for (let i = 0; i < N; i++) this.cellTerms(i)
    for (let f = 1; f < N; f++) {
      this.pressureTerms(f)
      this.fluxTerms(f)
      if (sys.modes > 0) this.bathTerms(f, y)
    }
    if (sys.modes > 0) this.edgeTerms(y)
  }

  /** Adds to row p the dependence on cell j given by thickness and fraction, and through them on R. */
  private add(p: number, j: number, dh: number, dphi: number): void {
    const { sys, jac } = this
    const { band, block } = sys
    const inverse = 1 / (sys.R * sys.R)
    const at = p * band.width + band.half + j * block - p
    jac[at] += (dh + this.phiH[j] * dphi) * inverse
    jac[at + 1] += this.phiPsi[j] * dphi * inverse
    this.byR[p] += dh * this.hR[j] + dphi * this.phiR[j]
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
    const speedA = sys.vapour.alcohol[i] * R2
    const speedW = sys.vapour.water[i] * R2
    const lossA = closure[c + CLOSURE.alcoholLoss]
    const lossW = closure[c + CLOSURE.waterLoss]
    const held = sys.held(i)
    // held = m/(|m| + φd ε²) with m = ψ h = φ (h² + ε²) − φd ε²
    const lent = problem.phiDry * DRY * DRY
    const product = Math.abs(sys.psi[i] * h[i]) + lent
    const heldByM = sys.lends ? (sys.phi[i] < 0 ? -lent : lent) / (product * product) : 0
    const backA = h[i] > 0 ? sys.vapour.alcoholBack[i] * R2 : 0
    const backW = h[i] > 0 ? sys.vapour.waterBack[i] * R2 : 0
    const alcoholH = speedA * lossA * (wetH * held + wet * heldByM * 2 * h[i] * sys.phi[i]) - wetH * backA
    const alcoholPhi =
      wet *
      speedA *
      (held * closure[c + D + CLOSURE.alcoholLoss] + lossA * heldByM * (h[i] * h[i] + DRY * DRY))
    const allH = alcoholH + wetH * speedW * lossW - wetH * backW
    const allPhi = alcoholPhi + wet * speedW * closure[c + D + CLOSURE.waterLoss]
    const row = i * block
    const sheds = i >= sys.shedFrom && h[i] > sys.shedAbove
    const leaving = sheds ? sys.shedRate * R2 : 0
    const excess = leaving * (h[i] - sys.shedAbove)
    const childH = leaving * sys.phi[i]
    const childPhi = sheds ? excess : 0
    this.add(row, i, -allH - leaving, -allPhi)
    this.add(row + 1, i, -alcoholH - childH, -alcoholPhi - childPhi)
    // Explicit dependence on R: areas as R², the disc's flux as R² · 1/R.
    const alcoholR =
      (wet * held * lossA * (2 * speedA + sys.vapour.alcoholByR[i] * R2 * sys.R) - 2 * wet * backA) / sys.R
    const allR =
      alcoholR + (wet * lossW * (2 * speedW + sys.vapour.waterByR[i] * R2 * sys.R) - 2 * wet * backW) / sys.R
    const excessR = sheds ? (2 * excess) / sys.R : 0
    this.byR[row] -= allR + excessR
    this.byR[row + 1] -= alcoholR + sys.phi[i] * excessR
    if (sys.uptake) {
      const { take, back } = sys.uptake
      const dissolved = closure[c + CLOSURE.dissolved]
      const passing = held * take[i] * dissolved - back[i]
      const heldH = heldByM * 2 * h[i] * sys.phi[i]
      const heldPhi = heldByM * (h[i] * h[i] + DRY * DRY)
      const byH = wetH * passing + wet * take[i] * dissolved * heldH
      const byPhi = wet * take[i] * (held * closure[c + D + CLOSURE.dissolved] + dissolved * heldPhi)
      this.oilTerms(i, byH, byPhi)
    }
    this.book(BOOKS.lostVolume, i, allH, allPhi, allR)
    this.book(BOOKS.lostAlcohol, i, alcoholH, alcoholPhi, alcoholR)
    this.book(BOOKS.childVolume, i, leaving, 0, excessR)
    this.book(BOOKS.childAlcohol, i, childH, childPhi, sys.phi[i] * excessR)
  }

  /** What passes into the oil, by thickness and fraction; it depends on R through them alone. */
  private oilTerms(i: number, byH: number, byPhi: number): void {
    const { sys, oil } = this
    const inverse = 1 / (sys.R * sys.R)
    this.add(i * sys.block, i, -byH, -byPhi)
    this.add(i * sys.block + 1, i, -byH, -byPhi)
    oil[2 * i] = (byH + this.phiH[i] * byPhi) * inverse
    oil[2 * i + 1] = this.phiPsi[i] * byPhi * inverse
    this.byR[sys.oilAt + i] = byH * this.hR[i] + byPhi * this.phiR[i]
  }

  /** One cell's contribution to a book, by thickness, fraction and R. */
  private book(k: number, i: number, byH: number, byPhi: number, byR: number): void {
    const { sys, books } = this
    const area = sys.mesh.area[i]
    const scale = area / (sys.R * sys.R)
    const at = 2 * (BOOK_COUNT * i + k)
    books[at] = scale * (byH + this.phiH[i] * byPhi)
    books[at + 1] = scale * this.phiPsi[i] * byPhi
    this.byR[sys.booksAt + k] += area * (byH * this.hR[i] + byPhi * this.phiR[i] + byR)
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
    this.curvedPush =
      closure[a * STRIDE + CLOSURE.levelling] * curvature[a] -
      closure[f * STRIDE + CLOSURE.levelling] * curvature[f]
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
    const mean = sys.meanFraction(f)
    const step = (phi[f] - phi[a]) / d
    const wetA = sys.wetness[a]
    const wetB = sys.wetness[f]
    const shareA = (wetA + NO_WETNESS) / (wetA + wetB + 2 * NO_WETNESS)
    // dκ/dh of κ = h²/(h² + WET²)
    const wetAByH = h[a] === 0 ? 0 : (2 * wetA * (1 - wetA)) / h[a]
    const wetBByH = h[f] === 0 ? 0 : (2 * wetB * (1 - wetB)) / h[f]
    const leverage = q / (wetA + wetB + 2 * NO_WETNESS)
    const spread = sys.dispersion.at[f] * step
    const strength = (hm * wetA * wetB * sys.dispersion.at[f]) / d
    for (let k = 0; k < 4; k++) {
      alcoholH[k] = r * (mean * fluxH[k] + phiUp * v * upH[k])
      alcoholPhi[k] = r * (mean * fluxPhi[k] + hUp * v * upPhi[k])
      fluxH[k] = r * (fluxH[k] + v * upH[k])
      fluxPhi[k] *= r
    }
    alcoholH[1] += r * (leverage * wetAByH * (phi[a] - mean) - spread * wetB * (hmA * wetA + hm * wetAByH))
    alcoholH[2] += r * (leverage * wetBByH * (phi[f] - mean) - spread * wetA * (hmB * wetB + hm * wetBByH))
    alcoholPhi[1] += r * (shareA * q + strength)
    alcoholPhi[2] += r * ((1 - shareA) * q - strength)
    // With h and φ fixed the carried part goes as R, the tension part not at all, the curvature part as 1/R².
    const carried = mesh.s[f] * hUp * v
    const pushed = 2 * mesh.s[f] * mobility * this.curvedPush
    this.fluxR = carried + pushed
    this.alcoholR = phiUp * carried + mean * pushed
    this.spreadFlux(f, r * hUp, r * phiUp * hUp)
  }

  /** Writes face f's flux derivatives into the rows of the two cells beside it. */
  private spreadFlux(f: number, bySpeed: number, alcoholBySpeed: number): void {
    const { sys, jac, byU, byR, fluxH, fluxPhi, alcoholH, alcoholPhi, phiH, phiPsi, hR, phiR } = this
    const { block, band, mesh, modes } = sys
    const { width } = band
    const N = mesh.cells
    const inverse = 1 / (sys.R * sys.R)
    const a = f - 1
    const signA = -1 / mesh.area[a]
    const signB = 1 / mesh.area[f]
    const rowA = a * block * width + band.half - a * block
    const rowB = f * block * width + band.half - f * block
    let { fluxR, alcoholR } = this
    for (let k = 0; k < 4; k++) {
      const j = f - 2 + k
      if (j < 0 || j >= N) continue
      const byX = (fluxH[k] + phiH[j] * fluxPhi[k]) * inverse
      const byP = phiPsi[j] * fluxPhi[k] * inverse
      const alcoholByX = (alcoholH[k] + phiH[j] * alcoholPhi[k]) * inverse
      const alcoholByP = phiPsi[j] * alcoholPhi[k] * inverse
      fluxR += fluxH[k] * hR[j] + fluxPhi[k] * phiR[j]
      alcoholR += alcoholH[k] * hR[j] + alcoholPhi[k] * phiR[j]
      const atA = rowA + j * block
      const atB = rowB + j * block
      jac[atA] += signA * byX
      jac[atA + 1] += signA * byP
      jac[atA + width - 1] += signA * alcoholByX
      jac[atA + width] += signA * alcoholByP
      jac[atB] += signB * byX
      jac[atB + 1] += signB * byP
      jac[atB + width - 1] += signB * alcoholByX
      jac[atB + width] += signB * alcoholByP
    }
    const speedA = rowA + a * block + 2
    const speedB = rowB + a * block + 2
    for (let m = 0; m < modes; m++) {
      jac[speedA + m] += signA * bySpeed
      jac[speedA + width - 1 + m] += signA * alcoholBySpeed
      jac[speedB + m] += signB * bySpeed
      jac[speedB + width - 1 + m] += signB * alcoholBySpeed
    }
    const p = a * block
    const q = f * block
    byU[p] -= signA * bySpeed * mesh.s[f]
    byU[p + 1] -= signA * alcoholBySpeed * mesh.s[f]
    byU[q] -= signB * bySpeed * mesh.s[f]
    byU[q + 1] -= signB * alcoholBySpeed * mesh.s[f]
    byR[p] += signA * fluxR
    byR[p + 1] += signA * alcoholR
    byR[q] += signB * fluxR
    byR[q + 1] += signB * alcoholR
  }

  private upwindTerms(f: number, v: number): void {
    const { sys, upH, upPhi } = this
    const { h, phi, mesh } = sys
    const { gap, cells, weight } = mesh
    sys.upwind(f, v)
    for (let k = 0; k < 4; k++) upH[k] = upPhi[k] = 0
    if (v > 0) {
      upH[1] = upPhi[1] = 1
      if (f < 2) return
      const reach = gap[f] * weight[f]
      const theta = Math.max(0.5, weight[f])
      limitedTerms(upH, 0, h[f - 2], h[f - 1], h[f], gap[f - 1], gap[f], theta, reach)
      limitedTerms(upPhi, 0, phi[f - 2], phi[f - 1], phi[f], gap[f - 1], gap[f], theta, reach)
      return
    }
    upH[2] = upPhi[2] = 1
    const reach = -gap[f] * (1 - weight[f])
    const theta = Math.min(0.5, weight[f])
    const last = f === cells - 1
    limitedTerms(upH, 1, h[f - 1], h[f], last ? 0 : h[f + 1], gap[f], gap[f + 1], theta, reach)
    limitedTerms(upPhi, 1, phi[f - 1], phi[f], last ? phi[f] : phi[f + 1], gap[f], gap[f + 1], theta, reach)
  }

  private bathTerms(f: number, y: Float64Array): void {
    const { sys, jac, byU, byR } = this
    const { block, band, mesh, modes, decay, diffusion, R } = sys
    const { spread, slope: slopes } = mesh
    this.forceTerms(f)
    this.forceColumns(f)
    const bathL = spread[0][f]
    const bathC = spread[1][f]
    const bathR = spread[2][f]
    const slopeL = slopes[0][f]
    const slopeC = slopes[1][f]
    const slopeR = slopes[2][f]
    const stretch = mesh.s[f] / R
    const drift = stretch * sys.U
    const dragL = drift * slopeL
    const dragC = drift * slopeC
    const dragR = drift * slopeR
    const first = (f - 1) * block + 2
    const { width } = band
    let at = first * width + band.half
    for (let m = 0; m < modes; m++) {
      const spreading = diffusion[m]
      const low = spreading * bathL + dragL
      const own = spreading * bathC + dragC
      const up = spreading * bathR + dragR
      const row = first + m
      jac[at] += own - decay[m]
      jac[at + block] += up
      if (f > 1) jac[at - block] += low
      const left = f > 1 ? y[row - block] : 0
      const here = y[row]
      const right = y[row + block]
      const slope = slopeL * left + slopeC * here + slopeR * right
      const moved = low * left + own * here + up * right
      byU[row] += stretch * slope
      // Spreading goes as 1/R², the drift as 1/R.
      byR[row] += (drift * slope - 2 * moved) / R
      at += width
    }
    this.linkTerms(first)
  }

  /** What drives each other among the fields of a face, of which the first stands in row p. */
  private linkTerms(p: number): void {
    const { jac } = this
    const { band, linkTo, linkFrom, linkRate } = this.sys
    const at = p * band.width + band.half
    const down = band.width - 1
    const count = linkRate.length
    for (let c = 0; c < count; c++) jac[at + linkTo[c] * down + linkFrom[c]] += linkRate[c]
  }

  /** Columns of the force at face f in all field rows. */
  private forceColumns(f: number): void {
    const { sys, jac, forceH, forcePhi } = this
    const { block, band, mesh, modes, gain } = sys
    const { hR, phiR, phiH, phiPsi, byR } = this
    const { width } = band
    const first = (f - 1) * block + 2
    const inverse = 1 / (sys.R * sys.R)
    let forceR = this.forceR
    for (let k = 0; k < 4; k++) {
      const j = f - 2 + k
      if (j < 0 || j >= mesh.cells) continue
      forceR += forceH[k] * hR[j] + forcePhi[k] * phiR[j]
      const byX = (forceH[k] + phiH[j] * forcePhi[k]) * inverse
      const byP = phiPsi[j] * forcePhi[k] * inverse
      let at = first * width + band.half + j * block - first
      for (let m = 0; m < modes; m++) {
        jac[at] += gain[m] * byX
        jac[at + 1] += gain[m] * byP
        at += width - 1
      }
    }
    for (let m = 0; m < modes; m++) byR[first + m] += gain[m] * forceR
  }

  /** Derivatives of the force on the bath at an inner face. */
  private forceTerms(f: number): void {
    const { sys, forceH, forcePhi, pressureH, pressurePhi } = this
    const { h, closure, cover, coverSlope, pressure, mesh } = sys
    const { weight } = mesh
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
    // With h and φ fixed: tension as 1/R, weight as 1/R, curvature and slope parts as 1/R³.
    this.forceR = (-sys.force[f] + (2 * level * this.curvedPush + slope * slope * levelling) / d) / sys.R
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
    sys.outer.linearise(sys, y, this.byU, this.byR)
    const slopeR = (-closure[c + CLOSURE.levelling] * slope * slope) / sys.R / gap
    for (let m = 0; m < modes; m++) {
      const low = sys.outer.edgeLow(m)
      const own = sys.outer.edgeOwn(m)
      const row = i * block + 2 + m
      this.add(row, i, sys.gain[m] * byH, sys.gain[m] * byPhi)
      this.byR[row] += sys.gain[m] * slopeR
      const at = row * band.width + band.half
      jac[at - block] += low
      jac[at] += own - sys.decay[m]
    }
    this.linkTerms(i * block + 2)
  }
}
