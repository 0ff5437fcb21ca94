/** The Jacobian's terms of the film's fluxes. */
import { meanFraction, upwind } from './faces.ts'
import type { FilmState } from './filmState.ts'
import { limitedTerms } from './limiter.ts'
import {
  ALCOHOL_BY_R,
  BUOYANCY,
  CLOSURES,
  COVERAGE,
  CURVED_PUSH,
  DONOR_SHARE,
  FLUX_BY_R,
  GAMMA_A,
  H_UP,
  LEAST,
  LEVELLING,
  NO_WETNESS,
  PHI_UP,
  RADIUS,
  SPEED,
  STRIDE,
  VISCOSITY,
} from './places.ts'

/** Derivatives of the pressure difference across face f. */
export function pressureTerms(q: FilmState, f: i32): void {
  const closure = q.closure
  const curvature = q.curvature
  const pressureH = q.pressureH
  const pressurePhi = q.pressurePhi
  const buoyancy = q.set[BUOYANCY]
  const R = q.now[RADIUS]
  const inverse = 1 / (R * R)
  const a = f - 1
  const ga = closure[a * STRIDE + LEVELLING] * inverse
  const gb = closure[f * STRIDE + LEVELLING] * inverse
  pressureH[0] = ga * q.lapL[a]
  pressureH[1] = ga * q.lapC[a] - gb * q.lapL[f] - buoyancy
  pressureH[2] = ga * q.lapR[a] - gb * q.lapC[f] + buoyancy
  pressureH[3] = -gb * q.lapR[f]
  pressurePhi[1] = closure[a * STRIDE + CLOSURES + LEVELLING] * curvature[a]
  pressurePhi[2] = -closure[f * STRIDE + CLOSURES + LEVELLING] * curvature[f]
  q.now[CURVED_PUSH] =
    closure[a * STRIDE + LEVELLING] * curvature[a] - closure[f * STRIDE + LEVELLING] * curvature[f]
}

export function fluxTerms(q: FilmState, f: i32): void {
  const now = q.now
  const h = q.h
  const phi = q.phi
  const closure = q.closure
  const fluxH = q.fluxH
  const fluxPhi = q.fluxPhi
  const alcoholH = q.fluxAlcoholH
  const alcoholPhi = q.fluxAlcoholPhi
  const pressureH = q.pressureH
  const pressurePhi = q.pressurePhi
  const upH = q.upH
  const upPhi = q.upPhi
  const a = f - 1
  const ca = a * STRIDE
  const cb = f * STRIDE
  const R = now[RADIUS]
  const d = R * q.gap[f]
  const r = R * q.s[f]
  const coverage = q.set[COVERAGE]
  const hm = Math.sqrt(Math.max(h[a], LEAST) * Math.max(h[f], LEAST))
  const hmA = h[a] > LEAST ? hm / (2 * h[a]) : 0
  const hmB = h[f] > LEAST ? hm / (2 * h[f]) : 0
  const cover = (hm * hm) / (hm * hm + coverage * coverage)
  const viscosity = 0.5 * (closure[ca + VISCOSITY] + closure[cb + VISCOSITY])
  const tension = (cover * hm * hm) / (2 * viscosity * d)
  const rise = closure[cb + GAMMA_A] - closure[ca + GAMMA_A]
  const push = q.pressure[f] - q.pressure[a]
  const donorSlot = push < 0 ? 1 : 2
  const donor = h[f - 2 + donorSlot]
  const share = donor > hm ? DONOR_SHARE : 0
  const mobility = ((1 - share) * hm * hm * hm + share * donor * donor * donor) / (3 * viscosity * d)
  const flux = tension * rise - mobility * push
  const fluxHm =
    ((hm * cover * (4 - 2 * cover)) / (2 * viscosity * d)) * rise -
    (1 - share) * ((hm * hm) / (viscosity * d)) * push
  const thin = -flux / (2 * viscosity)
  for (let k = 0; k < 4; k++) {
    fluxH[k] = -mobility * pressureH[k]
    fluxPhi[k] = 0
  }
  fluxH[1] += fluxHm * hmA
  fluxH[2] += fluxHm * hmB
  fluxH[donorSlot] -= share * ((donor * donor) / (viscosity * d)) * push
  fluxPhi[1] =
    -tension * closure[ca + CLOSURES + GAMMA_A] +
    thin * closure[ca + CLOSURES + VISCOSITY] -
    mobility * pressurePhi[1]
  fluxPhi[2] =
    tension * closure[cb + CLOSURES + GAMMA_A] +
    thin * closure[cb + CLOSURES + VISCOSITY] -
    mobility * pressurePhi[2]

  const v = q.speed[f] - q.s[f] * now[SPEED]
  upwindTerms(q, f, v)
  const hUp = now[H_UP]
  const phiUp = now[PHI_UP]
  const mean = meanFraction(q, f)
  const step = (phi[f] - phi[a]) / d
  const wetA = q.wetness[a]
  const wetB = q.wetness[f]
  const shareA = (wetA + NO_WETNESS) / (wetA + wetB + 2 * NO_WETNESS)
  // dκ/dh of κ = h²/(h² + WET²)
  const wetAByH = h[a] === 0 ? 0 : (2 * wetA * (1 - wetA)) / h[a]
  const wetBByH = h[f] === 0 ? 0 : (2 * wetB * (1 - wetB)) / h[f]
  const leverage = flux / (wetA + wetB + 2 * NO_WETNESS)
  const spread = q.dispersion[f] * step
  const strength = (hm * wetA * wetB * q.dispersion[f]) / d
  for (let k = 0; k < 4; k++) {
    alcoholH[k] = r * (mean * fluxH[k] + phiUp * v * upH[k])
    alcoholPhi[k] = r * (mean * fluxPhi[k] + hUp * v * upPhi[k])
    fluxH[k] = r * (fluxH[k] + v * upH[k])
    fluxPhi[k] *= r
  }
  alcoholH[1] += r * (leverage * wetAByH * (phi[a] - mean) - spread * wetB * (hmA * wetA + hm * wetAByH))
  alcoholH[2] += r * (leverage * wetBByH * (phi[f] - mean) - spread * wetA * (hmB * wetB + hm * wetBByH))
  alcoholPhi[1] += r * (shareA * flux + strength)
  alcoholPhi[2] += r * ((1 - shareA) * flux - strength)
  // With h and φ fixed the carried part goes as R, the tension part not at all, the curvature part as 1/R².
  const carried = q.s[f] * hUp * v
  const pushed = 2 * q.s[f] * mobility * now[CURVED_PUSH]
  now[FLUX_BY_R] = carried + pushed
  now[ALCOHOL_BY_R] = phiUp * carried + mean * pushed
  spreadFlux(q, f, r * hUp, r * phiUp * hUp)
}

