/** Lives on several threads of Node: this one and others, which begin when the work takes long enough. */
import { availableParallelism } from 'node:os'
import { Worker } from 'node:worker_threads'
import { FarHand, OwnHand, runHere } from '../life/hands.ts'
import type { LifeRunner } from '../life/lives.ts'
import { LifePool } from '../life/pool.ts'
import { breath } from './breath.ts'

/**
 * Threads unless a number is given: all cores but one, which is left for whatever else goes on; of two cores both, since
 * else nothing would go faster, and nobody waits for this thread while it computes.
 */
export const usualThreads = (cores = availableParallelism()): number =>
  Math.max(Math.min(2, cores), cores - 1)

/** Time for which lives wait before others begin, ms; only tests ask for another. */
export interface ThreadOptions {
  patience?: number
  /** The program of the other threads. */
  program?: URL
}

/** Threads that compute lives. */
export class Threads {
  readonly pool: LifePool
  private readonly others = new Set<Worker>()
  private ended = false
  private readonly program: URL

  /** @param most threads, this one included */
  constructor(most: number, { patience, program }: ThreadOptions = {}) {
    this.program = program ?? new URL('./thread.mjs', import.meta.url)
    this.pool = new LifePool(new OwnHand(breath), {
      most,
      grow: () => this.begin(),
      ...(patience === undefined ? {} : { patience }),
    })
  }

  private begin(): void {
    const worker = new Worker(this.program, { execArgv: [] })
    this.others.add(worker)
    // The command ends when its own work is done.
    worker.unref()
    let hand: FarHand | null = null
    let why = 'a thread ended'
    worker.once('message', () => {
      hand = new FarHand({
        send: (message, handOver) => worker.postMessage(message, handOver),
        hear: (listener) => void worker.on('message', listener),
      })
      this.pool.join(hand)
    })
    worker.on('error', (error) => {
      why = error instanceof Error ? error.message : String(error)
    })
    worker.once('exit', () => {
      this.others.delete(worker)
      if (this.ended) return
      if (!hand) return this.pool.miss()
      this.pool.leave(hand)
      hand.lose(why)
    })
  }

  /** Ends all other threads; unless it is the end of all, new ones take their place when there is need. */
  async lose(): Promise<void> {
    await Promise.all([...this.others].map((worker) => worker.terminate()))
  }

  async end(): Promise<void> {
    this.ended = true
    await this.lose()
  }
}

/** Does work that needs lives with so many threads, unless whoever computes them is given. */
export async function withThreads<T>(
  count: number,
  given: LifeRunner | undefined,
  work: (run: LifeRunner) => Promise<T>,
): Promise<T> {
  if (given || count === 1) return work(given ?? runHere)
  const threads = new Threads(count)
  try {
    return await work(threads.pool.run)
  } finally {
    await threads.end()
  }
}
