/** What a state makes of the cells: thickness, composition, closures, tension, pressure. */
import type { FilmState } from './filmState.ts'
import type { Reals } from './memory.ts'
import {
  ALCOHOL_LOSS,
  AMBIENT_WATER,
  BUOYANCY,
  CLOSURES,
  COOL_ALCOHOL,
  COOL_TENSION,
  COOL_WATER,
  COOLED,
  COVERAGE,
  DRY,
  GAMMA_A,
  GAMMA_O,
  INTERVALS,
  LENDS,
  LEVELLING,
  LINEAR,
  PHI_DRY,
  RADIUS,
  SPREADING,
  STRIDE,
  WATER_LOSS,
  WET,
} from './places.ts'

/** Lays the cell quantities of the state y. */
export function evaluateCells(q: FilmState, y: Reals): void {
  const set = q.set
  const h = q.h
  const phi = q.phi
  const psi = q.psi
  const cover = q.cover
  const coverSlope = q.coverSlope
  const wetness = q.wetness
  const sigma = q.sigma
  const closure = q.closure
  const cells = q.cells
  const block = q.block
  const R = y[q.radiusAt]
  const inverse = 1 / (R * R)
  const coverage = set[COVERAGE]
  const gammaO = set[GAMMA_O]
  const phiDry = set[PHI_DRY]
  const linear = set[LINEAR] !== 0
  const cooled = set[COOLED] !== 0
  q.now[RADIUS] = R
  for (let i = 0; i < cells; i++) {
    const thick = y[i * block] * inverse
    const share = y[i * block + 1] * inverse
    const square = thick * thick
    const fraction = (share * thick + phiDry * DRY * DRY) / (square + DRY * DRY)
    h[i] = thick
    psi[i] = share
    phi[i] = fraction
    evaluateClosures(q, fraction, i * STRIDE)
    if (cooled) coolCell(q, i * STRIDE)
    wetness[i] = square / (square + WET * WET)
    const x = thick > 0 ? thick / coverage : 0
    const d = 1 / (1 + x * x)
    cover[i] = linear ? x : x * x * d
    coverSlope[i] = (linear ? 1 : 2 * x * d * d) / coverage
    sigma[i] = gammaO - cover[i] * closure[i * STRIDE + SPREADING]
  }
  evaluatePressure(q, inverse)
}

function evaluatePressure(q: FilmState, inverse: f64): void {
  const h = q.h
  const lapL = q.lapL
  const lapC = q.lapC
  const lapR = q.lapR
  const closure = q.closure
  const curvature = q.curvature
  const pressure = q.pressure
  const last = q.cells - 1
  const buoyancy = q.set[BUOYANCY]
  for (let i = 0; i <= last; i++) {
    const left = i > 0 ? lapL[i] * h[i - 1] : 0
    const right = i < last ? lapR[i] * h[i + 1] : 0
    curvature[i] = (left + lapC[i] * h[i] + right) * inverse
    pressure[i] = -closure[i * STRIDE + LEVELLING] * curvature[i] + buoyancy * h[i]
  }
}

/** All closures and their derivatives at the fraction x, into `closure` from `to` on; see numerics/curveSet.ts. */
function evaluateClosures(q: FilmState, x: f64, to: i32): void {
  const curves = q.curves
  const closure = q.closure
  const n = q.set[INTERVALS]
  const inside = Math.min(1, Math.max(0, x))
  const i = inside < 1 ? Math.floor(inside * n) : n - 1
  const z = inside * n - i
  const beyond = x - inside
  let at = (i as i32) * CLOSURES * 4
  for (let k = to; k < to + CLOSURES; k++) {
    const c1 = curves[at + 1]
    const c2 = curves[at + 2]
    const c3 = curves[at + 3]
    const derivative = (c1 + z * (2 * c2 + z * 3 * c3)) * n
    closure[k] = curves[at] + z * (c1 + z * (c2 + z * c3)) + beyond * derivative
    closure[k + CLOSURES] = derivative
    at += 4
  }
}

/** Brings the closures of a cell to the film's temperature. */
function coolCell(q: FilmState, at: i32): void {
  const closure = q.closure
  const set = q.set
  const ambient = set[AMBIENT_WATER]
  closure[at + GAMMA_A] += set[COOL_TENSION]
  closure[at + SPREADING] -= set[COOL_TENSION]
  closure[at + ALCOHOL_LOSS] *= set[COOL_ALCOHOL]
  closure[at + CLOSURES + ALCOHOL_LOSS] *= set[COOL_ALCOHOL]
  closure[at + WATER_LOSS] = (closure[at + WATER_LOSS] + ambient) * set[COOL_WATER] - ambient
  closure[at + CLOSURES + WATER_LOSS] *= set[COOL_WATER]
}

/**
 * Share of a cell's fraction φ that is alcohol and not the composition lent to a dry spot; 1 where it is wet. Its sign
 * lets the loss run with the content: what has been overdrawn condenses back. Where a dry spot is lent nothing, φ is
 * what there is, and the share is 1.
 */
export function ownShare(q: FilmState, i: i32): f64 {
  if (q.set[LENDS] === 0) return 1
  const product = q.psi[i] * q.h[i]
  const size = Math.abs(product)
  return (q.phi[i] < 0 ? size : product) / (size + q.set[PHI_DRY] * DRY * DRY)
}
