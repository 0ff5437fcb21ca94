/**
 * What is not seen first is loaded when it is asked for, and else in the quiet after the first life: the first look pays
 * for nothing else, and later no place has to be waited for.
 */

import { say } from '../actions.ts'
import type { KeeperHere } from '../measured/keepingHere.ts'
import { type State, type Store, watch } from '../store.ts'
import { focusPart } from './show.ts'

type Mounted = (store: Store, keeper: KeeperHere) => void

interface Load {
  name: string
  /** It is in sight, or about to be. */
  wanted(state: State): boolean
  load(): Promise<Mounted>
  begun?: Promise<void>
}

const loads = (): Load[] => [
  {
    name: 'physics',
    wanted: ({ place, physics }) => place === 'watch' && physics,
    load: async () => (await import('./physics.ts')).mountPhysics,
  },
  {
    name: 'explain',
    wanted: ({ place, room }) => place === 'explain' || room,
    load: async () => (await import('./explain.ts')).mountExplain,
  },
  {
    name: 'bench',
    wanted: ({ place }) => place === 'bench',
    load: async () => (await import('./bench.ts')).mountBench,
  },
  {
    name: 'data',
    wanted: ({ place }) => place === 'data',
    load: async () => (await import('./data.ts')).mountData,
  },
]

/** Quiet time, where the browser tells of it. */
const quiet = (): Promise<void> =>
  new Promise((done) => {
    if ('requestIdleCallback' in window) requestIdleCallback(() => done(), { timeout: 1000 })
    else setTimeout(done, 50)
  })

/** Whoever waited for a part stands on the page as a whole until there is a heading to stand on. */
function standOnHeading(store: Store): void {
  const { part } = store.getState()
  if (part && document.activeElement === document.querySelector('main')) focusPart(part)
}

/** @param stage settles when the drop is on the page: the rest does not take its time */
export function mountPlaces(store: Store, keeper: KeeperHere, stage: Promise<void>): void {
  const all = loads()
  const { dataset } = document.documentElement
  const begin = (one: Load): Promise<void> => {
    one.begun ??= one
      .load()
      .then((mounted) => {
        mounted(store, keeper)
        standOnHeading(store)
      })
      .catch((error: unknown) => {
        console.warn(`The part "${one.name}" of the page was not loaded.`, error)
        say(store, 'error', 'A part of the page could not be loaded.', 'Load the page again to have it.')
      })
    return one.begun
  }
  watch(
    store,
    (state) => all.map((one) => one.wanted(state)),
    (wanted) => {
      all.forEach((one, i) => {
        if (wanted[i]) void begin(one)
      })
    },
  )
  const rest = async () => {
    await stage
    for (const one of all) {
      if (!one.begun) await quiet()
      await begin(one)
    }
    dataset.mounted = 'all'
  }
  const unwatch = watch(
    store,
    ({ life, trouble }) => [life?.status === 'done' || trouble !== ''],
    ([ready]) => {
      if (!ready) return
      queueMicrotask(() => unwatch())
      void rest()
    },
  )
}
