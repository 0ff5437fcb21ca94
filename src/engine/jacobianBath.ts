/** The Jacobian's terms of the bath fields under the drop and at its edge. */
import type { FilmState } from './filmState.ts'
import { add } from './jacobianCells.ts'
import type { Reals } from './memory.ts'
import { lineariseOuter } from './outerBath.ts'
import {
  CLOSURES,
  CURVED_PUSH,
  EDGE_GAP,
  FORCE_BY_R,
  LEVELLING,
  LINKS,
  RADIUS,
  SPEED,
  SPREADING,
  STRIDE,
} from './places.ts'

export function bathTerms(q: FilmState, f: i32, y: Reals): void {
  const jac = q.band.data
  const byU = q.byU
  const byR = q.byR
  const block = q.block
  const width = q.band.width
  const R = q.now[RADIUS]
  forceTerms(q, f)
  forceColumns(q, f)
  const bathL = q.bathL[f]
  const bathC = q.bathC[f]
  const bathR = q.bathR[f]
  const slopeL = q.slopeL[f]
  const slopeC = q.slopeC[f]
  const slopeR = q.slopeR[f]
  const stretch = q.s[f] / R
  const drift = stretch * q.now[SPEED]
  const dragL = drift * slopeL
  const dragC = drift * slopeC
  const dragR = drift * slopeR
  const first = (f - 1) * block + 2
  let at = first * width + q.band.half
  for (let m = 0; m < q.modes; m++) {
    const spreading = q.diffusion[m]
    const low = spreading * bathL + dragL
    const own = spreading * bathC + dragC
    const up = spreading * bathR + dragR
    const row = first + m
    jac[at] += own - q.decay[m]
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
  linkTerms(q, first)
}

/** What drives each other among the fields of a face, of which the first stands in row p. */
function linkTerms(q: FilmState, p: i32): void {
  const jac = q.band.data
  const at = p * q.band.width + q.band.half
  const down = q.band.width - 1
  const links = q.set[LINKS] as i32
  for (let c = 0; c < links; c++)
    jac[at + (q.linkTo[c] as i32) * down + (q.linkFrom[c] as i32)] += q.linkRate[c]
}

/** Columns of the force at face f in all field rows. */
function forceColumns(q: FilmState, f: i32): void {
  const jac = q.band.data
  const byR = q.byR
  const gain = q.gain
  const modes = q.modes
  const block = q.block
  const width = q.band.width
  const first = (f - 1) * block + 2
  const R = q.now[RADIUS]
  const inverse = 1 / (R * R)
  let forceR = q.now[FORCE_BY_R]
  for (let k = 0; k < 4; k++) {
    const j = f - 2 + k
    if (j < 0 || j >= q.cells) continue
    forceR += q.forceH[k] * q.hR[j] + q.forcePhi[k] * q.phiR[j]
    const byX = (q.forceH[k] + q.phiH[j] * q.forcePhi[k]) * inverse
    const byP = q.phiPsi[j] * q.forcePhi[k] * inverse
    let at = first * width + q.band.half + j * block - first
    for (let m = 0; m < modes; m++) {
      jac[at] += gain[m] * byX
      jac[at + 1] += gain[m] * byP
      at += width - 1
    }
  }
  for (let m = 0; m < modes; m++) byR[first + m] += gain[m] * forceR
}

/** Derivatives of the force on the bath at an inner face. */
function forceTerms(q: FilmState, f: i32): void {
  const h = q.h
  const closure = q.closure
  const coverSlope = q.coverSlope
  const forceH = q.forceH
  const forcePhi = q.forcePhi
  const now = q.now
  const w = q.weight[f]
  const a = f - 1
  const ca = a * STRIDE
  const cb = f * STRIDE
  const R = now[RADIUS]
  const d = R * q.gap[f]
  const rise = h[f] - h[a]
  const slope = rise / d
  const level = h[a] + w * rise
  const push = q.pressure[f] - q.pressure[a]
  const levelling = closure[cb + LEVELLING] - closure[ca + LEVELLING]
  for (let k = 0; k < 4; k++) {
    forceH[k] = (-level * q.pressureH[k]) / d
    forcePhi[k] = 0
  }
  const bySlope = (slope * levelling) / d
  // With h and φ fixed: tension as 1/R, weight as 1/R, curvature and slope parts as 1/R³.
  now[FORCE_BY_R] = (-q.force[f] + (2 * level * now[CURVED_PUSH] + slope * slope * levelling) / d) / R
  forceH[1] += (coverSlope[a] * closure[ca + SPREADING] - (1 - w) * push + bySlope) / d
  forceH[2] += (-coverSlope[f] * closure[cb + SPREADING] - w * push - bySlope) / d
  const half = 0.5 * slope * slope
  forcePhi[1] =
    (q.cover[a] * closure[ca + CLOSURES + SPREADING] -
      level * q.pressurePhi[1] +
      half * closure[ca + CLOSURES + LEVELLING]) /
    d
  forcePhi[2] =
    (-q.cover[f] * closure[cb + CLOSURES + SPREADING] -
      level * q.pressurePhi[2] -
      half * closure[cb + CLOSURES + LEVELLING]) /
    d
}

/** The edge row: its force depends on the last cell alone. */
export function edgeTerms(q: FilmState, y: Reals): void {
  const jac = q.band.data
  const closure = q.closure
  const i = q.cells - 1
  const c = i * STRIDE
  const R = q.now[RADIUS]
  const d = R * q.gap[q.cells]
  const slope = q.h[i] / d
  const gap = q.now[EDGE_GAP]
  const byH = (q.coverSlope[i] * closure[c + SPREADING] + (closure[c + LEVELLING] * slope) / d) / gap
  const byPhi =
    (q.cover[i] * closure[c + CLOSURES + SPREADING] +
      0.5 * slope * slope * closure[c + CLOSURES + LEVELLING]) /
    gap
  lineariseOuter(q, y)
  const slopeR = (-closure[c + LEVELLING] * slope * slope) / R / gap
  for (let m = 0; m < q.modes; m++) {
    const row = i * q.block + 2 + m
    add(q, row, i, q.gain[m] * byH, q.gain[m] * byPhi)
    q.byR[row] += q.gain[m] * slopeR
    const at = row * q.band.width + q.band.half
    jac[at - q.block] += q.low[m * q.outer]
    jac[at] += q.own[m * q.outer] - q.decay[m]
  }
  linkTerms(q, i * q.block + 2)
}
