/** The page's side of the life worker: newest preset first, dead workers replaced. */
import { proxy } from 'comlink'
import type { LifeWorker } from '../../../workers/messages.ts'
import type { Life, LifeResult, Preset } from '../../life/types.ts'
import type { Alive } from './alive.ts'
import { lifeWorker } from './firstWorker.ts'

export interface LifeClientEvents {
  /**
   * A life, whole or growing. `took` is the time since it was asked for, ms; `current` is false if a newer preset
   * is waiting already.
   */
  life(life: Life, took: number, current: boolean): void
  /** No life came of the newest preset. */
  refused(result: LifeResult & { ok: false }): void
  /** The first life came from the plain engine. */
  plain?(): void
  /** The worker died; `again` tells whether it was started anew. */
  died(reason: string, again: boolean): void
}

export interface LifeClient {
  /** Asks for the life of this preset; anything older is dropped. */
  request(preset: Preset): void
  destroy(): void
}

/** A run younger than this (ms) may end before a newer one takes its place, so that a dragged slider shows lives. */
const grace = 50
/** A growing life is shown only when it takes longer than this (ms). */
const growingAfter = 120
/** Deaths in a row after which the worker is not started again. */
const patience = 2

/** `born` gives a worker for lives. */
export function createLifeClient(
  events: LifeClientEvents,
  born: () => Alive<LifeWorker> = lifeWorker,
): LifeClient {
  let worker: Alive<LifeWorker> | null = null
  let token = 0
  let deaths = 0
  let running: { token: number; since: number } | null = null
  let wanted: { preset: Preset; since: number } | null = null
  let graceTimer = 0

  function start(): void {
    const mine = born()
    worker = mine
    mine.death.catch((error: Error) => {
      if (worker === mine && !running) bury(error.message)
    })
  }

  function bury(reason: string): void {
    worker?.end()
    worker = null
    deaths++
    const again = deaths < patience
    if (again) start()
    events.died(reason, again)
  }

  async function run(by: Alive<LifeWorker>, preset: Preset, since: number): Promise<void> {
    const mine = ++token
    running = { token: mine, since: performance.now() }
    // Progress comes by a channel of its own and may arrive after the whole life: it is passed over then.
    const progress = proxy((life: Life) => {
      const took = performance.now() - since
      by.sign()
      if (running?.token === mine && !wanted && took > growingAfter) events.life(life, took, true)
    })
    try {
      const result = await by.watch<LifeResult>(by.remote.run(preset, progress, mine))
      running = null
      deaths = 0
      if (!wanted || result.ok) report(result, since)
    } catch (error) {
      wanted ??= { preset, since }
      bury((error as Error).message)
    } finally {
      running = null
      next()
    }
  }

  /** How right the life is comes a moment later, if nothing newer is asked for meanwhile. */
  async function addErrors(life: Life, since: number): Promise<void> {
    const mine = token
    const { preset, summary, series } = life
    const { t, R, U } = series
    const answer = worker?.remote.errors({ preset, summary, series: { t, R, U } }, mine)
    const errors = await answer?.catch(() => null)
    if (!errors || mine !== token || wanted || running) return
    events.life({ ...life, summary: { ...summary, ...errors } }, performance.now() - since, true)
  }

  let asked = false

  /** Told once: it does not change while the page is open. */
  async function tellEngine(): Promise<void> {
    if (asked) return
    asked = true
    if ((await worker?.remote.compiled().catch(() => true)) === false) events.plain?.()
  }

  function report(result: LifeResult, since: number): void {
    void tellEngine()
    if (result.ok && result.life.status !== 'stopped') {
      events.life(result.life, performance.now() - since, !wanted)
      if (!wanted && result.life.summary.outcome !== 'failed') void addErrors(result.life, since)
    } else if (!result.ok && result.reason !== 'cancelled') events.refused(result)
  }

  function next(): void {
    if (!wanted || running || !worker) return
    const { preset, since } = wanted
    wanted = null
    clearTimeout(graceTimer)
    void run(worker, preset, since)
  }

  function stopRunning(): void {
    if (running && wanted) worker?.remote.stop(running.token).catch(() => {})
  }

  start()
  return {
    request(preset) {
      wanted = { preset, since: performance.now() }
      if (!worker) {
        deaths = 0
        start()
      }
      if (!running) return next()
      const age = performance.now() - running.since
      clearTimeout(graceTimer)
      if (age >= grace) stopRunning()
      else graceTimer = window.setTimeout(stopRunning, grace - age)
    },
    destroy() {
      clearTimeout(graceTimer)
      worker?.end()
      worker = null
    },
  }
}
