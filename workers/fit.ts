/** Thin: fits lives to measured curves away from the page's thread and from the other workers. */
import { expose } from 'comlink'
import { runLife } from '../src/life/run.ts'
import { fitLives } from '../src/measured/fit/fitLives.ts'
import type { LifeRunner } from '../src/measured/fit/types.ts'
import type { FitWorker } from './fitMessages.ts'
import { pause } from './pause.ts'

const stopped = new Set<number>()
/** The engine is used by one fit at a time. */
let before: Promise<unknown> = Promise.resolve()

const run: LifeRunner = (preset, hooks) => runLife(preset, { ...hooks, pause })

const api: FitWorker = {
  async run(wish, token, report) {
    const hooks = { cancelled: () => stopped.has(token), progress: report }
    const turn = before.then(() => fitLives(wish, run, hooks))
    before = turn.catch(() => {})
    try {
      return await turn
    } finally {
      stopped.delete(token)
    }
  },
  stop(token) {
    stopped.add(token)
  },
}

expose(api)
