/** The Jacobian's terms within a cell: evaporation, uptake by the oil, shedding. */
import { ownShare } from './cells.ts'
import type { FilmState } from './filmState.ts'
import {
  ALCOHOL_LOSS,
  BOOKS,
  CHILD_ALCOHOL,
  CHILD_VOLUME,
  CLOSURES,
  CUTOFF,
  DISSOLVED,
  DRY,
  LENDS,
  LOST_ALCOHOL,
  LOST_VOLUME,
  PHI_DRY,
  RADIUS,
  SHED_ABOVE,
  SHED_FROM,
  SHED_RATE,
  STRIDE,
  WATER_LOSS,
} from './places.ts'

/** Adds to row p the dependence on cell j given by thickness and fraction, and through them on R. */
export function add(q: FilmState, p: i32, j: i32, dh: f64, dphi: f64): void {
  const jac = q.band.data
  const R = q.now[RADIUS]
  const inverse = 1 / (R * R)
  const at = p * q.band.width + q.band.half + j * q.block - p
  jac[at] += (dh + q.phiH[j] * dphi) * inverse
  jac[at + 1] += q.phiPsi[j] * dphi * inverse
  q.byR[p] += dh * q.hR[j] + dphi * q.phiR[j]
}

export function cellTerms(q: FilmState, i: i32): void {
  const set = q.set
  const closure = q.closure
  const h = q.h[i]
  const phi = q.phi[i]
  const R = q.now[RADIUS]
  const R2 = R * R
  const c = i * STRIDE
  const cutoff = set[CUTOFF]
  const thick = Math.abs(h) + cutoff
  const wet = h / thick
  const wetH = cutoff / (thick * thick)
  const speedA = q.alcoholSpeed[i] * R2
  const speedW = q.waterSpeed[i] * R2
  const lossA = closure[c + ALCOHOL_LOSS]
  const lossW = closure[c + WATER_LOSS]
  const own = ownShare(q, i)
  // own = m/(|m| + φd ε²) with m = ψ h = φ (h² + ε²) − φd ε²
  const lent = set[PHI_DRY] * DRY * DRY
  const product = Math.abs(q.psi[i] * h) + lent
  const ownByM = set[LENDS] !== 0 ? (phi < 0 ? -lent : lent) / (product * product) : 0
  const backA = h > 0 ? q.alcoholBack[i] * R2 : 0
  const backW = h > 0 ? q.waterBack[i] * R2 : 0
  const alcoholH = speedA * lossA * (wetH * own + wet * ownByM * 2 * h * phi) - wetH * backA
  const alcoholPhi =
    wet * speedA * (own * closure[c + CLOSURES + ALCOHOL_LOSS] + lossA * ownByM * (h * h + DRY * DRY))
  const allH = alcoholH + wetH * speedW * lossW - wetH * backW
  const allPhi = alcoholPhi + wet * speedW * closure[c + CLOSURES + WATER_LOSS]
  const row = i * q.block
  const sheds = (i as f64) >= set[SHED_FROM] && h > set[SHED_ABOVE]
  const leaving = sheds ? set[SHED_RATE] * R2 : 0
  const excess = leaving * (h - set[SHED_ABOVE])
  const childH = leaving * phi
  const childPhi = sheds ? excess : 0
  add(q, row, i, -allH - leaving, -allPhi)
  add(q, row + 1, i, -alcoholH - childH, -alcoholPhi - childPhi)
  // Explicit dependence on R: areas as R², the disc's flux as R² · 1/R.
  const alcoholR = (wet * own * lossA * (2 * speedA + q.alcoholSpeedByR[i] * R2 * R) - 2 * wet * backA) / R
  const allR = alcoholR + (wet * lossW * (2 * speedW + q.waterSpeedByR[i] * R2 * R) - 2 * wet * backW) / R
  const excessR = sheds ? (2 * excess) / R : 0
  q.byR[row] -= allR + excessR
  q.byR[row + 1] -= alcoholR + phi * excessR
  if (q.drinks !== 0) oilTerms(q, i, own, ownByM, wet, wetH)
  book(q, LOST_VOLUME, i, allH, allPhi, allR)
  book(q, LOST_ALCOHOL, i, alcoholH, alcoholPhi, alcoholR)
  book(q, CHILD_VOLUME, i, leaving, 0, excessR)
  book(q, CHILD_ALCOHOL, i, childH, childPhi, phi * excessR)
}

/** What passes into the oil; it depends on R through thickness and fraction alone. */
function oilTerms(q: FilmState, i: i32, own: f64, ownByM: f64, wet: f64, wetH: f64): void {
  const h = q.h[i]
  const c = i * STRIDE
  const take = q.oilTake[i]
  const dissolved = q.closure[c + DISSOLVED]
  const passing = own * take * dissolved - q.oilBack[i]
  const ownH = ownByM * 2 * h * q.phi[i]
  const ownPhi = ownByM * (h * h + DRY * DRY)
  const byH = wetH * passing + wet * take * dissolved * ownH
  const byPhi = wet * take * (own * q.closure[c + CLOSURES + DISSOLVED] + dissolved * ownPhi)
  const R = q.now[RADIUS]
  const inverse = 1 / (R * R)
  add(q, i * q.block, i, -byH, -byPhi)
  add(q, i * q.block + 1, i, -byH, -byPhi)
  q.oil[2 * i] = (byH + q.phiH[i] * byPhi) * inverse
  q.oil[2 * i + 1] = q.phiPsi[i] * byPhi * inverse
  q.byR[q.oilAt + i] = byH * q.hR[i] + byPhi * q.phiR[i]
}

/** One cell's contribution to a book, by thickness, fraction and R. */
function book(q: FilmState, k: i32, i: i32, byH: f64, byPhi: f64, byR: f64): void {
  const area = q.area[i]
  const R = q.now[RADIUS]
  const scale = area / (R * R)
  const at = 2 * (BOOKS * i + k)
  q.books[at] = scale * (byH + q.phiH[i] * byPhi)
  q.books[at + 1] = scale * q.phiPsi[i] * byPhi
  q.byR[q.booksAt + k] += area * (byH * q.hR[i] + byPhi * q.phiR[i] + byR)
}
