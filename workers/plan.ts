/** Thin: runs whole series of lives away from the page's thread and from the worker that the sliders wait for. */
import { expose } from 'comlink'
import { estimateErrors } from '../src/life/errors.ts'
import { FarHand, OwnHand } from '../src/life/hands.ts'
import type { LifeRunner } from '../src/life/lives.ts'
import { LifePool } from '../src/life/pool.ts'
import { fitLives } from '../src/measured/fit/fitLives.ts'
import { courseOfDrop } from '../src/measured/fit/ownDrop.ts'
import { profileOf } from '../src/measured/fit/profile.ts'
import { familyOf } from '../src/plan/family.ts'
import { nearestChange } from '../src/plan/nearestChange.ts'
import { tensionNeighbours } from '../src/plan/neighbours.ts'
import { outcomeMap } from '../src/plan/outcomeMap.ts'
import { sensitivityOf } from '../src/plan/sensitivity.ts'
import { usualVariation } from '../src/plan/sensitivityInputs.ts'
import { sheetOf } from '../src/plan/sheet/sheetOf.ts'
import { outcomesAlong } from '../src/plan/stretches.ts'
import { surely } from '../src/plan/sureness.ts'
import { thresholdReach } from '../src/plan/thresholdReach.ts'
import type { WorkHooks } from '../src/plan/work.ts'
import { fingersOf } from '../src/rim/fingers.ts'
import { lineOf } from './line.ts'
import { pause } from './pause.ts'
import type { PlanKind, PlanKinds, PlanWorker } from './planMessages.ts'

const stopped = new Set<number>()
/** One piece of work at a time. */
let before: Promise<unknown> = Promise.resolve()

const own = new OwnHand(pause)
let pool = new LifePool(own, { most: 1 })
const hands = new Map<number, FarHand>()

const run: LifeRunner = Object.defineProperty(
  (...asked: Parameters<LifeRunner>) => pool.run(...asked),
  'atOnce',
  { get: () => pool.run.atOnce },
)

/** Least time between two reports of a map, ms: every report is a copy of it. A large one takes its time. */
const reportEvery = (points: number): number => 80 + points / 40

/** The same of shares: their errors are worked out each time. */
const SHARES_REPORT = 400

type Doing = {
  [K in PlanKind]: (
    ask: PlanKinds[K]['ask'],
    hooks: Required<Pick<WorkHooks, 'cancelled' | 'pause'>>,
    report: (so: PlanKinds[K]['report']) => void,
  ) => Promise<PlanKinds[K]['give']>
}

const doing: Doing = {
  async band({ preset, count, known }, hooks) {
    const begun = performance.now()
    const found = await surely(preset, run, { ...hooks, count, ...(known ? { known } : {}) })
    return { ...found, bandSeconds: (known?.seconds ?? 0) + 1e-3 * (performance.now() - begun) }
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
  sensitivity({ preset, base }, hooks, report) {
    let last = performance.now()
    return sensitivityOf(preset, run, {
      ...hooks,
      ...usualVariation(preset),
      base,
      grown(so) {
        if (performance.now() - last < SHARES_REPORT) return
        last = performance.now()
        report(so())
      },
    })
  },
  map({ preset, wish, known }, hooks, report) {
    let last = Number.NEGATIVE_INFINITY
    return outcomeMap(preset, wish, run, {
      ...hooks,
      ...(known && { known }),
      grown(map) {
        if (performance.now() - last < reportEvery(map.total)) return
        last = performance.now()
        report(map)
      },
    })
  },
  fit: (wish, { cancelled }, report) => fitLives(wish, run, { cancelled, progress: report }),
  profile: (ask, { cancelled }, report) =>
    profileOf(ask, run, { cancelled, progress: (points, lives) => report({ points, lives }) }),
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
  choose: async (wish, hooks, report) =>
    (await import('../src/plan/choose/chooseDrops.ts')).chooseDrops(wish, run, {
      ...hooks,
      progress: (done, total) => report({ done, total }),
    }),
  family: ({ wanted }, hooks, report) =>
    familyOf(wanted, run, (life, by) => estimateErrors(life, hooks, by), {
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
  helped(most, grow) {
    pool = new LifePool(own, { most, grow })
  },
  join(id, port) {
    const hand = new FarHand(lineOf(port))
    hands.set(id, hand)
    pool.join(hand)
  },
  miss() {
    pool.miss()
  },
  leave(id, reason) {
    const hand = hands.get(id)
    hands.delete(id)
    if (!hand) return
    pool.leave(hand)
    hand.lose(reason)
  },
}

expose(api)
