/** What the compiled engine offers. Rows are given by their addresses. */
import { evaluateCells } from './cells.ts'
import { errorNorm } from './errorNorm.ts'
import { upwind } from './faces.ts'
import { FilmState } from './filmState.ts'
import { linearise } from './jacobian.ts'
import { combine } from './memory.ts'
import { commitUptake, commitWarmth, layOil, seeOil } from './oil.ts'
import { evaluate, layVapour, ratesOf } from './rates.ts'
import { factor, solve } from './solver.ts'

export {
  combine,
  commitUptake,
  commitWarmth,
  errorNorm,
  evaluate,
  evaluateCells,
  factor,
  layOil,
  layVapour,
  linearise,
  ratesOf,
  seeOil,
  solve,
  upwind,
}

export function newState(
  cells: i32,
  outer: i32,
  modes: i32,
  drinks: i32,
  stages: i32,
  intervals: i32,
): FilmState {
  return new FilmState(cells, outer, modes, drinks, stages, intervals)
}
