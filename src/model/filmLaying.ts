/** Lays mesh and drop into the rows that the engine reads. */
import { clearBand } from '../engine/band.ts'
import type { FilmState } from '../engine/filmState.ts'
import { layMotionMesh } from '../engine/oilMotion.ts'
import {
  BUOYANCY,
  COVERAGE,
  CUTOFF,
  DISH,
  GAMMA_O,
  GROUPS,
  INTERVALS,
  LENDS,
  LINEAR,
  LINKS,
  PHI_DRY,
  WALL,
} from '../engine/places.ts'
import { GRID } from '../numerics/curveSet.ts'
import { fieldRates } from './bathFields.ts'
import type { FilmMesh } from './filmMesh.ts'
import type { DropProblem } from './problem.ts'

/** A composition (volume fraction) below this is none: what a dry spot is lent is then nothing. */
const LENT = 1e-12

/** Lays what belongs to the mesh: it outlasts a drop. */
export function layMesh(state: FilmState, mesh: FilmMesh): void {
  const { s, area, gap, weight, spread, slope, g } = mesh
  layMotionMesh(state.motion, s, area, mesh.zc)
  const rows = { s, area, gap, weight, g }
  for (const key of ['s', 'area', 'gap', 'weight', 'g'] as const) state[key].set(rows[key])
  ;[state.bathL, state.bathC, state.bathR].forEach((row, k) => {
    row.set(spread[k])
  })
  ;[state.slopeL, state.slopeC, state.slopeR].forEach((row, k) => {
    row.set(slope[k])
  })
}

/** Lays a drop into a state that has been cleared. @throws RangeError where the engine has no room or no form for it */
export function layProblem(state: FilmState, problem: DropProblem): void {
  laySettings(state, problem)
  layFields(state, problem)
  layCurvature(state, problem.edge)
}

function laySettings(state: FilmState, problem: DropProblem): void {
  const { set } = state
  set[COVERAGE] = problem.coverage
  set[CUTOFF] = problem.evaporationCutoff
  set[GAMMA_O] = problem.gammaO
  set[BUOYANCY] = problem.buoyancy
  set[PHI_DRY] = problem.phiDry
  set[LENDS] = problem.phiDry > LENT ? 1 : 0
  set[DISH] = problem.dishRadius
  set[LINEAR] = problem.coverageLaw === 'linear' ? 1 : 0
  set[WALL] = problem.edge === 'wall' ? 1 : 0
  const { intervals, coefficients } = problem.closures
  if (intervals > GRID) throw new RangeError(`closures on at most ${GRID} intervals`)
  set[INTERVALS] = intervals
  state.curves.set(coefficients)
}

function layFields(state: FilmState, { fields, depth, oilViscosity, oilDensity }: DropProblem): void {
  const { spread, decay, gain, groups, links } = fieldRates(
    fields,
    oilViscosity / oilDensity,
    oilViscosity,
    depth,
  )
  if (groups.some((size) => size !== 1 && size !== 3))
    throw new RangeError('bath fields drive each other in groups of three')
  state.spread.set(spread)
  state.decay.set(decay)
  state.gain.set(gain)
  state.groups.set(groups)
  state.linkTo.set(links.map(({ to }) => to))
  state.linkFrom.set(links.map(({ from }) => from))
  state.linkRate.set(links.map(({ rate }) => rate))
  state.set[GROUPS] = groups.length
  state.set[LINKS] = links.length
}

/** Coefficients of ∇²h, which know how the film ends. */
function layCurvature(state: FilmState, edge: DropProblem['edge']): void {
  const { s, area, gap, cells, lapL, lapC, lapR } = state
  for (let i = 0; i < cells; i++) {
    const left = i > 0 ? s[i] / gap[i] / area[i] : 0
    const last = i === cells - 1
    const right = last && edge === 'wall' ? 0 : s[i + 1] / gap[i + 1] / area[i]
    lapL[i] = left
    lapR[i] = last ? 0 : right
    lapC[i] = -left - right
  }
}

/** What of a state belongs to the mesh and outlasts a drop. */
const LASTING = new Set<keyof FilmState>([
  's',
  'area',
  'gap',
  'weight',
  'bathL',
  'bathC',
  'bathR',
  'slopeL',
  'slopeC',
  'slopeR',
  'g',
  'ringFlux',
  'vectors',
])

/** Empties all rows but those of the mesh, and the vectors, which are whoever's asked for them. */
export function clearState(state: FilmState): void {
  for (const [key, row] of Object.entries(state))
    if (row instanceof Float64Array && !LASTING.has(key as keyof FilmState)) row.fill(0)
  clearBand(state.band)
}
