/**
 * Keeps measured and corrected points of recordings that are not among the measured curves yet: over a reload, and when
 * another recording is begun. Nothing goes unless the user removes it.
 */
import { type KeptWork, keptOf, plainKeys, sessionOf, worthKeeping } from './kept.ts'
import { type Session, type SessionStore, sameRecording } from './session.ts'
import type { WorkShelf } from './workShelf.ts'

export interface WorkKeeper {
  /** Unfinished work other than that in hand, newest first. */
  readonly others: readonly KeptWork[]
  /** True while the browser's store fails and there is work that only this page holds. */
  readonly behind: boolean
  /** Puts the work in hand aside, for another recording comes. Gives its name; null if there was nothing to keep. */
  setAside(): string | null
  /** The work in hand has become a measured curve: as it is now it need not be kept here. */
  finish(): void
  /** Goes on with what was kept; what is in hand is put aside. */
  getBack(id: string): void
  /** Lets go of kept work; gives what puts it back. */
  remove(id: string): (() => void) | null
  /** Writes at once what is not written yet. */
  flush(): Promise<void>
  destroy(): void
}

/** Changes of these are changes of the work: all that is kept, and the picture without a drop, by which frames are judged. */
const parts = [...plainKeys, 'bare', 'readings', 'corrections'] as const

/** Time from a change to its writing, ms; longer while frames are measured. */
const soon = 300
const later = 2000

export interface Surroundings {
  shelf: WorkShelf
  /** ms since 1970 */
  now(): number
  /** Called when `others` has changed. */
  changed(): void
  /** Told once per reason when the browser's store fails. */
  failed(error: unknown): void
}

export function keepWork(session: SessionStore, around: Surroundings): WorkKeeper {
  let others: readonly KeptWork[] = []
  let dirty = false
  let failing = false
  let timer: ReturnType<typeof setTimeout> | undefined
  let line: Promise<void> = Promise.resolve()

  const show = (list: readonly KeptWork[]) => {
    others = [...list].sort((a, b) => b.saved - a.saved)
    around.changed()
  }

  /** One writing after the other. */
  function write(put: KeptWork | null, remove: readonly string[] = []): Promise<void> {
    line = line
      .then(() => around.shelf.write(put, remove))
      .then(() => {
        failing = false
      })
      .catch((error: unknown) => {
        failing = true
        dirty = true
        around.failed(error)
      })
    return line
  }

  function flush(): Promise<void> {
    clearTimeout(timer)
    timer = undefined
    const state = session.getState()
    if (!dirty || !worthKeeping(state)) return line
    dirty = false
    return write(keptOf(state, around.now()))
  }

  function onChange(state: Session, before: Session): void {
    if (state.id !== before.id || !parts.some((key) => state[key] !== before[key])) return
    dirty ||= worthKeeping(state)
    if (dirty) timer ??= setTimeout(() => void flush(), state.run.state === 'running' ? later : soon)
  }

  function setAside(): string | null {
    const state = session.getState()
    const kept = worthKeeping(state) && !finished(state) ? keptOf(state, around.now()) : null
    void flush()
    dirty = false
    if (!kept) return null
    show([kept, ...others.filter(({ id }) => id !== kept.id)])
    return kept.source.name
  }

  let done: Pick<Session, (typeof parts)[number] | 'id'> | null = null
  const finished = (state: Session) =>
    done !== null && done.id === state.id && parts.every((key) => done![key] === state[key])

  const unsubscribe = session.subscribe(onChange)
  void around.shelf
    .readAll()
    .then((list) => {
      const here = new Set([session.getState().id, ...others.map(({ id }) => id)])
      show([...others, ...list.filter(({ id }) => !here.has(id))])
    })
    .catch(() => {})

  return {
    get others() {
      return others
    },
    get behind() {
      return (
        failing && (others.length > 0 || (worthKeeping(session.getState()) && !finished(session.getState())))
      )
    },
    setAside,
    finish() {
      clearTimeout(timer)
      timer = undefined
      const state = session.getState()
      done = state
      dirty = false
      void write(null, [state.id])
    },
    getBack(id) {
      const kept = others.find((one) => one.id === id)
      if (!kept) return
      setAside()
      const { source } = session.getState()
      const open = source && !source.withoutPictures && sameRecording(source, kept.source) ? source : null
      if (!open) source?.close()
      const state = sessionOf(kept, open)
      session.setState(state)
      show(others.filter((one) => one.id !== id))
      // Under a name of its own: another tab may be at work on the same.
      void write(keptOf(session.getState(), kept.saved), [id])
    },
    remove(id) {
      const kept = others.find((one) => one.id === id)
      if (!kept) return null
      show(others.filter((one) => one.id !== id))
      void write(null, [id])
      return () => {
        show([kept, ...others])
        void write(kept)
      }
    },
    flush,
    destroy() {
      void flush()
      unsubscribe()
    },
  }
}
