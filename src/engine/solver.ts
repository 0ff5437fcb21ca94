/**
 * Solves (1/hg − J) x = b for the film on its bath.
 *
 * The matrix is a band with the outer bath eliminated into it, bordered by the columns of U and R. U is a sum of unknowns
 * (a rank-one term), R follows from its own row, so that one extra solve per factorisation settles both.
 */
import { factorBand, solveBand } from './band.ts'
import type { FilmState } from './filmState.ts'
import { copy, type Reals } from './memory.ts'
import { expandOuter, factorOuter, reduceOuter } from './outerElimination.ts'
import {
  BOOKS,
  CHILD_ALCOHOL,
  CHILD_VOLUME,
  CLOSING,
  LINKS,
  LOST_ALCOHOL,
  LOST_VOLUME,
  STEP,
  WALL,
} from './places.ts'

/** @returns 0 where the matrix is singular, else 1 */
export function factor(q: FilmState, hg: f64): i32 {
  const now = q.now
  now[STEP] = hg
  if (!(factorFilm(q, hg) < Infinity)) return 0
  now[CLOSING] = 1
  if (q.set[WALL] !== 0) return 1
  const border = q.border
  for (let p = 0; p < q.booksAt; p++) border[p] = q.byU[p] + hg * q.byR[p]
  solveFilm(q, border)
  const closing = 1 - edgeSpeed(q, border)
  now[CLOSING] = closing
  return Math.abs(closing) > 1e-12 ? 1 : 0
}

/** @returns a sum of sizes, finite if all pivots are sound */
function factorFilm(q: FilmState, hg: f64): f64 {
  const band = q.band
  const jac = band.data
  const kept = q.kept
  if (q.modes === 0) return factorBand(band, 1 / hg)
  factorOuter(q, hg)
  const first = (q.cells - 1) * q.block + 2
  for (let m = 0; m < q.modes; m++) band.extraDiagonal[first + m] = q.edgeDiagonal[m]
  // What the eliminated groups add across their edge rows goes into the matrix for this factorisation only.
  const links = q.set[LINKS] as i32
  for (let c = 0; c < links; c++) {
    const at = acrossAt(q, first, c)
    kept[c] = jac[at]
    jac[at] -= q.edgeAcross[c]
  }
  const sum = factorBand(band, 1 / hg)
  for (let c = 0; c < links; c++) jac[acrossAt(q, first, c)] = kept[c]
  return sum
}

/** Place in the band of link c between the fields of which the first stands in row `first`. */
function acrossAt(q: FilmState, first: i32, c: i32): i32 {
  const to = q.linkTo[c] as i32
  return (first + to) * q.band.width + q.band.half + (q.linkFrom[c] as i32) - to
}

function edgeSpeed(q: FilmState, b: Reals): f64 {
  const at = (q.cells - 1) * q.block + 2
  let sum: f64 = 0
  for (let m = 0; m < q.modes; m++) sum += b[at + m]
  return sum
}

function solveFilm(q: FilmState, b: Reals): void {
  const vector = q.band.vector
  if (q.modes > 0) reduceOuter(q, b)
  copy(vector, b, q.outerAt)
  solveBand(q.band)
  copy(b, vector, q.outerAt)
  if (q.modes > 0) expandOuter(q, b)
}

/** Solves in place of b with the last factorisation. */
export function solve(q: FilmState, b: Reals): void {
  const byR = q.byR
  const border = q.border
  const hg = q.now[STEP]
  const end = q.booksAt
  const bR = b[q.radiusAt]
  const moving = q.set[WALL] === 0
  const volume = conserved(q, b, 0, LOST_VOLUME, CHILD_VOLUME)
  const alcohol = conserved(q, b, 1, LOST_ALCOHOL, CHILD_ALCOHOL)
  if (moving) for (let p = 0; p < end; p++) b[p] += hg * bR * byR[p]
  solveFilm(q, b)
  let dR = hg * bR
  if (moving) {
    const dU = edgeSpeed(q, b) / q.now[CLOSING]
    for (let p = 0; p < end; p++) b[p] += dU * border[p]
    dR += hg * dU
  }
  b[q.radiusAt] = dR
  solveBooks(q, b, dR)
  if (q.drinks !== 0) solveOil(q, b, dR)
  settle(q, b, 0, q.h, hg * volume - conserved(q, b, 0, LOST_VOLUME, CHILD_VOLUME))
  settle(q, b, 1, q.psi, hg * alcohol - conserved(q, b, 1, LOST_ALCOHOL, CHILD_ALCOHOL))
}

/** What is in the drop, evaporated, in child drops and in the oil together, divided by 2π. */
function conserved(q: FilmState, b: Reals, offset: i32, lost: i32, child: i32): f64 {
  const area = q.area
  const block = q.block
  let sum = b[q.booksAt + lost] + b[q.booksAt + child]
  for (let i = 0; i < q.cells; i++) sum += area[i] * b[i * block + offset]
  if (q.drinks !== 0) for (let i = 0; i < q.cells; i++) sum += area[i] * b[q.oilAt + i]
  return sum
}

/**
 * One step of iterative refinement in the direction of the conserved sum. On it the matrix acts as 1/hg exactly, so
 * that the defect that rounding leaves behind a factorisation of stiffness 1e12 is known, and undone in proportion to
 * the contents of the cells (`share`: their thickness or alcohol).
 */
function settle(q: FilmState, b: Reals, offset: i32, share: Reals, defect: f64): void {
  const area = q.area
  const block = q.block
  let sum: f64 = 0
  for (let i = 0; i < q.cells; i++) sum += area[i] * Math.max(0, share[i])
  if (!(sum > 0)) return
  for (let i = 0; i < q.cells; i++) b[i * block + offset] += (defect * Math.max(0, share[i])) / sum
}

/** The books follow from the film: nothing depends on them. */
function solveBooks(q: FilmState, b: Reals, dR: f64): void {
  const books = q.books
  const block = q.block
  const at = q.booksAt
  const hg = q.now[STEP]
  for (let k = 0; k < BOOKS; k++) {
    let sum = b[at + k] + q.byR[at + k] * dR
    for (let i = 0; i < q.cells; i++) {
      const entry = 2 * (BOOKS * i + k)
      sum += books[entry] * b[i * block] + books[entry + 1] * b[i * block + 1]
    }
    b[at + k] = hg * sum
  }
}

/** So do the cells' books of what the oil has taken. */
function solveOil(q: FilmState, b: Reals, dR: f64): void {
  const block = q.block
  const hg = q.now[STEP]
  for (let i = 0; i < q.cells; i++) {
    const row = q.oilAt + i
    const fromFilm = q.oil[2 * i] * b[i * block] + q.oil[2 * i + 1] * b[i * block + 1]
    b[row] = hg * (b[row] + q.byR[row] * dR + fromFilm)
  }
}
