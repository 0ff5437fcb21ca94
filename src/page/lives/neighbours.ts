/** Idle time: once a life is there and nothing moves, the lives next to it are run. Any change ends that. */
import { keyOf, type NumberKey } from '../../life/keys.ts'
import type { Life, Preset } from '../../life/types.ts'
import { courseOf } from '../../measured/fit/course.ts'
import { dropName, lackingDrops } from '../../measured/fit/ownDrop.ts'
import type { Reach } from '../../plan/reach.ts'
import { ALL_LIVES, FIRST_LIVES } from '../../plan/sureness.ts'
import { learn, learnOwnLife, learnStretches } from '../actions.ts'
import { scaleOf } from '../controls/scale.ts'
import type { State, Store, View } from '../store.ts'
import { WorkerDied } from './alive.ts'
import { createPlanClient, type PlanJob } from './planClient.ts'

/** Rest after the last change, ms. */
const rest = 600

/** The inputs whose tracks show the outcome along them. */
const tracks: readonly { path: string; logarithmic: boolean }[] = [
  { path: 'drop.alcoholMassFraction', logarithmic: false },
  { path: 'drop.volume_uL', logarithmic: true },
]
/** Places of a track at which a life can be run, and every how many of them one is run first. */
const places = 33
const coarse = 4

/** Names a drop without its words and some inputs: what the outcomes along those inputs depend on. */
export function withoutInput(preset: Preset, ...paths: string[]): string {
  const { title: _, note: __, ...drop } = structuredClone(preset)
  for (const path of paths) {
    const [group, name] = path.split('.') as [keyof typeof drop, string]
    delete (drop[group] as unknown as Record<string, unknown>)[name]
  }
  return JSON.stringify(drop)
}

/** Values of an input at even places of its slider. */
function valuesAlong(path: string, logarithmic: boolean): number[] {
  const scale = scaleOf(keyOf(path) as NumberKey, logarithmic)
  return Array.from({ length: places }, (_, i) => scale.valueAt(Math.round((i * scale.count) / (places - 1))))
}

/** Whether the neighbours of the shown life are those of the present drop. */
const isSound = ({ life, stale }: State): boolean =>
  !stale && life?.status === 'done' && life.summary.outcome !== 'failed'

/** Whether a measured curve waits for the life of its own drop. */
const lacksOwn = ({ life, measured, ownLives }: State): boolean =>
  life?.status === 'done' && lackingDrops(measured, life.preset, ownLives).length > 0

/** Whether so weak a drop may spread after all, as far as its threshold is known. */
function mayGoEitherWay({ preset }: Life, threshold: Reach | null): boolean {
  if (!threshold) return false
  const half = (threshold.high - threshold.low) / 2
  return Math.abs(preset.drop.alcoholMassFraction - threshold.central) < 3 * half
}

/** Of a drop whose life took the worker with it. */
const brokenOff = courseOf({
  ok: false,
  reason: 'crashed',
  problems: [{ where: 'engine', message: 'The calculation broke off.' }],
})

/** Marks that the neighbours of the shown life are known, for whoever checks the page. */
const publish = (known: boolean): void => {
  document.documentElement.dataset.neighbours = known ? 'done' : 'waiting'
}