/** Writes face f's flux derivatives into the rows of the two cells beside it. */
function spreadFlux(q: FilmState, f: i32, bySpeed: f64, alcoholBySpeed: f64): void {
  const now = q.now
  const jac = q.band.data
  const byU = q.byU
  const byR = q.byR
  const fluxH = q.fluxH
  const fluxPhi = q.fluxPhi
  const alcoholH = q.fluxAlcoholH
  const alcoholPhi = q.fluxAlcoholPhi
  const block = q.block
  const width = q.band.width
  const half = q.band.half
  const s = q.s[f]
  const R = now[RADIUS]
  const inverse = 1 / (R * R)
  const a = f - 1
  const signA = -1 / q.area[a]
  const signB = 1 / q.area[f]
  const rowA = a * block * width + half - a * block
  const rowB = f * block * width + half - f * block
  let fluxR = now[FLUX_BY_R]
  let alcoholR = now[ALCOHOL_BY_R]
  for (let k = 0; k < 4; k++) {
    const j = f - 2 + k
    if (j < 0 || j >= q.cells) continue
    const byX = (fluxH[k] + q.phiH[j] * fluxPhi[k]) * inverse
    const byP = q.phiPsi[j] * fluxPhi[k] * inverse
    const alcoholByX = (alcoholH[k] + q.phiH[j] * alcoholPhi[k]) * inverse
    const alcoholByP = q.phiPsi[j] * alcoholPhi[k] * inverse
    fluxR += fluxH[k] * q.hR[j] + fluxPhi[k] * q.phiR[j]
    alcoholR += alcoholH[k] * q.hR[j] + alcoholPhi[k] * q.phiR[j]
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
  for (let m = 0; m < q.modes; m++) {
    jac[speedA + m] += signA * bySpeed
    jac[speedA + width - 1 + m] += signA * alcoholBySpeed
    jac[speedB + m] += signB * bySpeed
    jac[speedB + width - 1 + m] += signB * alcoholBySpeed
  }
  const pa = a * block
  const pb = f * block
  byU[pa] -= signA * bySpeed * s
  byU[pa + 1] -= signA * alcoholBySpeed * s
  byU[pb] -= signB * bySpeed * s
  byU[pb + 1] -= signB * alcoholBySpeed * s
  byR[pa] += signA * fluxR
  byR[pa + 1] += signA * alcoholR
  byR[pb] += signB * fluxR
  byR[pb + 1] += signB * alcoholR
}

function upwindTerms(q: FilmState, f: i32, v: f64): void {
  const h = q.h
  const phi = q.phi
  const gap = q.gap
  const upH = q.upH
  const upPhi = q.upPhi
  const w = q.weight[f]
  upwind(q, f, v)
  for (let k = 0; k < 4; k++) {
    upH[k] = 0
    upPhi[k] = 0
  }
  if (v > 0) {
    upH[1] = 1
    upPhi[1] = 1
    if (f < 2) return
    const reach = gap[f] * w
    const theta = Math.max(0.5, w)
    limitedTerms(upH, 0, h[f - 2], h[f - 1], h[f], gap[f - 1], gap[f], theta, reach)
    limitedTerms(upPhi, 0, phi[f - 2], phi[f - 1], phi[f], gap[f - 1], gap[f], theta, reach)
    return
  }
  upH[2] = 1
  upPhi[2] = 1
  const reach = -gap[f] * (1 - w)
  const theta = Math.min(0.5, w)
  const last = f === q.cells - 1
  limitedTerms(upH, 1, h[f - 1], h[f], last ? 0 : h[f + 1], gap[f], gap[f + 1], theta, reach)
  limitedTerms(upPhi, 1, phi[f - 1], phi[f], last ? phi[f] : phi[f + 1], gap[f], gap[f + 1], theta, reach)
}
