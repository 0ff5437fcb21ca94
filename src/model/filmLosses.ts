import { ownShare } from '../engine/cells.ts'
import { ALCOHOL_LOSS, DISSOLVED, STRIDE, WATER_LOSS } from '../engine/places.ts'
import type { FilmSystem } from './film.ts'

/** Thickness that a cell loses, m/s. */
export interface CellLosses {
  /** As vapour; negative where it condenses. */
  vapour: number
  /** Into the oil. */
  oil: number
  /** As child drops. */
  child: number
}

/** What cell i of the state last evaluated loses, into `out`. The speeds of the step laid last hold. */
export function lossesOf(sys: FilmSystem, i: number, out: CellLosses): void {
  const { state, problem, vapour, R, shedAbove } = sys
  const { h, closure } = state
  const c = i * STRIDE
  const wet = h[i] / (Math.abs(h[i]) + problem.evaporationCutoff)
  const taking = h[i] > 0 ? wet : 0
  const own = ownShare(state, i)
  out.vapour =
    wet * own * vapour.alcohol[i] * closure[c + ALCOHOL_LOSS] -
    taking * vapour.alcoholBack[i] +
    wet * vapour.water[i] * closure[c + WATER_LOSS] -
    taking * vapour.waterBack[i]
  out.oil = problem.uptake
    ? (wet * (own * state.oilTake[i] * closure[c + DISSOLVED] - state.oilBack[i])) / (R * R)
    : 0
  out.child = i >= sys.shedFrom && h[i] > shedAbove ? sys.shedRate * (h[i] - shedAbove) : 0
}
