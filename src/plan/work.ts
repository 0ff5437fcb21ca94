/** Runs of many lives in a row: progress, stop, failures. The engine is handed in, so that a worker can be it. */
import type { Life, LifeResult, Preset } from '../life/types.ts'

/** Computes one life; `runLife` and `runLifeSync` of src/life are such functions. */
export type RunLike = (preset: Preset, hooks?: { cancelled?(): boolean }) => LifeResult | Promise<LifeResult>

export interface WorkHooks {
  /** Called after every life. `total` may shrink when fewer lives are needed than thought. */
  progress?(done: number, total: number): void
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

  constructor(
    private readonly run: RunLike,
    private readonly hooks: WorkHooks,
    /** Number of lives that will be needed, as far as is known. */
    public total: number,
  ) {}

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
    const result = await this.attempt(preset)
    this.done++
    this.hooks.progress?.(this.done, Math.max(this.done, this.total))
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

  private async attempt(preset: Preset): Promise<LifeResult> {
    try {
      return await this.run(preset, { cancelled: () => this.cancelled })
    } catch (error) {
      const message = error instanceof Error ? error.message : String(error)
      return { ok: false, reason: 'crashed', problems: [{ where: 'engine', message }] }
    }
  }
}

/** The same preset with the quickest mesh: for comparisons among lives, where their common error drops out. */
export function quickly(preset: Preset): Preset {
  const { innerCells: _, outerCells: __, ...model } = preset.model
  return { ...preset, model: { ...model, accuracy: 'quick' } }
}
