/**
 * Runs: the measured curves, the recordings that are no curves yet, and planned runs. What is stated of those is kept in
 * this browser beside the queue, and goes with the curve when a recording becomes one.
 */
import { metaProblem } from '../../measured/metaCheck.ts'
import type { CurveMeta } from '../../measured/types.ts'
import type { QueuedRecording, State, Store } from '../store.ts'
import { isPlanned, plannedName } from './plannedRuns.ts'

/** Where the queue of recordings is kept. */
export const queueKey = 'rimtide.queue'
const statedKey = 'rimtide.queue-stated'

export interface Run {
  id: string
  name: string
  /** Name of the file or recording. */
  file: string
  meta: CurveMeta
  /** True for a recording that is no curve yet, and for a planned run. */
  queued: boolean
  /** True for a planned run: there is nothing of it yet. */
  planned?: boolean
}

const nothing: CurveMeta = {}

/** Planned runs in their order. */
const plannedOf = ({ stated }: State): Run[] =>
  [...stated]
    .filter(([id]) => isPlanned(id))
    .map(([id, meta]) => ({ id, name: plannedName(id), file: '', meta, queued: true, planned: true }))

/** All runs in the order of the lists: curves first, planned ones last. */
export function runsOf(state: State): Run[] {
  const { measured, queued, stated, keeping } = state
  const here = new Set(measured.map(({ id }) => id))
  /** Until the kept curves are read, a recording is taken to be the curve that it was. */
  const isCurve = (id: string) => id !== '' && (here.has(id) || keeping.state === 'opening')
  const ahead = queued.filter(({ curve }) => !isCurve(curve))
  return [
    ...measured.map(({ id, name, file, meta }) => ({ id, name, file, meta, queued: false })),
    ...ahead.map(({ id, name }) => ({ id, name, file: name, meta: stated.get(id) ?? nothing, queued: true })),
    ...plannedOf(state),
  ]
}

function read(key: string): unknown {
  try {
    return JSON.parse(localStorage.getItem(key) ?? 'null')
  } catch {
    return null
  }
}

/** The queue of the last visit, as far as the runs need it. */
function keptQueue(): QueuedRecording[] {
  const items = read(queueKey)
  if (!Array.isArray(items)) return []
  return items.flatMap(({ id, name, curve }: Partial<QueuedRecording>) =>
    typeof id === 'string' && typeof name === 'string'
      ? [{ id, name, curve: typeof curve === 'string' ? curve : '' }]
      : [],
  )
}

/** What was stated in the last visit; entries that break the rules of a curve's data are passed over. */
function keptStated(): Map<string, CurveMeta> {
  const all = read(statedKey)
  if (typeof all !== 'object' || all === null) return new Map()
  const sound = (meta: object) =>
    Object.fromEntries(Object.entries(meta).filter(([key, value]) => metaProblem(key, value) === ''))
  return new Map(
    Object.entries(all).flatMap(([id, meta]) =>
      typeof meta === 'object' && meta !== null ? [[id, sound(meta)]] : [],
    ),
  )
}

/** Of planned runs and of recordings that are in the queue; what was stated of others can come back by Undo only. */
function keep({ stated, queued }: State): void {
  const ids = new Set(queued.map(({ id }) => id))
  const list = [...stated].filter(
    ([id, meta]) => (ids.has(id) || isPlanned(id)) && Object.keys(meta).length > 0,
  )
  try {
    if (list.length === 0) localStorage.removeItem(statedKey)
    else localStorage.setItem(statedKey, JSON.stringify(Object.fromEntries(list)))
  } catch {
    // A refused storage only means that it is typed again next time.
  }
}

/** Brings the queue and what is stated back from the last visit and keeps them from then on. Gives what ends that. */
export function keepQueuedRuns(store: Store): () => void {
  store.setState({ queued: keptQueue(), stated: keptStated() })
  return store.subscribe((state, before) => {
    if (state.stated !== before.stated || state.queued !== before.queued) keep(state)
  })
}
