/** What a state makes of the faces: bath speeds, forces on the bath, fluxes in the film. */
import type { FilmState } from './filmState.ts'
import { limited } from './limiter.ts'
import type { Reals } from './memory.ts'
import { layOuterMesh } from './outerBath.ts'
import {
  COVERAGE,
  DISH,
  DONOR_SHARE,
  EDGE_GAP,
  EDGE_PULL,
  GAMMA_A,
  GAMMA_O,
  H_UP,
  LEAST,
  LEVELLING,
  NO_WETNESS,
  PHI_UP,
  RADIUS,
  SPEED,
  STRIDE,
  VISCOSITY,
  WALL,
} from './places.ts'

/** Lays face speeds, forces and fluxes of the state y, of which the cells are laid. */
export function evaluateFaces(q: FilmState, y: Reals): void {
  const cells = q.cells
  const now = q.now
  const h = q.h
  const gap = q.gap
  const weight = q.weight
  const sigma = q.sigma
  const pressure = q.pressure
  const closure = q.closure
  const force = q.force
  const R = now[RADIUS]
  sumSpeeds(q, y)
  now[SPEED] = q.set[WALL] !== 0 ? 0 : q.speed[cells]
  layOuterMesh(q, R, q.set[DISH], q.s[cells - 1])
  for (let f = 1; f < cells; f++) {
    const a = f - 1
    const d = R * gap[f]
    const rise = h[f] - h[a]
    const slope = rise / d
    const level = h[a] + weight[f] * rise
    const levelling = closure[f * STRIDE + LEVELLING] - closure[a * STRIDE + LEVELLING]
    force[f] =
      (sigma[f] - sigma[a] - level * (pressure[f] - pressure[a]) - 0.5 * slope * slope * levelling) / d
    faceFluxes(q, f)
  }
  const last = cells - 1
  const edgeSlope = h[last] / (R * gap[cells])
  const pull = q.set[GAMMA_O] - sigma[last] + 0.5 * closure[last * STRIDE + LEVELLING] * edgeSlope * edgeSlope
  now[EDGE_PULL] = pull
  force[cells] = pull / now[EDGE_GAP]
}

function sumSpeeds(q: FilmState, y: Reals): void {
  const speed = q.speed
  const modes = q.modes
  const block = q.block
  let at = 2
  for (let f = 1; f <= q.cells; f++) {
    let sum: f64 = 0
    for (let m = 0; m < modes; m++) sum += y[at + m]
    speed[f] = sum
    at += block
  }
}

function faceFluxes(q: FilmState, f: i32): void {
  const h = q.h
  const closure = q.closure
  const now = q.now
  const a = f - 1
  const ca = a * STRIDE
  const cb = f * STRIDE
  const R = now[RADIUS]
  const d = R * q.gap[f]
  const hm = Math.sqrt(Math.max(h[a], LEAST) * Math.max(h[f], LEAST))
  const x = hm / q.set[COVERAGE]
  const viscosity = 0.5 * (closure[ca + VISCOSITY] + closure[cb + VISCOSITY])
  const tensionPart = ((x * x) / (1 + x * x)) * ((hm * hm) / (2 * viscosity * d))
  const push = q.pressure[f] - q.pressure[a]
  const donor = push < 0 ? h[a] : h[f]
  const cubed = hm * hm * hm
  const mobile = donor > hm ? cubed + DONOR_SHARE * (donor * donor * donor - cubed) : cubed
  const pulled = tensionPart * (closure[cb + GAMMA_A] - closure[ca + GAMMA_A])
  const pushed = (mobile / (3 * viscosity * d)) * push
  const flux = pulled - pushed
  q.stirring[f] = Math.sqrt((pulled * pulled) / 30 - (pulled * pushed) / 20 + (2 * (pushed * pushed)) / 105)
  const r = R * q.s[f]
  const v = q.speed[f] - q.s[f] * now[SPEED]
  upwind(q, f, v)
  const hUp = now[H_UP]
  q.filmFlux[f] = r * flux
  q.volumeFlux[f] = r * (hUp * v + flux)
  q.alcoholFlux[f] =
    r * (now[PHI_UP] * hUp * v + meanFraction(q, f) * flux) - spreadOf(q, f, hm) * q.dispersion[f]
}

/** Alcohol flux at face f (mean thickness hm, m) per dispersion, against the flow outward. */
export function spreadOf(q: FilmState, f: i32, hm: f64): f64 {
  return (q.s[f] * hm * q.wetness[f - 1] * q.wetness[f] * (q.phi[f] - q.phi[f - 1])) / q.gap[f]
}

/** Fraction carried by the film flux: the mean of both sides, a dry side (whose fraction is lent) left out. */
export function meanFraction(q: FilmState, f: i32): f64 {
  const a = q.wetness[f - 1] + NO_WETNESS
  const b = q.wetness[f] + NO_WETNESS
  return (a * q.phi[f - 1] + b * q.phi[f]) / (a + b)
}

/**
 * Limited upwind values at face f for relative speed v, into H_UP and PHI_UP. The limiter is weighted by the place of the
 * face between the cell centres, so that what is carried lies between the values on its two sides.
 */
export function upwind(q: FilmState, f: i32, v: f64): void {
  const h = q.h
  const phi = q.phi
  const gap = q.gap
  const now = q.now
  const w = q.weight[f]
  const i = f - 1
  const acrossH = (h[f] - h[i]) / gap[f]
  const acrossPhi = (phi[f] - phi[i]) / gap[f]
  if (v > 0) {
    const reach = gap[f] * w
    const theta = Math.max(0.5, w)
    now[H_UP] = h[i] + (i > 0 ? reach * limited((h[i] - h[i - 1]) / gap[i], acrossH, theta) : 0)
    now[PHI_UP] = phi[i] + (i > 0 ? reach * limited((phi[i] - phi[i - 1]) / gap[i], acrossPhi, theta) : 0)
    return
  }
  const reach = gap[f] * (1 - w)
  const theta = Math.min(0.5, w)
  const last = f === q.cells - 1
  const beyondH = last ? -h[f] / gap[f + 1] : (h[f + 1] - h[f]) / gap[f + 1]
  const beyondPhi = last ? 0 : (phi[f + 1] - phi[f]) / gap[f + 1]
  now[H_UP] = h[f] - reach * limited(acrossH, beyondH, theta)
  now[PHI_UP] = phi[f] - reach * limited(acrossPhi, beyondPhi, theta)
}
