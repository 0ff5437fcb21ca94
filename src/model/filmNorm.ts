import { square } from '../numerics/elementary.ts'
import type { FilmSystem } from './film.ts'

/** The radius is what people measure: its tolerance is this part of rtol. */
const RADIUS_SHARE = 0.03
/** Bath speeds below this (m/s) are not resolved for their own sake: a resting lens may take long steps. */
const SLOW = 2e-4
/** Weight of the thicker neighbour in the error scale of a cell. */
const FRONT_SHARE = 0.3

/** Error of a step from y to yNew in units of the permitted one: root mean square over the cells, and the radius. */
export function filmErrorNorm(
  sys: FilmSystem,
  y: Float64Array,
  yNew: Float64Array,
  error: Float64Array,
): number {
  const { block, modes, rtol, thicknessFloor } = sys
  const N = sys.mesh.cells
  const R = yNew[sys.radiusAt]
  const R2 = R * R
  let fastest = SLOW
  for (let i = 0; i < N; i++) {
    for (let m = 0; m < modes; m++) fastest = Math.max(fastest, Math.abs(y[i * block + 2 + m]))
  }
  const speedScale = 1 / (rtol * fastest)
  let sum = 0
  let before = 0
  let here = Math.abs(yNew[0])
  for (let i = 0; i < N; i++) {
    const at = i * block
    const after = i + 1 < N ? Math.abs(yNew[at + block]) : 0
    // A steep front passes from cell to cell: its errors are measured by the thicker of the cells beside it.
    const thickest = Math.max(here, Math.abs(y[at]), FRONT_SHARE * Math.max(before, after))
    before = here
    here = after
    const scale = 1 / (rtol * thickest + thicknessFloor * R2)
    sum += square(error[at] * scale) + square(error[at + 1] * scale)
    let speeds = 0
    for (let m = 0; m < modes; m++) speeds += square(error[at + 2 + m] * speedScale)
    sum += speeds / Math.max(1, modes)
  }
  const edge = error[sys.radiusAt] / (RADIUS_SHARE * rtol * R)
  return Math.sqrt(sum / (3 * N) + edge * edge)
}
