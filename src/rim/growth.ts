/** Growth of several numbers of waves along one life. */
import { problemOf } from '../life/problemOf.ts'
import type { Life } from '../life/types.ts'
import { RimBase } from './base.ts'
import { type RimGeometry, rimGeometry, type Shift } from './geometry.ts'
import { rimKernels } from './kernels.ts'
import { RimMarch } from './march.ts'
import { RimOperator } from './operator.ts'
import { type RingFacts, ringFacts } from './ringFacts.ts'
import { LifeStates } from './states.ts'

export interface RimHooks {
  /** Share of the work that is done, 0–1. */
  progress?(share: number): void
  /** Awaited every few milliseconds of work; must let a real task in, so that a stop can be heard. */
  pause?(): Promise<void>
  /** True ends the work; the answer is then null. */
  cancelled?(): boolean
}

/** The part of t_max before which the ring is a cell or two wide, and nothing is computed. */
const START = 0.1
/** Steps: at most this part of the time, and this part of t_max. */
const STEP = { ofTime: 0.05, ofAll: 1 / 110 }
/** Work between two pauses, ms. */
const SLICE = 15

/** One number of waves: at every moment ln of the growth of the edge's displacement, and the bulge per displacement. */
export interface Waves {
  n: number
  /** ln G at the moments. */
  gain: Float64Array
  /** Largest |h1| outside the thin spot per |ζ|. */
  bulge: Float64Array
}

/** Part of the time over which growth rates are taken, to both sides: the ring's front fills one cell after another. */
const WINDOW = 0.1

/** Growth rate of waves at moment k, 1/s, as the mean over a window round it. */
export function rateAt(times: Float64Array, { gain }: Waves, k: number): number {
  let from = k
  let to = k
  while (from > 0 && times[from - 1] > (1 - WINDOW) * times[k]) from--
  while (to + 1 < times.length && times[to + 1] < (1 + WINDOW) * times[k]) to++
  return (gain[to] - gain[from]) / (times[to] - times[from])
}

/** Moments from 0.1 t_max to t_max, s. */
function moments(tMax: number, start = START): Float64Array {
  const times = [start * tMax]
  for (let t = times[0]; t < tMax * (1 - 1e-9); ) {
    const step = Math.min(STEP.ofTime * t, STEP.ofAll * tMax)
    t = tMax - t < 1.5 * step ? tMax : t + step
    times.push(t)
  }
  return Float64Array.from(times)
}

/** Life, mesh and operator, ready to carry waves. */
export class RimGrowth {
  readonly geometry: RimGeometry
  readonly times: Float64Array
  private readonly states: LifeStates
  private readonly operator: RimOperator
  private breathed = performance.now()

  /** @param life one that spreads; its ring must not have been shed */
  constructor(
    life: Pick<Life, 'preset' | 'frames' | 'summary'>,
    { shift, start }: { shift?: Shift; start?: number } = {},
  ) {
    const { problem } = problemOf(life.preset)
    this.states = new LifeStates(problem, life.frames)
    this.geometry = rimGeometry(this.states.sys.mesh, shift ? { shift } : {})
    this.operator = new RimOperator(this.geometry)
    this.times = moments(life.summary.maxRadiusTime, start)
  }

  /** Facts of the ring at every moment. */
  rings(): (RingFacts & { R: number; U: number })[] {
    return Array.from(this.times, (t) => {
      const sys = this.states.at(t)
      return { ...ringFacts(sys), R: sys.R, U: sys.U }
    })
  }

  /** Carries waves of every number given through the life; null if it was stopped. `done` is told 0–1. */
  async carry(
    numbers: readonly number[],
    hooks: RimHooks,
    done: (share: number) => void,
  ): Promise<Waves[] | null> {
    const { geometry, operator, times } = this
    const carried = []
    for (const n of numbers) {
      carried.push({ kernels: rimKernels(geometry, n), march: new RimMarch(operator.size) })
      if (await this.stopped(hooks)) return null
    }
    const waves: Waves[] = numbers.map((n) => ({
      n,
      gain: new Float64Array(times.length),
      bulge: new Float64Array(times.length),
    }))
    for (let k = 1; k < times.length; k++) {
      const dt = times[k] - times[k - 1]
      const sys = this.states.at(0.5 * (times[k] + times[k - 1]))
      const base = new RimBase(geometry, sys)
      const from = Math.max(ringCell(sys.h, geometry) - 1, 0)
      for (const [w, { kernels, march }] of carried.entries()) {
        operator.lay(base, kernels)
        if (!march.step(operator, dt)) throw new Error(`no step for n = ${kernels.n} at t = ${times[k]} s`)
        const one = waves[w]
        one.gain[k] = march.gain
        for (let i = from; i < geometry.count; i++)
          one.bulge[k] = Math.max(one.bulge[k], Math.abs(march.x[i]))
        if (await this.stopped(hooks)) return null
      }
      done(k / (times.length - 1))
    }
    return waves
  }

  /** Lets others work now and then; true if the work is to end. */
  private async stopped(hooks: RimHooks): Promise<boolean> {
    if (performance.now() - this.breathed < SLICE) return false
    await hooks.pause?.()
    this.breathed = performance.now()
    return hooks.cancelled?.() ?? false
  }
}

/** Cell of the thinnest film outside the middle part, from where on the bulge is looked for; 0 if the film falls all the way. */
function ringCell(h: Float64Array, { first, count }: RimGeometry): number {
  let top = count - 1
  let low = count - 1
  for (let i = count - 2; i >= 0; i--) {
    if (h[first + i] > h[first + top]) {
      if (h[first + low] < 0.98 * h[first + top]) break
      top = low = i
    } else if (h[first + i] < h[first + low]) low = i
  }
  return low < top ? low : 0
}
