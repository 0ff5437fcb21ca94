/** The page's side of the worker that fits. */
import { proxy, type Remote, wrap } from 'comlink'
import type { FitWorker } from '../../../workers/fitMessages.ts'
import type { FitOutcome, FitStep, FitWish } from '../../measured/fit/types.ts'

export interface FitJob {
  /** Rejects if the worker died; otherwise see FitWorker. */
  result: Promise<FitOutcome>
  /** Ends it; the result is the best so far. */
  stop(): void
}

export interface FitClient {
  start(wish: FitWish, report: (step: FitStep) => void): FitJob
  destroy(): void
}

interface Alive {
  worker: Worker
  remote: Remote<FitWorker>
  death: Promise<never>
}

function bear(buried: () => void): Alive {
  const worker = new Worker(new URL('../../../workers/fit.ts', import.meta.url), { type: 'module' })
  const death = new Promise<never>((_, reject) => {
    const fail = (event: Event) => {
      worker.terminate()
      buried()
      reject(new Error((event as ErrorEvent).message || 'no reason given'))
    }
    worker.addEventListener('error', fail)
    worker.addEventListener('messageerror', fail)
  })
  death.catch(() => {})
  return { worker, remote: wrap<FitWorker>(worker), death }
}

/** The worker is started with the first fit; one that died is replaced by the next fit. */
export function createFitClient(): FitClient {
  let alive: Alive | null = null
  let token = 0
  return {
    start(wish, report) {
      alive ??= bear(() => {
        alive = null
      })
      const { remote, death } = alive
      const mine = ++token
      let over = false
      // Reports come by a channel of their own and may arrive after the result: they are passed over then.
      const listener = proxy((step: FitStep) => {
        if (!over) report(step)
      })
      const result = Promise.race([remote.run(wish, mine, listener), death]).finally(() => {
        over = true
      })
      return {
        result,
        stop() {
          remote.stop(mine).catch(() => {})
        },
      }
    },
    destroy() {
      alive?.worker.terminate()
      alive = null
    },
  }
}
