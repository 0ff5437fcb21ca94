/** Lives of a drop whose inputs are drawn from their widths: what bands and chances are made of. */
import { radiusAt } from '../life/sample.ts'
import type { Life, OutcomeName, Preset } from '../life/types.ts'
import { lifeTime } from './outputs.ts'
import { samplePoints } from './samplePoints.ts'
import { movedAll, spreadsOf, type UncertainId } from './uncertain.ts'
import { quickly, type RunLike, Work, type WorkHooks } from './work.ts'

/** What is kept of a life beside its course, SI; NaN where it has none. */
export interface Told {
  maxRadius: number
  maxRadiusTime: number
  collapseTime: number
  /** Until the collapse, or else the end. */
  life: number
}

export interface SampledLife {
  outcome: OutcomeName
  told: Told
  /** Radius at the times of the samples, m; after its end the last one. */
  R: Float64Array
}

export interface SampledDrop extends SampledLife {
  /** Standard deviations of the inputs. */
  z: readonly number[]
}

export interface Samples {
  status: 'done' | 'stopped'
  /** The inputs that are drawn. */
  inputs: readonly UncertainId[]
  /** From touch-down to the end of the drop as it is stated, s. */
  times: Float64Array
  /** The drop as it is stated, computed like the others; null if it failed. */
  base: SampledLife | null
  drops: readonly SampledDrop[]
  /** Points of the sequence that were tried: drops and failures. */
  tried: number
  /** Why lives failed. They are in no band. */
  failures: readonly string[]
}

export interface SampleOptions extends WorkHooks {
  /** Number of drops, those that are known included. A power of 2 fills the whole most evenly. */
  count: number
  /** Samples of the same drop to go on from. */
  known?: Samples | null
}

/** Times at which radii are kept. */
const MOMENTS = 96

const momentsOf = ({ series }: Life): Float64Array => {
  const end = series.t.at(-1) ?? 0
  return Float64Array.from({ length: MOMENTS }, (_, i) => (end * i) / (MOMENTS - 1))
}

function keptOf(life: Life, times: Float64Array): SampledLife {
  const { outcome, maxRadius, maxRadiusTime, collapseTime } = life.summary
  const told = { maxRadius, maxRadiusTime, collapseTime, life: lifeTime(life) }
  return { outcome, told, R: times.map((time) => radiusAt(life.series, time)) }
}

/**
 * Runs the drop as it is stated and drops with their inputs drawn from the widths of `UNCERTAIN`. Lives are compared among one
 * another, so that the quick mesh is good enough: what it does to all of them is in the stated one too. Drops may lie outside
 * what a preset file permits, so `run` must not check them. Stopped early, it gives what is known.
 */
export async function samplesOf(preset: Preset, run: RunLike, options: SampleOptions): Promise<Samples> {
  const stated = quickly(preset)
  const { acting } = spreadsOf(stated)
  const known = options.known ?? null
  const tried = known?.tried ?? 0
  const points = samplePoints(acting.length, tried, options.count)
  const work = new Work(run, options, points.length + (known ? 0 : 1))
  const first = known ? undefined : await work.life(stated)
  const times = known?.times ?? (first ? momentsOf(first) : new Float64Array(0))
  const so = {
    inputs: acting.map(({ input }) => input.id),
    times,
    base: known ? known.base : first ? keptOf(first, times) : null,
    drops: [...(known?.drops ?? [])],
    tried,
    failures: [...(known?.failures ?? []), ...work.failures],
  }
  // Without the stated drop there is nothing to compare with.
  const asked = so.base ? points.map((z) => ({ z, drop: movedAll(stated, acting, z) })) : []
  for (const { z, drop } of work.over(asked, (one) => work.foresee(one.drop))) {
    const failed = work.failures.length
    const life = await work.life(drop)
    if (work.stopped) break
    so.tried++
    if (life) so.drops.push({ z, ...keptOf(life, times) })
    else so.failures.push(...work.failures.slice(failed))
  }
  return { ...so, status: work.stopped ? 'stopped' : 'done' }
}
