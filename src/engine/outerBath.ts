/**
 * Bath fields between the drop's edge (face 0, whose unknowns belong to the last film block) and the dish wall (face
 * `outer`, u = 0). Their part of the matrix is eliminated from the wall inward, see outerElimination.ts.
 */

import { drive } from './fieldLinks.ts'
import type { FilmState } from './filmState.ts'
import { clear, type Reals } from './memory.ts'
import { DISH, EDGE_GAP, RADIUS, SPEED } from './places.ts'

/** Index in a state of field m at the edge, and (less k) at outer face k ≥ 1. */
export function edgeOf(q: FilmState, m: i32): i32 {
  return (q.cells - 1) * q.block + 2 + m
}
export function beyondEdge(q: FilmState, m: i32): i32 {
  return q.outerAt + m * (q.outer - 1) - 1
}

/** Lays the outer mesh for an edge and a dish (m); `inside` is s of the face next to the edge. */
export function layOuterMesh(q: FilmState, edge: f64, dish: f64, inside: f64): void {
  const radius = q.radius
  const g = q.g
  const outer = q.outer
  for (let k = 0; k <= outer; k++) radius[k] = edge + (dish - edge) * g[k]
  let before = edge * inside
  for (let k = 0; k < outer; k++) {
    const at = radius[k]
    const after = radius[k + 1]
    const left = at - before
    const right = after - at
    const areaIn = left * (at + before)
    const areaOut = right * (after + at)
    const gap = (areaIn + areaOut) / (4 * at)
    q.outL[k] = (2 * before) / (areaIn * gap)
    q.outR[k] = (2 * after) / (areaOut * gap)
    q.outC[k] = (-2 * at * (areaIn + areaOut)) / (areaIn * areaOut * gap)
    const share = 1 - g[k]
    if (k === 0) {
      q.now[EDGE_GAP] = gap
      // At the edge u has a kink: the finite-volume mean of its slope, not the three-point formula.
      layDrift(q, 0, -share / (left + right), share / (left + right))
    } else {
      const scale = share / (left * right * (left + right))
      layDrift(q, k, -right * right * scale, left * left * scale)
    }
    before = at
  }
}

function layDrift(q: FilmState, k: i32, left: f64, right: f64): void {
  q.driftL[k] = left
  q.driftC[k] = -left - right
  q.driftR[k] = right
}

/** Adds low u[k−1] + own u[k] + up u[k+1] of every field and face to `out`; `stride` 0: bands that all fields share. */
function addBands(q: FilmState, y: Reals, out: Reals, low: Reals, own: Reals, up: Reals, stride: i32): void {
  const outer = q.outer
  for (let m = 0; m < q.modes; m++) {
    const base = beyondEdge(q, m)
    const edge = edgeOf(q, m)
    const at = m * stride
    let before = y[edge - q.block]
    let here = y[edge]
    let place = edge
    for (let k = 0; k < outer; k++) {
      const after = k + 1 < outer ? y[base + k + 1] : 0
      out[place] += low[at + k] * before + own[at + k] * here + up[at + k] * after
      before = here
      here = after
      place = base + k + 1
    }
  }
}

/** Does so with the bands of the mesh as it is laid, scaled, and leaves those of the state as they are. */
function addLaid(q: FilmState, y: Reals, out: Reals, scale: f64): void {
  const outer = q.outer
  const L = q.outL
  const C = q.outC
  const R = q.outR
  const driftL = q.driftL
  const driftC = q.driftC
  const driftR = q.driftR
  const U = q.now[SPEED]
  for (let m = 0; m < q.modes; m++) {
    const d = q.spread[m]
    const base = beyondEdge(q, m)
    let place = edgeOf(q, m)
    let before = y[place - q.block]
    let here = y[place]
    for (let k = 0; k < outer; k++) {
      const after = k + 1 < outer ? y[base + k + 1] : 0
      const low = d * L[k] + U * driftL[k]
      const own = d * C[k] + U * driftC[k]
      const up = d * R[k] + U * driftR[k]
      out[place] += scale * (low * before + own * here + up * after)
      before = here
      here = after
      place = base + k + 1
    }
  }
}

/** Rates of all fields at the edge and outside it. */
export function outerRates(q: FilmState, y: Reals, out: Reals): void {
  const outer = q.outer
  layBands(q)
  const force = q.force[q.cells]
  for (let m = 0; m < q.modes; m++) {
    const base = beyondEdge(q, m)
    const edge = edgeOf(q, m)
    out[edge] = q.gain[m] * force - q.decay[m] * y[edge]
    const fading = -q.decay[m]
    for (let k = 1; k < outer; k++) out[base + k] = fading * y[base + k]
  }
  addBands(q, y, out, q.low, q.own, q.up, outer)
  drive(q, y, out, edgeOf(q, 0), 1, 1, 1)
  drive(q, y, out, q.outerAt, outer - 1, 1, outer - 1)
}

function layBands(q: FilmState): void {
  const outer = q.outer
  const low = q.low
  const own = q.own
  const up = q.up
  const U = q.now[SPEED]
  for (let m = 0; m < q.modes; m++) {
    const d = q.spread[m]
    for (let k = 0; k < outer; k++) {
      const at = m * outer + k
      low[at] = d * q.outL[k] + U * q.driftL[k]
      own[at] = d * q.outC[k] + U * q.driftC[k]
      up[at] = d * q.outR[k] + U * q.driftR[k]
    }
  }
}

/**
 * Direct dependence of the outer rates, of which the last are those of y, on the edge speed U and, by difference, on the
 * radius R (force fixed).
 */
export function lineariseOuter(q: FilmState, y: Reals): void {
  const R = q.now[RADIUS]
  const delta = 1e-6 * R
  const pull = q.force[q.cells] * q.now[EDGE_GAP]
  moveEdge(q, y, delta, pull, 1)
  moveEdge(q, y, delta, pull, -1)
  layOuterMesh(q, R, q.set[DISH], q.s[q.cells - 1])
  for (let m = 0; m < q.modes; m++) {
    q.byU[edgeOf(q, m)] = 0
    clear(q.byU, beyondEdge(q, m) + 1, q.outer - 1)
  }
  addBands(q, y, q.byU, q.driftL, q.driftC, q.driftR, 0)
}

/** One displacement of a central difference by R. */
function moveEdge(q: FilmState, y: Reals, delta: f64, pull: f64, sign: f64): void {
  layOuterMesh(q, q.now[RADIUS] + sign * delta, q.set[DISH], q.s[q.cells - 1])
  const scale = sign / (2 * delta)
  addLaid(q, y, q.byR, scale)
  for (let m = 0; m < q.modes; m++) q.byR[edgeOf(q, m)] += (scale * q.gain[m] * pull) / q.now[EDGE_GAP]
}
