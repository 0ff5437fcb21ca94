/**
 * Keeps measured and corrected points of recordings that are not among the measured curves yet: over a reload, and when
 * another recording is begun. Nothing goes unless the user removes it. What the browser's database has not confirmed when
 * the page goes away is noted where writing is done at once, and taken over from there at the next start.
 */
import { type KeptWork, keptOf, plainKeys, sessionOf, worthKeeping } from './kept.ts'
import { type Session, type SessionStore, sameRecording } from './session.ts'
import { newestOf, type WorkNotes } from './workNotes.ts'
import type { WorkShelf } from './workShelf.ts'
import { createWorkWriter } from './workWriter.ts'

export interface WorkKeeper {
  /** Unfinished work other than that in hand, newest first. */
  readonly others: readonly KeptWork[]
  /** True while there is work that only this page holds because the browser's store fails or is full. */
  readonly behind: boolean
  /** Puts the work in hand aside, for another recording comes. Gives its name; null if there was nothing to keep. */
  setAside(): string | null
  /**
   * The work in hand has become a measured curve: as it is now it need not be kept here. `whenKept` calls back once the
   * curve is kept; until then the work stays on the shelf.
   */
  finish(whenKept?: (then: () => void) => void): void
  /** Goes on with what was kept; what is in hand is put aside. */
  getBack(id: string): void
  /** Keeps work that was done elsewhere than in hand; a newer version takes the place of the older. */
  put(work: KeptWork): void
  /** Lets go of kept work; gives what puts it back. */
  remove(id: string): (() => void) | null
  /** Writes at once what is not written yet. */
  flush(): Promise<void>
  /** The page may go away now: what is not confirmed as written is noted before this returns. */
  rescue(): void
  destroy(): void
}

/** Changes of these are changes of the work: all that is kept, and the picture without a drop, by which frames are judged. */
const parts = [...plainKeys, 'bare', 'readings', 'corrections'] as const

/** Time from a change to its writing, ms; longer while frames are measured. A correction by hand is written at once. */
const soon = 300
const later = 2000

export interface Surroundings {
  shelf: WorkShelf
  notes: WorkNotes
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
  let timer: ReturnType<typeof setTimeout> | undefined
  const writer = createWorkWriter(around.shelf, around.notes, (error) => {
    dirty = true
    around.failed(error)
  })
  let last = 0
  /** Moments of saving all differ, so that the newer of two can be told. */
  const moment = () => {
    last = Math.max(around.now(), last + 1)
    return last
  }

  const show = (list: readonly KeptWork[]) => {
    others = [...list].sort((a, b) => b.saved - a.saved)
    around.changed()
  }

  function flush(): Promise<void> {
    clearTimeout(timer)
    timer = undefined
    const state = session.getState()
    if (!dirty || !worthKeeping(state)) return writer.rest()
    dirty = false
    return writer.write(keptOf(state, moment()))
  }

  function rescue(): void {
    void flush()
    writer.note(later)
  }

  function onChange(state: Session, before: Session): void {
    if (state.id !== before.id || !parts.some((key) => state[key] !== before[key])) return
    dirty ||= worthKeeping(state)
    if (dirty && state.corrections !== before.corrections) void flush()
    else if (dirty) timer ??= setTimeout(() => void flush(), state.run.state === 'running' ? later : soon)
  }

  function setAside(): string | null {
    const state = session.getState()
    const kept = worthKeeping(state) && !finished(state) ? keptOf(state, moment()) : null
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

  /** Adds what was found, except what is in hand or was given up; of two versions the newer stays. */
  function offer(found: readonly KeptWork[]): void {
    const own = session.getState().id
    const { noted: newer } = newestOf(
      others,
      found.filter(({ id }) => id !== own && !writer.gaveUp(id)),
    )
    const ids = new Set(newer.map(({ id }) => id))
    show([...others.filter(({ id }) => !ids.has(id)), ...newer])
  }

  async function findOthers(): Promise<void> {
    const notes = around.notes.all()
    // Not before whoever made this keeper has it in hand.
    await null
    if (notes.length > 0) offer(notes)
    const shelved = await around.shelf.readAll()
    const { works, noted: newer } = newestOf(shelved, notes)
    offer(works)
    for (const note of notes) {
      if (newer.includes(note)) writer.takeOver(note)
      else around.notes.remove(note.id, note.saved)
    }
  }
  void findOthers().catch(() => {})

  return {
    get others() {
      return others
    },
    get behind() {
      if (writer.unnoted) return true
      return (
        writer.failing &&
        (others.length > 0 || (worthKeeping(session.getState()) && !finished(session.getState())))
      )
    },
    setAside,
    finish(whenKept = (then) => then()) {
      void flush()
      const state = session.getState()
      done = state
      dirty = false
      whenKept(() => {
        const now = session.getState()
        const changed = now.id === state.id ? !finished(now) : others.some(({ id }) => id === state.id)
        if (!changed) void writer.write(null, [state.id])
      })
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
      last = Math.max(last, kept.saved)
      // Under a name of its own: another tab may be at work on the same.
      void writer.write(keptOf(session.getState(), kept.saved), [id])
    },
    put(work) {
      last = Math.max(last, work.saved)
      show([work, ...others.filter(({ id }) => id !== work.id)])
      void writer.write(work)
    },
    remove(id) {
      const kept = others.find((one) => one.id === id)
      if (!kept) return null
      show(others.filter((one) => one.id !== id))
      void writer.write(null, [id])
      return () => {
        show([kept, ...others])
        void writer.write(kept)
      }
    },
    flush,
    rescue,
    destroy() {
      void flush()
      unsubscribe()
    },
  }
}
