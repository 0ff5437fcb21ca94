/** The oil under the drop in a step: laid before it, taken over after it. */
import type { FilmState } from './filmState.ts'
import type { Reals } from './memory.ts'
import { commitLayer, layLayer } from './oilLayer.ts'
import { layMotion, seeMotion } from './oilMotion.ts'
import { RADIUS, SPEED } from './places.ts'

/** Notes the motion of the state last evaluated. */
export function seeOil(q: FilmState): void {
  seeMotion(q.motion, q.speed, q.now[RADIUS], q.now[SPEED])
}

/** Lays a step of h seconds: the motion, what is taken up where the oil drinks, the warmth where `cools` is 1. */
export function layOil(q: FilmState, h: f64, cools: i32): void {
  layMotion(q.motion, h)
  if (q.drinks !== 0) layLayer(q.uptake, q.motion, h)
  if (cools !== 0) layLayer(q.warmth, q.motion, h)
}

/** Takes over what the accepted state y says of the uptake. */
export function commitUptake(q: FilmState, y: Reals): void {
  commitLayer(q.uptake, q.motion, y, q.oilAt)
}

/** Takes over a step of h seconds in which the last rates of evaporation drew warmth: heats in K (see Cooling of model/problem.ts). */
export function commitWarmth(q: FilmState, h: f64, alcoholHeat: f64, waterHeat: f64): void {
  const drawn = q.warmth.passed
  for (let i = 0; i < q.cells; i++)
    drawn[i] += h * (alcoholHeat * q.alcoholLoss[i] + waterHeat * q.waterLoss[i])
  commitLayer(q.warmth, q.motion, drawn, 0)
}
