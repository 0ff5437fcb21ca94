/** Lives computed at the same time by several hands: this thread first, and workers once the work takes long enough. */
import type { Level } from './accuracy.ts'
import type { Hand, Task } from './hands.ts'
import { CANCELLED, crashed, type LifeRunner } from './lives.ts'
import type { LifeResult, Preset } from './types.ts'

interface Wish {
  preset: Preset
  level: Level
  bare: boolean
  cancelled(): boolean
  answer(result: LifeResult): void
  /** Why the hands were lost that had it. */
  lost: string[]
}

export interface PoolOptions {
  /** Most hands, this thread included. */
  most: number
  /** Asks for one more hand. `join` or `miss` is the answer. */
  grow?(): void
  /** Time for which lives must have waited before further hands are asked for, ms. */
  patience?: number
}

/** Time between two looks whether lives are still wanted, ms. */
const LOOK = 10
/** A worker takes about twice as long to begin; whoever is done by then needs none. */
const PATIENCE = 250
/** A life that took so many hands with it is given up. */
const MOST_LOST = 2
/** After so many hands that came to nothing no others are asked for. */
const MOST_MISSED = 3

/**
 * Gives lives to the hands that have least to do, in the order in which they were asked for. A life depends on nothing
 * but preset and level, so that it does not matter who computes it; where a hand is lost another one does it again.
 */
export class LifePool {
  private readonly hands = new Map<Hand, Map<Wish, Task>>()
  private readonly waiting: Wish[] = []
  private timer: ReturnType<typeof setInterval> | undefined
  /** Time for which lives have waited, and since when it was counted, ms. */
  private waited = 0
  private counted = Number.NaN
  private coming = 0
  private missed = 0
  private most: number
  /** Lives computed by each hand, in the order in which they joined. */
  readonly computed = new Map<Hand, number>()

  constructor(
    own: Hand,
    private readonly options: PoolOptions,
  ) {
    this.most = options.most
    this.add(own)
  }

  /** Computes a life; several may be asked for before the first has answered. */
  readonly run: LifeRunner = Object.defineProperty(
    (preset: Preset, hooks: Parameters<LifeRunner>[1] = {}, level: Level = preset.model.accuracy) =>
      new Promise<LifeResult>((answer) => {
        const cancelled = () => hooks.cancelled?.() ?? false
        this.waiting.push({ preset, level, bare: hooks.bare ?? false, cancelled, answer, lost: [] })
        this.deal()
      }),
    'atOnce',
    { get: () => this.most },
  )

  /** A further hand is ready, asked for or not. */
  join(hand: Hand): void {
    this.coming = Math.max(0, this.coming - 1)
    this.add(hand)
    this.deal()
  }

  /** A hand that was asked for will not come. */
  miss(): void {
    this.coming = Math.max(0, this.coming - 1)
    this.note()
  }

  /** A hand is gone. The lives that it had come back when its tasks reject. */
  leave(hand: Hand): void {
    if (this.hands.delete(hand) && this.computed.get(hand) === 0) this.note()
  }

  /** A hand came to nothing. */
  private note(): void {
    this.missed++
    if (this.missed >= MOST_MISSED) this.most = this.hands.size + this.coming
  }

  private add(hand: Hand): void {
    this.hands.set(hand, new Map())
    this.computed.set(hand, 0)
  }

  private deal(): void {
    for (let hand = this.idlest(); hand && this.waiting.length > 0; hand = this.idlest()) {
      void this.give(this.waiting.shift()!, hand)
    }
    this.watch()
  }

  /** The hand with least to do that takes more. */
  private idlest(): Hand | undefined {
    let [found, least] = [undefined as Hand | undefined, Number.POSITIVE_INFINITY]
    for (const [hand, { size }] of this.hands) {
      if (size < hand.takes && size < least) [found, least] = [hand, size]
    }
    return found
  }

  private async give(wish: Wish, hand: Hand): Promise<void> {
    if (wish.cancelled()) return wish.answer(CANCELLED)
    const tasks = this.hands.get(hand)!
    try {
      const task = hand.begin(wish.preset, wish.level, wish.bare)
      tasks.set(wish, task)
      wish.answer(await task.result)
      this.computed.set(hand, this.computed.get(hand)! + 1)
    } catch (error) {
      this.again(wish, error as Error)
    }
    tasks.delete(wish)
    this.deal()
  }

  /** A life whose hand was lost comes first, unless it seems to be the reason. */
  private again(wish: Wish, { message }: Error): void {
    wish.lost.push(message)
    if (wish.lost.length < MOST_LOST) this.waiting.unshift(wish)
    else wish.answer(crashed(`the calculation broke off ${wish.lost.length} times (${wish.lost.join('; ')})`))
  }

  private look(): void {
    this.endUnwanted()
    const now = performance.now()
    if (this.waiting.length > 0 && this.counted < now) this.waited += now - this.counted
    this.counted = now
    if (this.waited >= (this.options.patience ?? PATIENCE)) this.grow()
  }

  private endUnwanted(): void {
    for (let i = this.waiting.length - 1; i >= 0; i--) {
      if (this.waiting[i]!.cancelled()) this.waiting.splice(i, 1)[0]!.answer(CANCELLED)
    }
    for (const tasks of this.hands.values()) {
      for (const [wish, task] of tasks) {
        if (!wish.cancelled()) continue
        task.stop()
        wish.answer(CANCELLED)
      }
    }
  }

  /** As many hands as lives wait. */
  private grow(): void {
    const { grow } = this.options
    const room = this.most - this.hands.size - this.coming
    for (let n = Math.min(room, this.waiting.length); grow && n > 0; n--) {
      this.coming++
      grow()
    }
  }

  /** Looks now and then as long as anything is under way. */
  private watch(): void {
    const busy = this.waiting.length > 0 || [...this.hands.values()].some(({ size }) => size > 0)
    if (busy) this.timer ??= setInterval(() => this.look(), LOOK)
    else {
      clearInterval(this.timer)
      this.timer = undefined
      this.counted = Number.NaN
    }
  }
}
