/** Thin: runs whole series of lives away from the page's thread and from the worker that the sliders wait for. */
import { expose } from 'comlink'
import { estimateErrors } from '../src/life/errors.ts'
import { runLife } from '../src/life/run.ts'
import type { Life } from '../src/life/types.ts'
import { fitLives } from '../src/measured/fit/fitLives.ts'
import { courseOfDrop } from '../src/measured/fit/ownDrop.ts'
import { envelopeOf } from '../src/plan/envelope.ts'
import { familyOf } from '../src/plan/family.ts'
import { nearestChange } from '../src/plan/nearestChange.ts'
import { bandOf, tensionNeighbours, thresholdReach } from '../src/plan/neighbours.ts'
import { outcomeMap } from '../src/plan/outcomeMap.ts'
import { sheetOf } from '../src/plan/sheetOf.ts'
import { outcomesAlong } from '../src/plan/stretches.ts'
import type { RunLike, WorkHooks } from '../src/plan/work.ts'
import { fingersOf } from '../src/rim/fingers.ts'
import { pause } from './pause.ts'
import type { PlanKind, PlanKinds, PlanWorker } from './planMessages.ts'

const stopped = new Set<number>()
/** The engine is used by one run at a time. */
let before: Promise<unknown> = Promise.resolve()

const run: RunLike = (preset, hooks) => runLife(preset, { ...hooks, pause })

/** Least time between two reports of a map, ms: every report is a copy of it. */
const REPORT = 80

type Doing = {
  [K in PlanKind]: (
    ask: PlanKinds[K]['ask'],
    hooks: Required<Pick<WorkHooks, 'cancelled' | 'pause'>>,
    report: (so: PlanKinds[K]['report']) => void,
  ) => Promise<PlanKinds[K]['give']>
}

const doing: Doing = {
  async band({ preset }, hooks) {
    const lives: (Life['series'] | undefined)[] = []
    const noting: RunLike = async (one, more) => {
      const result = await run(one, more)
      lives.push(result.ok && result.life.summary.outcome !== 'failed' ? result.life.series : undefined)
      return result
    }
    const band = await bandOf(preset, noting, hooks)
    return { band, envelope: band.status === 'done' ? envelopeOf(lives) : null }
  },
  async nearest({ preset, stock, have_mL }, hooks) {
    const nearest = await nearestChange(preset, run, { ...hooks, stock, have_mL })
    return { nearest, threshold: thresholdReach(preset) }
  },
  async course({ preset }, { cancelled }) {
    const course = await courseOfDrop(preset, run, cancelled)
    return cancelled() ? null : course
  },
  stretches: ({ preset, wish }, hooks, report) =>
    outcomesAlong(preset, wish, run, { ...hooks, grown: report }),
  sheet: ({ preset, options }, hooks, report) =>
    sheetOf(preset, run, { ...options, ...hooks, progress: (done, total) => report({ done, total }) }),
  map({ preset, wish }, hooks, report) {
    let last = Number.NEGATIVE_INFINITY
    return outcomeMap(preset, wish, run, {
      ...hooks,
      grown(map) {
        if (performance.now() - last < REPORT) return
        last = performance.now()
        report(map)
      },
    })
  },
  fit: (wish, { cancelled }, report) => fitLives(wish, run, { cancelled, progress: report }),
  fingers: ({ preset }, hooks, report) =>
    fingersOf(preset, {
      ...hooks,
      neighbours: tensionNeighbours(preset),
      progress: (share) => report({ share }),
    }),
  // Fetched when it is asked for: nobody else needs the facts.
  validation: async (_, hooks, report) =>
    (await import('../src/plan/validation/validate.ts')).validate(run, {
      ...hooks,
      progress: (done, total) => report({ done, total }),
    }),
  family: ({ wanted }, hooks, report) =>
    familyOf(wanted, run, (life) => estimateErrors(life, hooks), {
      ...hooks,
      progress: (done, total) => report({ done, total }),
    }),
}

const api: PlanWorker = {
  alive() {},
  async run(kind, ask, token, report) {
    const hooks = { cancelled: () => stopped.has(token), pause }
    const turn = before.then(() => doing[kind](ask, hooks, report))
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
