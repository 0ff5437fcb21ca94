/** Recordings measured one after the other with the settings of their camera. A recording that fails does not hold up the others. */
import { createStore, type StoreApi } from 'zustand/vanilla'
import { cameraWords, rememberedCamera, takeCamera } from './camera.ts'
import type { MarkClient } from './client.ts'
import { hashOnce } from './hashing.ts'
import type { WorkKeeper } from './keepingWork.ts'
import { keptOf, sessionOf, worthKeeping } from './kept.ts'
import { findContact } from './making.ts'
import { createMeasuring, type Measuring } from './measuring.ts'
import { openRecording } from './open.ts'
import { assess, joinItems, keepItems, keptItems, type QueueItem } from './queueItems.ts'
import type { Recording } from './recordings.ts'
import {
  createSession,
  rateProblem,
  type Session,
  type SessionStore,
  scaleOf,
  takeSource,
} from './session.ts'

export interface QueueState {
  items: readonly QueueItem[]
  /** Whether it is to go on with the next one. */
  running: boolean
  /** Whether anything is under way; after a stop the frame in hand is. */
  busy: boolean
  /** Seconds until all is measured, as far as can be told; NaN = not yet. */
  left: number
}

export interface Queue {
  readonly store: StoreApi<QueueState>
  /** Takes recordings in; gives how many were known already and have their files again. */
  take(recordings: readonly Recording[]): number
  /** Measures all that is not measured, one after the other. */
  start(): void
  /** Ends after the frame in hand; what was measured is kept. */
  stop(): void
  change(id: string, change: Partial<QueueItem>): void
  /** Takes items out of the list, and what was measured of them off the shelf. */
  remove(ids: readonly string[]): void
  /** The state of what was measured of an item; null if nothing was. */
  sessionFor(item: QueueItem): Session | null
  destroy(): void
}

/** Time between two writings of what is being measured, ms. */
const pace = 2000

export interface Surroundings {
  keeper: WorkKeeper
  client(): MarkClient
  /** The session that is in hand on the page. */
  inHand: SessionStore
}

/** What must be set before a recording of this camera can be measured, in words; '' if nothing. */
function lacking(state: Session): string {
  const { source } = state
  if (!source) return 'it cannot be opened'
  const scale = scaleOf(state)
  if (!scale?.ok)
    return `no scale is set for its camera (${cameraWords(source)}): open it and set one, it then holds for all of that camera`
  return rateProblem(state)
}

