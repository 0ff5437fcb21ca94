/** Whoever needs many lives asks here: one life after the other, or several begun before they are needed. */
import type { Level } from './accuracy.ts'
import type { RunHooks } from './run.ts'
import type { LifeResult, Preset } from './types.ts'

/**
 * Computes one life: `runLife`, `runHere` and a pool of workers are such functions. It depends on preset and level
 * (that of the preset, unless given) alone; where it is wanted bare it has no frames.
 */
export interface LifeRunner {
  (
    preset: Preset,
    hooks?: Pick<RunHooks, 'cancelled' | 'bare'>,
    level?: Level,
  ): LifeResult | Promise<LifeResult>
  /** How many lives are computed at the same time when several are asked for; 1 where nothing is said. */
  readonly atOnce?: number
}

/** The answer of a life that was not wanted any more. */
export const CANCELLED: LifeResult = { ok: false, reason: 'cancelled', problems: [] }

/** The answer of a life that broke off. */
export const crashed = (error: unknown): LifeResult => ({
  ok: false,
  reason: 'crashed',
  problems: [{ where: 'engine', message: error instanceof Error ? error.message : String(error) }],
})

/** A life, or the answer that it broke off: nothing is thrown. */
export async function attempt(run: LifeRunner, ...asked: Parameters<LifeRunner>): Promise<LifeResult> {
  try {
    return await run(...asked)
  } catch (error) {
    return crashed(error)
  }
}

interface Begun {
  result: Promise<LifeResult>
  dropped: boolean
}

/** So many lives for each that is computed at the same time are begun ahead: a long one then holds up no others. */
const AHEAD = 8

/**
 * Lives begun before they are needed, where several are computed at the same time. Whoever needs them goes on as if
 * there were none: what is asked, in which order and what is made of it does not hang on how many there are.
 */
export class Foresight {
  private readonly begun = new Map<string, Begun>()

  constructor(
    private readonly run: LifeRunner,
    private readonly cancelled: () => boolean,
    /** Whether the lives are wanted with their frames. */
    private readonly whole = false,
  ) {}

  /** Number of things to look ahead; 0 where one life is computed after the other. */
  get reach(): number {
    const { atOnce = 1 } = this.run
    return atOnce > 1 ? AHEAD * atOnce : 0
  }

  /** Begins a life that will be needed; undefined where that helps nobody. */
  begin(preset: Preset, level?: Level): Promise<LifeResult> | undefined {
    if (this.reach === 0 || this.cancelled()) return undefined
    const name = nameOf(preset, level)
    const known = this.begun.get(name)
    if (known) return known.result
    const one: Begun = { dropped: false, result: Promise.resolve(CANCELLED) }
    const cancelled = () => one.dropped || this.cancelled()
    one.result = attempt(this.run, preset, { cancelled, bare: !this.whole }, level)
    this.begun.set(name, one)
    return one.result
  }

  /** The life of a preset, begun before or now. */
  life(preset: Preset, level?: Level): Promise<LifeResult> {
    const name = nameOf(preset, level)
    const known = this.begun.get(name)
    this.begun.delete(name)
    return known?.result ?? attempt(this.run, preset, { cancelled: this.cancelled, bare: !this.whole }, level)
  }

  /** Gives up what was begun and not needed. */
  drop(): void {
    for (const one of this.begun.values()) one.dropped = true
    this.begun.clear()
  }

  /** Things in their order; `begin` is called for those that come within reach, before they come. */
  *over<T>(things: Iterable<T>, begin: (thing: T) => void): Generator<T> {
    const { reach } = this
    const ahead: T[] = []
    for (const thing of things) {
      if (reach > 0) begin(thing)
      ahead.push(thing)
      if (ahead.length > reach) yield ahead.shift()!
    }
    yield* ahead
  }
}

const nameOf = (preset: Preset, level: Level = preset.model.accuracy): string =>
  `${level} ${JSON.stringify(preset)}`
