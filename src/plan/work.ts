/** Runs of many lives in a row: progress, stop, failures. The engine is handed in, so that a worker can be it. */
import { companionOf } from '../life/accuracy.ts'
import { Foresight, type LifeRunner } from '../life/lives.ts'
import type { Life, LifeResult, Preset } from '../life/types.ts'

export type RunLike = LifeRunner

export interface WorkHooks {
  /** Called after every life. `total` may shrink when fewer lives are needed than thought. */
  progress?(done: number, total: number): void
  /** Whether the lives with their frames are wanted; else they have none. */
  whole?: boolean
  /** True ends the work; what is known by then is the result. */
  cancelled?(): boolean
  /** Awaited between two lives; must let a real task in, so that a stop can be heard. */
  pause?(): Promise<void>
}

/** One series of lives. */
export class Work {
  done = 0
  stopped = false
  /** Why lives failed that were asked for. */
  readonly failures: string[] = []
  private readonly foresight: Foresight

  constructor(
    run: RunLike,
    private readonly hooks: WorkHooks,
    /** Number of lives that will be needed, as far as is known. */
    public total: number,
  ) {
    this.foresight = new Foresight(run, () => this.cancelled, hooks.whole)
  }

  private get cancelled(): boolean {
    return this.hooks.cancelled?.() ?? false
  }

  /** The whole life of a preset; undefined if the work was stopped or this life failed. */
  async life(preset: Preset): Promise<Life | undefined> {
    if (this.done > 0) await this.hooks.pause?.()
    if (this.stopped || this.cancelled) {
      this.stopped = true
      return undefined
    }
    const result = await this.foresight.life(preset)
    this.done++
    this.hooks.progress?.(this.done, Math.max(this.done, this.total))
    return this.wholeLife(result)
  }

  private wholeLife(result: LifeResult): Life | undefined {
    if (!result.ok) {
      if (result.reason === 'cancelled') this.stopped = true
      else this.failures.push(result.problems.map((p) => p.message).join(' '))
      return undefined
    }
    const { life } = result
    if (life.status !== 'done') this.stopped = true
    else if (life.summary.outcome === 'failed') this.failures.push(life.summary.cause)
    else return life
    return undefined
  }

  /** Computes a life that is not counted, foreseen or not. */
  readonly beside: LifeRunner = (preset, _, level) => this.foresight.life(preset, level)

  /**
   * Things in their order. Where several lives are computed at the same time, those that `begin` names (`foresee`,
   * `foreseeErrors`) for things still to come are begun meanwhile.
   */
  over<T>(things: Iterable<T>, begin: (thing: T) => void): Iterable<T> {
    return this.foresight.over(things, begin)
  }

  /** The life of a preset will be needed. */
  foresee(preset: Preset): void {
    this.foresight.begin(preset)
  }

  /** The errors of the life of a preset will be needed. */
  foreseeErrors(preset: Preset): void {
    const companion = companionOf(preset)
    this.foresight.begin(companion.preset, companion.level)
  }
}

/** The same preset with the quickest mesh: for comparisons among lives, where their common error drops out. */
export function quickly(preset: Preset): Preset {
  const { innerCells: _, outerCells: __, ...model } = preset.model
  return { ...preset, model: { ...model, accuracy: 'quick' } }
}