export function createQueue({ keeper, client, inHand }: Surroundings): Queue {
  const store = createStore<QueueState>(() => ({
    items: keptItems(),
    running: false,
    busy: false,
    left: Number.NaN,
  }))
  let measuring: Measuring | null = null
  let gone = false

  const set = (items: readonly QueueItem[]) => {
    store.setState({ items })
    keepItems(items)
  }
  const change = (id: string, part: Partial<QueueItem>) =>
    set(store.getState().items.map((item) => (item.id === id ? { ...item, ...part } : item)))
  const find = (id: string) => store.getState().items.find((item) => item.id === id)

  function sessionFor({ work }: QueueItem): Session | null {
    if (work === '') return null
    const state = inHand.getState()
    if (state.id === work) return state
    const kept = keeper.others.find(({ id }) => id === work)
    return kept ? { ...sessionOf(kept, null), id: work } : null
  }

  const isOpen = ({ state, files }: QueueItem) =>
    files !== null && (state === 'waiting' || state === 'stopped')
  /** Items that somebody had to look at before they could be measured are tried again. */
  const again = ({ state, work }: QueueItem) => (state === 'needs' || state === 'failed') && work === ''

  /** Opens a recording for measuring: where it stopped, or from its first frame with the settings of its camera. */
  async function prepare(item: QueueItem): Promise<{ session: SessionStore; goesOn: boolean }> {
    const session = createSession()
    const { source } = await openRecording({ name: item.name, kind: item.kind, files: item.files! })
    const before = sessionFor(item)
    if (before && before.readings.size > 0) {
      session.setState({ ...before, source, shot: { time: before.run.at, frame: null, flag: 'not-kept' } })
      await getBare(session)
      return { session, goesOn: true }
    }
    takeSource(session, source, await source.at(0))
    const camera = rememberedCamera(source)
    if (camera) takeCamera(session, camera)
    const missing = lacking(session.getState())
    if (missing) {
      source.close()
      throw new Needed(missing)
    }
    await getBare(session)
    return { session, goesOn: false }
  }

  async function measure(id: string): Promise<void> {
    const item = find(id)!
    if (item.work !== '' && item.work === inHand.getState().id)
      return change(id, { state: 'needs', said: 'it is open below: “Go on” is there' })
    change(id, { state: 'measuring', said: '' })
    let failure = ''
    let session: SessionStore | null = null
    let unfollow = () => {}
    try {
      const hash = hashOnce(item.files!)
      const ready = await prepare(item)
      session = ready.session
      if (!store.getState().running) return change(id, { state: item.share > 0 ? 'stopped' : 'waiting' })
      const own = createMeasuring(session, client(), (text) => {
        failure = text
      })
      measuring = own
      unfollow = follow(id, session)
      await (ready.goesOn ? own.resume() : own.begin())
      unfollow()
      const done = session.getState().run.state === 'done'
      if (done) findContact(session)
      keep(id, session)
      const sha256 = await hash
      const told = done ? assess(session.getState()) : { state: 'stopped' as const, said: '' }
      change(id, {
        ...(failure ? { state: 'failed' as const, said: failure } : told),
        ...(done ? { share: 1 } : {}),
        ...(sha256 ? { sha256 } : {}),
      })
    } catch (error) {
      const said = (error as Error).message
      change(id, error instanceof Needed ? { state: 'needs', said } : { state: 'failed', said })
    } finally {
      unfollow()
      measuring = null
      session?.getState().source?.close()
    }
  }

  /** Puts what was measured of an item on the shelf. */
  function keep(id: string, session: SessionStore): void {
    const state = session.getState()
    if (gone || !worthKeeping(state)) return
    keeper.put(keptOf(state, Date.now()))
    if (find(id)?.work !== state.id) change(id, { work: state.id })
  }

  /** Tells how far it is, and keeps what is measured. */
  function follow(id: string, session: SessionStore): () => void {
    let written = performance.now()
    const began = { at: performance.now(), share: find(id)?.share ?? 0 }
    return session.subscribe(({ run, source }, before) => {
      if (run.at === before.run.at || !source) return
      const whole = Math.max(source.end - run.from, 1e-9)
      const share = Math.min(1, Math.max(0, (run.at - run.from) / whole))
      const { items } = store.getState()
      const now = performance.now()
      store.setState({
        items: items.map((item) => (item.id === id ? { ...item, share } : item)),
        left: remaining(items, id, share, (now - began.at) / 1e3, share - began.share),
      })
      if (now - written < pace) return
      written = now
      keep(id, session)
      keepItems(store.getState().items)
    })
  }

  async function run(): Promise<void> {
    for (;;) {
      const { items, running } = store.getState()
      const next = running ? items.find(isOpen) : undefined
      if (!next || gone) break
      await measure(next.id)
    }
    store.setState({ running: false, busy: false, left: Number.NaN })
  }

  return {
    store,
    take(recordings) {
      const { items, known } = joinItems(store.getState().items, recordings)
      set(items)
      return known
    },
    start() {
      if (store.getState().running) return
      set(
        store.getState().items.map((item) => (again(item) ? { ...item, state: 'waiting', said: '' } : item)),
      )
      const { busy } = store.getState()
      store.setState({ running: true, busy: true, left: Number.NaN })
      if (!busy) void run()
    },
    stop() {
      store.setState({ running: false })
      measuring?.stop()
    },
    change,
    remove(ids) {
      const { items } = store.getState()
      for (const { work } of items.filter(({ id }) => ids.includes(id))) if (work) keeper.remove(work)
      set(items.filter(({ id }) => !ids.includes(id)))
    },
    sessionFor,
    destroy() {
      gone = true
      store.setState({ running: false })
      measuring?.stop()
    },
  }
}

/** Somebody must do something about it before it can be measured. */
class Needed extends Error {}

/** Seconds left: the present recording at its pace, the others as long as it by the bytes of their files. NaN at the beginning. */
export function remaining(
  items: readonly QueueItem[],
  id: string,
  share: number,
  seconds: number,
  measured: number,
): number {
  const present = items.find((item) => item.id === id)
  if (!present || !(measured > 0.02) || !(seconds > 0.5)) return Number.NaN
  const whole = seconds / measured
  const others = items.filter(
    (item) => item.id !== id && item.files && (item.state === 'waiting' || item.state === 'stopped'),
  )
  const perByte = whole / Math.max(1, present.bytes)
  return (1 - share) * whole + others.reduce((sum, item) => sum + (1 - item.share) * item.bytes * perByte, 0)
}

/** The picture of the bath alone, at the moment that the settings name. */
async function getBare(session: SessionStore): Promise<void> {
  const { source, bareAt } = session.getState()
  if (!source || bareAt === null) return
  const shot = await source.at(bareAt)
  if (!shot.frame) return
  const bare = { ...shot, frame: shot.frame }
  session.setState(({ readWith }) => ({ bare, bareAt: null, readWith: readWith && { ...readWith, bare } }))
}