export function followNeighbours(store: Store): View {
  const client = createPlanClient(1)
  let timer = 0
  let round = 0
  let stop = () => {}

  async function work(mine: number): Promise<void> {
    const current = () => mine === round
    const wait = async <T>(job: { result: Promise<T>; stop(): void }): Promise<T | null> => {
      stop = () => job.stop()
      const result = await job.result
      return current() ? result : null
    }
    await owns(store.getState(), wait)
    if (!current() || !isSound(store.getState())) return
    await besides(store.getState(), wait)
    if (current()) await rim(store.getState(), wait)
    for (const track of tracks) if (current()) await along(track, current, wait)
    if (current()) await more(store.getState(), wait)
    if (current()) publish(true)
  }

  type Wait = <T>(job: { result: Promise<T>; stop(): void }) => Promise<T | null>

  /** First of all, since a measured curve says nothing before it is compared with its own drop. */
  async function owns({ measured, life, ownLives }: State, wait: Wait): Promise<void> {
    if (life?.status !== 'done') return
    for (const preset of lackingDrops(measured, life.preset, ownLives)) {
      const course = await wait(client.start('course', { preset })).catch((error: unknown) => {
        learnOwnLife(store, dropName(preset), brokenOff)
        throw error
      })
      if (!course) return
      learnOwnLife(store, dropName(preset), course)
    }
  }

  /** So many drawn lives in all, those that are there included. */
  async function drawn({ preset, neighbours }: State, count: number, wait: Wait): Promise<void> {
    const { band, samples, bandSeconds: seconds } = neighbours
    const known = band && samples ? { known: { band, samples, seconds } } : {}
    const found = await wait(client.start('band', { preset, count, ...known }))
    if (found?.band.status === 'done') learn(store, found)
  }

  /** Last, since it only makes sharper what is told already. Of a drop that stays a lens where that is not sure. */
  async function more(state: State, wait: Wait): Promise<void> {
    const { neighbours, life } = state
    if (life?.summary.outcome === 'lens' && !mayGoEitherWay(life, neighbours.threshold)) return
    if ((neighbours.band?.sure.lives ?? 0) + (neighbours.band?.sure.failed ?? 0) < ALL_LIVES)
      await drawn(state, ALL_LIVES, wait)
  }

  async function besides({ preset, life, bottle, neighbours }: State, wait: Wait): Promise<void> {
    if (life?.summary.outcome !== 'lens') {
      if (neighbours.band) return
      await drawn(store.getState(), FIRST_LIVES, wait)
      return
    }
    if (neighbours.nearest) return
    const { stock, mixture_mL } = bottle
    const found = await wait(client.start('nearest', { preset, stock, have_mL: mixture_mL }))
    if (found) learn(store, found)
  }

  /** How the rim breaks. Nothing else hangs on it: if it fails, the rest goes on. */
  async function rim({ preset, life, neighbours }: State, wait: Wait): Promise<void> {
    if (neighbours.fingers || life?.summary.outcome === 'lens') return
    try {
      const fingers = await wait(client.start('fingers', { preset }))
      if (fingers) learn(store, { fingers })
    } catch (error) {
      if (error instanceof WorkerDied) throw error
      console.info('The beads of the rim were not calculated.', error)
    }
  }

  async function along(track: (typeof tracks)[number], current: () => boolean, wait: Wait): Promise<void> {
    const { path, logarithmic } = track
    const { preset, stretches } = store.getState()
    const of = withoutInput(preset, path)
    const known = stretches[path]
    if (known?.of === of && known.so.status === 'done') return
    const wish = { key: path, values: valuesAlong(path, logarithmic), coarse }
    const job: PlanJob<'stretches'> = client.start('stretches', { preset, wish }, (so) => {
      if (current()) learnStretches(store, path, { of, so })
    })
    const so = await wait(job)
    if (so) learnStretches(store, path, { of, so })
  }

  function begin(): void {
    clearTimeout(timer)
    stop()
    round++
    publish(false)
    if (store.getState().life?.status !== 'done') return
    timer = window.setTimeout(() => {
      // A worker that died is replaced with the next change; its numbers are an extra and nobody waits for them.
      work(round).catch((error: unknown) => console.info('Neighbouring lives were not run.', error))
    }, rest)
  }

  const unsubscribe = store.subscribe((state, before) => {
    const ready = (s: State) => !s.stale && s.life?.status === 'done'
    if (
      state.preset !== before.preset ||
      state.bottle !== before.bottle ||
      ready(state) !== ready(before) ||
      (state.measured !== before.measured && lacksOwn(state))
    )
      begin()
  })
  return {
    destroy() {
      unsubscribe()
      clearTimeout(timer)
      stop()
      client.destroy()
    },
  }
}
