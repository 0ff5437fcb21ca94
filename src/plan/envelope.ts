/** How far R(t) moves with the uncertain inputs: the lives of a band, laid over one another. Pure. */
import type { LifeRunner } from '../life/lives.ts'
import type { Life } from '../life/types.ts'
import { locate } from '../life/view.ts'
import { MOVERS, reachOf } from './neighbours.ts'

/** By how much the radius may be smaller or larger than that of the central life, m, at times t, s. */
export interface Envelope {
  t: Float64Array
  down: Float64Array
  up: Float64Array
}

type Curve = Pick<Life['series'], 't' | 'R'>

/** Computes lives by `run` and adds their curves in the order in which they are asked for; undefined where a life failed. */
export function noting(run: LifeRunner, curves: (Curve | undefined)[]): LifeRunner {
  const noted: LifeRunner = async (...asked) => {
    const at = curves.push(undefined) - 1
    const result = await run(...asked)
    if (result.ok && result.life.summary.outcome !== 'failed') curves[at] = result.life.series
    return result
  }
  return Object.assign(noted, { atOnce: run.atOnce ?? 1 })
}

/** R at a time; after the end of the curve the last one, so that the envelope has no steps. */
function radiusAt({ t, R }: Curve, time: number): number {
  if (t.length === 0) return Number.NaN
  const { row, fraction } = locate(t, t.length, time)
  return fraction === 0 ? R[row]! : R[row]! + fraction * (R[row + 1]! - R[row]!)
}

/**
 * @param curves in the order in which bandOf runs its lives: the central one, then down and up for each input;
 * undefined where a life failed. @param points number of times, from 0 to the end of the central life.
 * Shifts add up as in reachOf. null without a central life.
 */
export function envelopeOf(curves: readonly (Curve | undefined)[], points = 96): Envelope | null {
  const [central, ...neighbours] = curves
  const end = central?.t.at(-1) ?? 0
  if (!central || !(end > 0)) return null
  const t = Float64Array.from({ length: points }, (_, i) => (end * i) / (points - 1))
  const down = new Float64Array(points)
  const up = new Float64Array(points)
  t.forEach((time, i) => {
    const R = radiusAt(central, time)
    const ends = MOVERS.map(({ input }, k) => ({
      input,
      values: [neighbours[2 * k], neighbours[2 * k + 1]].map((curve) =>
        curve ? radiusAt(curve, time) : Number.NaN,
      ),
    }))
    const reach = reachOf(R, ends, [0, Number.POSITIVE_INFINITY])
    down[i] = R - reach.low
    up[i] = reach.high - R
  })
  return { t, down, up }
}
