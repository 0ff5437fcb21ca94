/** Several recordings on the page: the queue, what of it is open below, and its way to the measured curves. */
import type { CurveMeta, MeasuredCurve } from '../../measured/types.ts'
import { say } from '../actions.ts'
import { whereListed } from '../measured/listed.ts'
import type { Store } from '../store.ts'
import { type Become, becomeCurves, createLinks, type Links, type Wish } from './becomingCurves.ts'
import { sameCamera } from './camera.ts'
import { createMarkClient, type MarkClient } from './client.ts'
import type { WorkKeeper } from './keepingWork.ts'
import { type KeptWork, keptOf } from './kept.ts'
import { findContact, makeCurve } from './making.ts'
import { openRecording } from './open.ts'
import { createQueue } from './queue.ts'
import { assess, isOf, type QueueItem } from './queueItems.ts'
import { createQueueView } from './queueView.ts'
import type { Recording } from './recordings.ts'
import { madeOf, metaToRenew, numbersOf } from './renewing.ts'
import { createSession, type Session, type SessionStore, seriesOf } from './session.ts'
import type { FrameSource } from './source.ts'
import type { Stepper } from './stepping.ts'

export interface RecordingShelf {
  root: HTMLElement
  /** Takes recordings into the queue if they are several or some of them stand in it; false if there is one alone. */
  queues(recordings: readonly Recording[]): boolean
  /** Whether kept work belongs to something in the queue. */
  holds(work: string): boolean
  /** Id of the item that is open below; '' if none is. */
  shown(): string
  /** The recording that is open below: its id in the queue, else that of its session. */
  recording(): string
  /** What is stated of the recording that is open below: by its curve, if it has become one, else in the table of runs. */
  statedHere(): { name?: string; meta: CurveMeta }
  /** What is open below has become a curve; false if it is none of the queue. */
  added(curve: MeasuredCurve): boolean
  links: Links
  destroy(): void
}

export interface Around {
  store: Store
  session: SessionStore
  keeper: WorkKeeper
  stepper: Stepper
  /** Opens a recording below; false if that failed. */
  take(open: () => Promise<{ source: FrameSource }>): Promise<boolean>
  /** Goes on below with kept work. */
  goOnWith(id: string): void
  /** Called when it has changed what the queue holds, or what of it is open. */
  changed(): void
}

/** Time of the frame with the largest radius that counts: there it is seen best whether the outline is right. */
function widest(state: Session): number {
  const counting = seriesOf(state).points.filter(({ counts }) => counts)
  const most = counting.reduce((best, one) => (one.radius > best.radius ? one : best), counting[0]!)
  return most ? most.recordingTime + 1e-6 : state.start
}

/** Settings of a camera that need no measuring anew. */
const laid = ['scalePoints', 'knownLength', 'recorded', 'kind'] as const

/** Changes of these change how a measured recording stands. */
const parts = [
  'readings',
  'corrections',
  'run',
  'start',
  'startKnown',
  'scalePoints',
  'knownLength',
  'recorded',
  'kind',
] as const

/** "Two recordings are among the measured curves; the points of one are renewed." */
function becomeWords(list: readonly Become[]): string {
  const count = (kind: Become['kind']) => list.filter((one) => one.kind === kind).length
  const [fresh, renewed] = [count('new'), count('renew')]
  const parts = [
    fresh === 0
      ? ''
      : fresh === 1
        ? 'One recording is among the measured curves'
        : `${fresh} recordings are among the measured curves`,
    renewed === 0
      ? ''
      : renewed === 1
        ? 'One curve has its points anew from its recording'
        : `${renewed} curves have their points anew from their recordings`,
  ].filter(Boolean)
  return parts.length > 0 ? `${parts.join('. ')}.` : ''
}

export const undoRenewal = 'Undo brings the earlier points back; they are among the removed curves too.'

