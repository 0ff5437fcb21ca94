/** The page's side of the worker that runs whole series of lives. */
import { proxy, type Remote, wrap } from 'comlink'
import type { PlanKind, PlanKinds, PlanWorker } from '../../../workers/planMessages.ts'

/** A piece of work under way. */
export interface PlanJob<K extends PlanKind> {
  /** Rejects with WorkerDied if the worker died; otherwise see PlanWorker. */
  result: Promise<PlanKinds[K]['give']>
  /** Ends it; the result is what is known by then. */
  stop(): void
}

/** The worker ended by itself; the next piece of work gets a new one. */
export class WorkerDied extends Error {}

export interface PlanClient {
  start<K extends PlanKind>(
    kind: K,
    ask: PlanKinds[K]['ask'],
    report?: (so: PlanKinds[K]['report']) => void,
  ): PlanJob<K>
  destroy(): void
}

interface Alive {
  worker: Worker
  remote: Remote<PlanWorker>
  death: Promise<never>
}

function bear(buried: () => void): Alive {
  const worker = new Worker(new URL('../../../workers/plan.ts', import.meta.url), { type: 'module' })
  const death = new Promise<never>((_, reject) => {
    const fail = (event: Event) => {
      worker.terminate()
      buried()
      reject(new WorkerDied((event as ErrorEvent).message || 'no reason given'))
    }
    worker.addEventListener('error', fail)
    worker.addEventListener('messageerror', fail)
  })
  death.catch(() => {})
  return { worker, remote: wrap<PlanWorker>(worker), death }
}

/** The worker is started with the first piece of work. */
export function createPlanClient(): PlanClient {
  let alive: Alive | null = null
  let token = 0
  return {
    start(kind, ask, report = () => {}) {
      alive ??= bear(() => {
        alive = null
      })
      const { remote, death } = alive
      const mine = ++token
      let over = false
      // Reports come by a channel of their own and may arrive after the result: they are passed over then.
      const listener = proxy((so: Parameters<typeof report>[0]) => {
        if (!over) report(so)
      })
      const answer = remote.run(kind, ask as never, mine, listener as never) as Promise<never>
      const result = Promise.race([answer, death]).finally(() => {
        over = true
      })
      return {
        result,
        stop() {
          over = true
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

let forAsked: PlanClient | null = null
/** For work that the user has asked for (lab sheet, map); idle work has a worker of its own and cannot hold it up. */
export const askedClient = (): PlanClient => {
  forAsked ??= createPlanClient()
  return forAsked
}
