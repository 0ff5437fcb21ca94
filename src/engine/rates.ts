/** Rates of a state: what its fluxes, losses and forces change. */
import { evaluateCells, ownShare } from './cells.ts'
import { evaluateFaces } from './faces.ts'
import { drive } from './fieldLinks.ts'
import type { FilmState } from './filmState.ts'
import type { Reals } from './memory.ts'
import { outerRates } from './outerBath.ts'
import {
  ALCOHOL_IN_AIR,
  ALCOHOL_LOSS,
  CHILD_ALCOHOL,
  CHILD_VOLUME,
  CUTOFF,
  DISSOLVED,
  ENHANCEMENT,
  LOST_ALCOHOL,
  LOST_VOLUME,
  RADIUS,
  SHED_ABOVE,
  SHED_FROM,
  SHED_RATE,
  SPEED,
  START_UP,
  STILL,
  STRIDE,
  WATER_IN_AIR,
  WATER_LOSS,
} from './places.ts'

/** Cell quantities, face speeds and forces, and the fluxes of the state y. */
export function evaluate(q: FilmState, y: Reals): void {
  evaluateCells(q, y)
  evaluateFaces(q, y)
}

/** Rates of the state y, which has been evaluated last, into `out`. */
export function ratesOf(q: FilmState, y: Reals, out: Reals): void {
  layVapour(q)
  cellRates(q, out)
  if (q.drinks !== 0) oilRates(q, out)
  if (q.modes > 0) {
    bathRates(q, y, out)
    outerRates(q, y, out)
  }
  out[q.radiusAt] = q.now[SPEED]
}

/** Vapour speeds of still air for the edge as it is; those of other air do not follow the edge within a step. */
export function layVapour(q: FilmState): void {
  const set = q.set
  if (set[STILL] === 0) return
  const R = q.now[RADIUS]
  const da = set[ALCOHOL_IN_AIR]
  const dw = set[WATER_IN_AIR]
  const enhancement = set[ENHANCEMENT]
  const lateA = Math.sqrt(da) * set[START_UP]
  const lateW = Math.sqrt(dw) * set[START_UP]
  for (let i = 0; i < q.cells; i++) {
    const ring = q.ringFlux[i] / (q.area[i] * R)
    q.alcoholSpeed[i] = enhancement * (da * ring + lateA)
    q.waterSpeed[i] = enhancement * (dw * ring + lateW)
    q.alcoholSpeedByR[i] = (-enhancement * da * ring) / R
    q.waterSpeedByR[i] = (-enhancement * dw * ring) / R
  }
}

function cellRates(q: FilmState, out: Reals): void {
  const set = q.set
  const h = q.h
  const closure = q.closure
  const area = q.area
  const volumeFlux = q.volumeFlux
  const alcoholFlux = q.alcoholFlux
  const block = q.block
  const cells = q.cells
  const cutoff = set[CUTOFF]
  const shedFrom = set[SHED_FROM]
  const shedAbove = set[SHED_ABOVE]
  const shedRate = set[SHED_RATE]
  const R2 = q.now[RADIUS] * q.now[RADIUS]
  let lostVolume: f64 = 0
  let lostAlcohol: f64 = 0
  let childVolume: f64 = 0
  let childAlcohol: f64 = 0
  volumeFlux[cells] = 0
  alcoholFlux[cells] = 0
  for (let i = 0; i < cells; i++) {
    const c = i * STRIDE
    const wet = h[i] / (Math.abs(h[i]) + cutoff)
    const taking = h[i] > 0 ? wet * R2 : 0
    const alcohol =
      wet * ownShare(q, i) * q.alcoholSpeed[i] * closure[c + ALCOHOL_LOSS] * R2 - taking * q.alcoholBack[i]
    const all = alcohol + wet * q.waterSpeed[i] * closure[c + WATER_LOSS] * R2 - taking * q.waterBack[i]
    const leavingVolume = (i as f64) >= shedFrom && h[i] > shedAbove ? shedRate * (h[i] - shedAbove) * R2 : 0
    const leavingAlcohol = q.phi[i] * leavingVolume
    const a = area[i]
    out[i * block] = (volumeFlux[i] - volumeFlux[i + 1]) / a - all - leavingVolume
    out[i * block + 1] = (alcoholFlux[i] - alcoholFlux[i + 1]) / a - alcohol - leavingAlcohol
    lostVolume += a * all
    q.alcoholLoss[i] = alcohol
    q.waterLoss[i] = all - alcohol
    lostAlcohol += a * alcohol
    childVolume += a * leavingVolume
    childAlcohol += a * leavingAlcohol
  }
  const at = q.booksAt
  out[at + LOST_VOLUME] = lostVolume
  out[at + LOST_ALCOHOL] = lostAlcohol
  out[at + CHILD_VOLUME] = childVolume
  out[at + CHILD_ALCOHOL] = childAlcohol
}

/** What passes into the oil. It leaves a cell as evaporation does: no more from a dry spot than there is. */
function oilRates(q: FilmState, out: Reals): void {
  const h = q.h
  const block = q.block
  const cutoff = q.set[CUTOFF]
  for (let i = 0; i < q.cells; i++) {
    const wet = h[i] / (Math.abs(h[i]) + cutoff)
    const dissolved = q.closure[i * STRIDE + DISSOLVED]
    const passing = wet * (ownShare(q, i) * q.oilTake[i] * dissolved - q.oilBack[i])
    out[i * block] -= passing
    out[i * block + 1] -= passing
    out[q.oilAt + i] = passing
  }
}

function bathRates(q: FilmState, y: Reals, out: Reals): void {
  const block = q.block
  const force = q.force
  const s = q.s
  const bathL = q.bathL
  const bathC = q.bathC
  const bathR = q.bathR
  const slopeL = q.slopeL
  const slopeC = q.slopeC
  const slopeR = q.slopeR
  const cells = q.cells
  const R = q.now[RADIUS]
  const drift = q.now[SPEED] / R
  for (let m = 0; m < q.modes; m++) {
    const spreading = q.spread[m] / (R * R)
    q.diffusion[m] = spreading
    const fading = q.decay[m]
    const answer = q.gain[m]
    let left: f64 = 0
    let at = 2 + m
    let here = y[at]
    for (let f = 1; f < cells; f++) {
      const right = y[at + block]
      const stretch = s[f] * drift
      const low = spreading * bathL[f] + stretch * slopeL[f]
      const own = spreading * bathC[f] + stretch * slopeC[f]
      const up = spreading * bathR[f] + stretch * slopeR[f]
      out[at] = answer * force[f] + low * left + (own - fading) * here + up * right
      left = here
      here = right
      at += block
    }
  }
  drive(q, y, out, 2, 1, block, cells - 1)
}
