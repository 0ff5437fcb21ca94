/**
 * A worker from its birth to its end. Errors are heard from the first moment on, and while something is asked of the
 * worker it is watched: one that ends without a word, or never begins, is noticed.
 */
import { type Remote, releaseProxy, wrap } from 'comlink'
import type { Living } from '../../../workers/living.ts'

/** Time between two questions whether the worker lives, ms. */
export const TICK = 5000
/** Unanswered questions after which a worker counts as dead: while its program may still be loading, and later. */
export const PATIENCE = { first: 12, later: 6 }

/** The worker has ended, or never began. The message tells why, as part of a sentence. */
export class WorkerDied extends Error {
  /** It never answered at all. */
  readonly unborn: boolean
  constructor(reason: string, unborn: boolean) {
    super(reason)
    this.unborn = unborn
  }
}

/** What a user can do about a worker that does not run. */
export const ADVICE =
  'load the page again; if that does not help, use another browser, or the command line, which needs none (npm run simulate).'

/** What may follow the words about an error: '' unless it was the end of a worker. */
export const adviceFor = (error: unknown): string =>
  error instanceof WorkerDied ? ` If it breaks off again: ${ADVICE}` : ''

/** Whole sentences about work that ended with `error`, where it may be asked for again. */
export const brokeOff = (error: unknown, what = 'The calculation'): string =>
  `${what} broke off (${error instanceof Error ? error.message : 'no reason given'}). Nothing is lost: try once more. If it breaks off again: ${ADVICE}`

export interface Alive<T> {
  remote: Remote<T>
  /** Rejects with WorkerDied; never resolves. */
  death: Promise<never>
  /** The answer to something asked, or WorkerDied. Until then the worker is watched. */
  watch<R>(answer: Promise<R>): Promise<R>
  /** It has just shown life in another way (progress). */
  sign(): void
  /** Ends it. What is still awaited rejects with `reason`, or stays open without one. */
  end(reason?: Error): void
}

/** Where nobody listens: stands in for a worker that could not be made. */
const nowhere = (): MessagePort => new MessageChannel().port1

export function bear<T extends Living>(make: () => Worker): Alive<T> {
  let worker: Worker | null = null
  let over = false
  let answered = false
  let missed = 0
  let awaited = 0
  let timer: ReturnType<typeof setInterval> | undefined
  let asking = false
  let reject: (error: Error) => void = () => {}
  const death = new Promise<never>((_, no) => {
    reject = no
  })
  death.catch(() => {})

  function die(reason: string): void {
    if (over) return
    const unborn = !answered
    end(new WorkerDied(reason, unborn))
  }
  function fail(event: Event): void {
    const unsaid = answered ? 'no reason given' : 'its program could not be loaded'
    die((event as ErrorEvent).message || unsaid)
  }
  try {
    worker = make()
    worker.addEventListener('error', fail)
    worker.addEventListener('messageerror', fail)
  } catch (error) {
    die(`this browser does not start it: ${error instanceof Error ? error.message : 'no reason given'}`)
  }
  const remote = wrap<T>(worker ?? nowhere())

  function sign(): void {
    answered = true
    missed = 0
  }
  function ask(): void {
    if (asking || over) return
    asking = true
    const question = (remote as unknown as Remote<Living>).alive()
    question
      .then(sign, () => {})
      .finally(() => {
        asking = false
      })
  }
  /** Counts questions, not time: a computer that was asleep, or a tab in the background, misses none. */
  function tick(): void {
    missed++
    const most = answered ? PATIENCE.later : PATIENCE.first
    if (missed > most) die(`it has not answered for ${(most * TICK) / 1000} s`)
    else ask()
  }
  function follow(change: 1 | -1): void {
    awaited += change
    if (awaited === 0 || over) {
      clearInterval(timer)
      timer = undefined
    } else if (timer === undefined) {
      missed = 0
      timer = setInterval(tick, TICK)
    }
  }
  function end(reason?: Error): void {
    if (over) return
    over = true
    clearInterval(timer)
    worker?.terminate()
    if (reason) reject(reason)
  }

  ask()
  return {
    remote,
    death,
    async watch(answer) {
      follow(1)
      try {
        const result = await Promise.race([answer, death])
        sign()
        return result
      } finally {
        follow(-1)
      }
    },
    sign,
    end(reason) {
      if (!over) remote[releaseProxy]()
      end(reason)
    },
  }
}