export function createRecordingShelf({
  store,
  session,
  keeper,
  stepper,
  take,
  goOnWith,
  changed,
}: Around): RecordingShelf {
  let client: MarkClient | null = null
  const getClient = (): MarkClient => {
    client ??= createMarkClient()
    return client
  }
  const queue = createQueue({ keeper, client: getClient, inHand: session })
  /** What is open below: the item, and the session it was opened as. */
  let open = { item: '', session: '' }
  const items = () => queue.store.getState().items
  const links = createLinks(store)
  for (const { id, curve, made } of items()) if (curve) links.note(id, curve, made ?? null)
  const shown = (): string => (session.getState().id === open.session ? open.item : '')

  async function openItem(item: QueueItem): Promise<void> {
    const { files, work } = item
    if (work !== '' && session.getState().id !== work) {
      goOnWith(work)
      queue.change(item.id, { work: session.getState().id })
    }
    if (files && (work === '' || session.getState().source?.withoutPictures)) {
      const opened = await take(() => openRecording({ name: item.name, kind: item.kind, files }))
      if (!opened) return
    }
    if (work !== '' && !session.getState().source?.withoutPictures) stepper.go(widest(session.getState()))
    open = { item: item.id, session: session.getState().id }
    view.update()
    changed()
  }

  /** Ticked or not: what was measured already is looked at anew. */
  function setContactFirst(on: boolean): void {
    session.setState({ contactFirst: on })
    const change = (own: SessionStore) => {
      own.setState({ contactFirst: on })
      if (on) findContact(own)
    }
    for (const item of items()) {
      if (item.state !== 'needs' || item.work === '') continue
      const state = queue.sessionFor(item)
      if (!state) continue
      const inHand = state.id === session.getState().id
      const own = inHand ? session : createSession()
      if (!inHand) own.setState(state)
      change(own)
      if (!inHand) keeper.put(keptOf(own.getState(), Date.now()))
      queue.change(item.id, assess(own.getState()))
    }
  }

  /** The curve of an item as it is measured now. */
  function freshOf(item: QueueItem): ReturnType<typeof makeCurve> {
    const state = queue.sessionFor(item)
    if (!state) return { ok: false, message: 'what was measured of it is no longer in this browser' }
    const before = links.of(item.id)
    const name = before?.old.name ?? item.name.replace(/\.[^.]{1,5}$/, '')
    const meta = before ? metaToRenew(before.old, before.made) : (store.getState().stated.get(item.id) ?? {})
    return makeCurve(state, { name, meta, sha256: item.sha256 })
  }

  /** Whether what is measured of an item is another than its curve was given. */
  function renews(item: QueueItem): boolean {
    if (!item.curve) return false
    const fresh = freshOf(item)
    const given = item.made?.numbers ?? links.of(item.id)?.old
    if (!fresh.ok || !given) return false
    return numbersOf(fresh.curve) !== (typeof given === 'string' ? given : numbersOf(given))
  }

  const find = (id: string) => items().find((one) => one.id === id)
  const judgeAnew = (id: string) => {
    const item = find(id)
    if (item && renews(item) !== (item.renew ?? false)) queue.change(id, { renew: !item.renew })
  }

  function joined(list: readonly Become[]): void {
    for (const { of, curve, kind } of list)
      queue.change(of, {
        curve: curve.id,
        renew: false,
        ...(kind === 'same' ? {} : { made: madeOf(curve) }),
      })
    const words = becomeWords(list)
    const renewed = list.some(({ kind }) => kind === 'renew')
    const { words: where, action } = whereListed(store)
    const back = renewed ? undoRenewal : 'Undo takes them out again.'
    if (words) say(store, 'note', words, `${back} ${where}`.trim(), action)
  }

  function addAll(): void {
    const wishes: Wish[] = []
    for (const item of items()) {
      if (item.state !== 'done' || (item.curve && !item.renew)) continue
      const fresh = freshOf(item)
      if (fresh.ok) wishes.push({ of: item.id, fresh: fresh.curve })
      else queue.change(item.id, { state: 'needs', said: fresh.message })
    }
    becomeCurves(store, links, wishes, 'The queue', joined)
  }

  /** Measured recordings of the camera in hand whose scale, rate or kind of radius is another than there. */
  function unlike(): { item: QueueItem; kept: KeptWork }[] {
    const here = session.getState()
    if (!here.source || here.source.kind === 'demo' || queue.store.getState().running) return []
    const wanted = JSON.stringify(laid.map((key) => here[key]))
    return items().flatMap((item) => {
      if (!(item.state === 'done' || item.state === 'needs')) return []
      const kept = keeper.others.find(({ id }) => id === item.work)
      if (!kept || !sameCamera(kept.source, here.source!)) return []
      return JSON.stringify(laid.map((key) => kept.plain[key])) === wanted ? [] : [{ item, kept }]
    })
  }

  function layOnAll(): void {
    const { scalePoints, knownLength, recorded, kind } = session.getState()
    for (const { item, kept } of unlike()) {
      const plain = { ...kept.plain, scalePoints, knownLength, recorded, kind }
      keeper.put({ ...kept, plain, saved: Date.now() })
      queue.change(item.id, assess(queue.sessionFor(item)!))
      judgeAnew(item.id)
    }
  }

  const view = createQueueView(queue, {
    unlike: () => unlike().length,
    layOnAll,
    open: (item) => void openItem(item),
    addAll,
    contactFirst: setContactFirst,
    shown,
    ticked: () => session.getState().contactFirst,
  })

  /** The item that is open below follows what is done there. */
  const unfollow = session.subscribe((state: Session, before: Session) => {
    if (
      state.id !== before.id ||
      [...laid, 'contactFirst' as const].some((key) => state[key] !== before[key])
    )
      view.update()
    const id = shown()
    if (id === '' || state.id !== before.id || !parts.some((key) => state[key] !== before[key])) return
    const item = items().find((one) => one.id === id)
    if (!item || item.state === 'measuring' || state.readings.size === 0) return
    if (item.work !== state.id) queue.change(id, { work: state.id })
    if (state.run.state !== 'done') return
    queue.change(id, { ...assess(state), share: 1 })
    judgeAnew(id)
  })
  /** A curve that was taken out again, by Undo or by hand, can be added again; another one of the same recording may be back. */
  function follow(): void {
    if (store.getState().keeping.state === 'opening') return
    const here = new Set(store.getState().measured.map(({ id }) => id))
    for (const { id, curve } of items()) {
      if (here.has(curve) || (curve === '' && !links.of(id))) continue
      const other = links.of(id)
      queue.change(id, {
        curve: other?.old.id ?? '',
        renew: false,
        ...(other?.made ? { made: other.made } : {}),
      })
      judgeAnew(id)
    }
  }
  const unlist = store.subscribe((state, before) => {
    if (state.measured !== before.measured || state.keeping.state !== before.keeping.state) follow()
  })
  /** The table of runs has a row for each. */
  const list = () => {
    const queued = items().map(({ id, name, curve }) => ({ id, name, curve }))
    if (JSON.stringify(queued) !== JSON.stringify(store.getState().queued)) store.setState({ queued })
  }
  list()
  follow()
  const unwatch = queue.store.subscribe((state, before) => {
    list()
    if (
      state.items.length !== before.items.length ||
      state.items.some(({ work }, i) => work !== before.items[i]?.work)
    )
      changed()
    if (before.busy && !state.busy) {
      client?.destroy()
      client = null
    }
  })

  return {
    root: view.root,
    queues(recordings) {
      const known = recordings.some((one) => items().some((item) => isOf(item, one)))
      if (recordings.length < 2 && !known) return false
      const back = queue.take(recordings)
      if (back > 0) {
        const text =
          back === 1 ? 'One recording is known from before' : `${back} recordings are known from before`
        say(store, 'note', `${text}; what was measured of them is here.`)
      }
      const first = items().find(({ files, work }) => files && work === '')
      if (first && session.getState().readings.size === 0) void openItem(first)
      return true
    },
    holds: (work) => items().some((item) => item.work === work),
    shown,
    links,
    recording: () => shown() || session.getState().id,
    statedHere() {
      const before = links.of(shown() || session.getState().id)
      if (before) return { name: before.old.name, meta: metaToRenew(before.old, before.made) }
      return { meta: store.getState().stated.get(shown()) ?? {} }
    },
    added(curve) {
      const id = shown()
      if (id !== '') queue.change(id, { curve: curve.id, made: madeOf(curve), renew: false })
      return id !== ''
    },
    destroy() {
      queue.destroy()
      view.destroy()
      unfollow()
      unlist()
      unwatch()
      client?.destroy()
    },
  }
}
