/** Size of the error of a step. */
import type { FilmState } from './filmState.ts'
import type { Reals } from './memory.ts'
import { THICKNESS_FLOOR, TOLERANCE } from './places.ts'

/** The radius is what people measure: its tolerance is this part of that of the rest. */
const RADIUS_SHARE: f64 = 0.03
/** Bath speeds below this (m/s) are not resolved for their own sake: a resting lens may take long steps. */
const SLOW: f64 = 2e-4
/** Weight of the thicker neighbour in the error scale of a cell. */
const FRONT_SHARE: f64 = 0.3

/** Error of a step from y to yNew in units of the permitted one: root mean square over the cells, and the radius. */
export function errorNorm(q: FilmState, y: Reals, yNew: Reals, error: Reals): f64 {
  const block = q.block
  const modes = q.modes
  const cells = q.cells
  const tolerance = q.set[TOLERANCE]
  const R = yNew[q.radiusAt]
  const least = q.set[THICKNESS_FLOOR] * (R * R)
  const speedScale = 1 / (tolerance * fastest(q, y))
  let sum: f64 = 0
  let before: f64 = 0
  let here = Math.abs(yNew[0])
  for (let i = 0; i < cells; i++) {
    const at = i * block
    const after = i + 1 < cells ? Math.abs(yNew[at + block]) : 0
    // A steep front passes from cell to cell: its errors are measured by the thicker of the cells beside it.
    const thickest = Math.max(Math.max(here, Math.abs(y[at])), FRONT_SHARE * Math.max(before, after))
    before = here
    here = after
    const scale = 1 / (tolerance * thickest + least)
    const volume = error[at] * scale
    const alcohol = error[at + 1] * scale
    sum += volume * volume + alcohol * alcohol
    let speeds: f64 = 0
    for (let m = 0; m < modes; m++) {
      const speed = error[at + 2 + m] * speedScale
      speeds += speed * speed
    }
    sum += speeds / Math.max(1, modes as f64)
  }
  const edge = error[q.radiusAt] / (RADIUS_SHARE * tolerance * R)
  return Math.sqrt(sum / (3 * (cells as f64)) + edge * edge)
}

/** Largest size of a bath speed under the drop, at least SLOW. */
function fastest(q: FilmState, y: Reals): f64 {
  let most = SLOW
  for (let i = 0; i < q.cells; i++) {
    const at = i * q.block + 2
    for (let m = 0; m < q.modes; m++) most = Math.max(most, Math.abs(y[at + m]))
  }
  return most
}
