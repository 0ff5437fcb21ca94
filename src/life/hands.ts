/** Hands that compute lives: this thread, or another one at the far end of a line. */
import type { Level } from './accuracy.ts'
import { CANCELLED, crashed, type LifeRunner } from './lives.ts'
import { defaultPreset } from './preset.ts'
import { type RunHooks, runLevelSync, runLife } from './run.ts'
import { transferables } from './transferables.ts'
import type { LifeResult, Preset } from './types.ts'

/** In this thread, without a pause. */
export const runHere: LifeRunner = (preset, { bare } = {}, level = preset.model.accuracy) =>
  runLevelSync(preset, level, bare)

/** A life under way. */
export interface Task {
  /** Rejects only if the hand was lost. */
  result: Promise<LifeResult>
  /** Ends it within some milliseconds; nobody waits for what comes of it then. */
  stop(): void
}

export interface Hand {
  /** Lives that it may be given at once: the one that it computes, and what it turns to next. */
  readonly takes: number
  /** @param bare as in RunHooks */
  begin(preset: Preset, level: Level, bare?: boolean): Task
}

/** The hand is gone, with all that it was given. */
export class HandLost extends Error {}

interface Waiting {
  rank: number
  stopped: boolean
  start(): Promise<void>
}

/** Computes lives in this thread one after the other, those of a lower rank first. */
export class OwnHand implements Hand {
  readonly takes = 1
  private readonly waiting: Waiting[] = []
  private busy = false

  /** @param pause lets a message in, so that a stop is heard */
  constructor(private readonly pause: NonNullable<RunHooks['pause']>) {}

  begin(preset: Preset, level: Level, bare = false, rank = 0): Task {
    let answer: (result: LifeResult) => void = () => {}
    const result = new Promise<LifeResult>((resolve) => {
      answer = resolve
    })
    const one: Waiting = {
      rank,
      stopped: false,
      start: async () => answer(await this.compute(preset, level, bare, one)),
    }
    this.waiting.push(one)
    void this.work()
    return {
      result,
      stop() {
        one.stopped = true
      },
    }
  }

  /** A life for its own sake: code that has run before is fast, and nobody waits for what is slow at first. */
  async warmUp(): Promise<void> {
    await this.begin(defaultPreset(), 'quick').result
  }

  private async compute(preset: Preset, level: Level, bare: boolean, one: Waiting): Promise<LifeResult> {
    if (one.stopped) return CANCELLED
    const hooks = { pause: this.pause, cancelled: () => one.stopped, bare }
    return runLife(preset, hooks, level).catch(crashed)
  }

  private async work(): Promise<void> {
    if (this.busy) return
    this.busy = true
    while (this.waiting.length > 0) {
      const least = Math.min(...this.waiting.map(({ rank }) => rank))
      const [next] = this.waiting.splice(
        this.waiting.findIndex(({ rank }) => rank === least),
        1,
      )
      await next!.start()
      await this.pause()
    }
    this.busy = false
  }
}

/** A way to another thread. */
export interface Line {
  send(message: unknown, handOver: ArrayBuffer[]): void
  hear(listener: (message: unknown) => void): void
}

type ToHand = { id: number; preset: Preset; level: Level; bare: boolean } | { stop: number }
interface FromHand {
  id: number
  result: LifeResult
}

/** Lets whoever is at the other end of the line use a hand. The answer ends all that is under way for it. */
export function lend(hand: OwnHand, line: Line, rank = 0): () => void {
  const tasks = new Map<number, Task>()
  line.hear((message) => {
    const said = message as ToHand
    if ('stop' in said) return tasks.get(said.stop)?.stop()
    const { id } = said
    const task = hand.begin(said.preset, said.level, said.bare, rank)
    tasks.set(id, task)
    void task.result.then((result) => {
      tasks.delete(id)
      const answer: FromHand = { id, result }
      line.send(answer, result.ok ? transferables(result.life) : [])
    })
  })
  return () => {
    for (const task of tasks.values()) task.stop()
  }
}

/** The hand at the far end of a line. */
export class FarHand implements Hand {
  /** The next life is there when one has ended: no message is waited for. */
  readonly takes = 2
  private next = 0
  private readonly open = new Map<number, { answer(result: LifeResult): void; fail(error: Error): void }>()
  private gone: HandLost | null = null

  constructor(private readonly line: Line) {
    line.hear((message) => {
      const { id, result } = message as FromHand
      this.open.get(id)?.answer(result)
      this.open.delete(id)
    })
  }

  begin(preset: Preset, level: Level, bare = false): Task {
    const id = this.next++
    const result = new Promise<LifeResult>((answer, fail) => {
      if (this.gone) fail(this.gone)
      else this.open.set(id, { answer, fail })
    })
    const ask: ToHand = { id, preset, level, bare }
    if (!this.gone) this.line.send(ask, [])
    let told = false
    const stop = () => {
      const word: ToHand = { stop: id }
      if (!told && this.open.has(id)) this.line.send(word, [])
      told = true
    }
    return { result, stop }
  }

  /** The thread at the far end has ended. */
  lose(reason: string): void {
    this.gone ??= new HandLost(reason)
    for (const { fail } of this.open.values()) fail(this.gone)
    this.open.clear()
  }
}
