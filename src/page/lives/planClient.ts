/** The page's side of the worker that runs whole series of lives. */
import { proxy } from 'comlink'
import type { PlanKind, PlanKinds, PlanWorker } from '../../../workers/planMessages.ts'
import { type Alive, bear } from './alive.ts'
import { pageHands } from './hands.ts'

/** A piece of work under way. */
export interface PlanJob<K extends PlanKind> {
  /** Rejects with WorkerDied if the worker died (the next piece of work gets a new one); otherwise see PlanWorker. */
  result: Promise<PlanKinds[K]['give']>
  /** Ends it; the result is what is known by then. */
  stop(): void
}

export interface PlanClient {
  start<K extends PlanKind>(
    kind: K,
    ask: PlanKinds[K]['ask'],
    report?: (so: PlanKinds[K]['report']) => void,
  ): PlanJob<K>
  destroy(): void
}

const make = (): Worker =>
  new Worker(new URL('../../../workers/plan.ts', import.meta.url), { type: 'module' })

/** The worker is started with the first piece of work. Of what several ask of the hands the lower rank comes first. */
export function createPlanClient(rank = 0): PlanClient {
  let alive: Alive<PlanWorker> | null = null
  let token = 0
  function start(): Alive<PlanWorker> {
    const born = bear<PlanWorker>(make)
    born.death.catch(() => {
      if (alive === born) alive = null
    })
    pageHands().serve(born, rank)
    return born
  }

  return {
    start(kind, ask, report = () => {}) {
      alive ??= start()
      const mate = alive
      const { remote } = mate
      const mine = ++token
      let over = false
      // Reports come by a channel of their own and may arrive after the result: they are passed over then.
      const listener = proxy((so: Parameters<typeof report>[0]) => {
        mate.sign()
        if (!over) report(so)
      })
      const answer = remote.run(kind, ask as never, mine, listener as never) as Promise<never>
      const result = mate.watch(answer).finally(() => {
        over = true
      })
      pageHands().during(result)
      return {
        result,
        stop() {
          over = true
          remote.stop(mine).catch(() => {})
        },
      }
    },
    destroy() {
      if (alive) pageHands().release(alive)
      alive?.end()
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
