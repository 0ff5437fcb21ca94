/** Brings unfinished work to the shelf, one writing after the other, and notes what is still under way. */
import type { KeptWork } from './kept.ts'
import type { WorkNotes } from './workNotes.ts'
import type { WorkShelf } from './workShelf.ts'

export interface WorkWriter {
  /** True after the shelf failed, until it works again. */
  readonly failing: boolean
  /** True while something is neither on the shelf nor in a note although the page was about to go away. */
  readonly unnoted: boolean
  /** Writes a piece of work and gives up others. Resolves when that is done, or has failed and was told. */
  write(put: KeptWork | null, remove?: readonly string[]): Promise<void>
  /** Resolves when all that was begun is done. */
  rest(): Promise<void>
  /** Brings a note of an earlier visit onto the shelf. */
  takeOver(note: KeptWork): void
  /** Notes at once all that is not confirmed as written; what cannot be noted nor written is told after `patience`, ms. */
  note(patience: number): void
  /** True for a name that was given up here; the shelf may not know it yet. */
  gaveUp(id: string): boolean
}

export function createWorkWriter(
  shelf: WorkShelf,
  notes: WorkNotes,
  failed: (error: unknown) => void,
): WorkWriter {
  let line: Promise<void> = Promise.resolve()
  let failing = false
  let unnoted = false
  /** What is on its way to the shelf, or could not be written. */
  const pending = new Map<string, KeptWork>()
  const noted = new Set<string>()
  const gone = new Set<string>()

  function confirm(put: KeptWork | null, remove: readonly string[]): void {
    failing = false
    for (const id of remove) notes.remove(id)
    if (!put || pending.get(put.id) !== put) return
    pending.delete(put.id)
    if (noted.delete(put.id)) notes.remove(put.id, put.saved)
  }

  function fail(error: unknown): void {
    failing = true
    failed(error)
  }

  /** The tab that made the note may have written it in the meantime, or be done with the work. */
  async function bring(note: KeptWork): Promise<void> {
    const stands = notes.all().some(({ id, saved }) => id === note.id && saved === note.saved)
    if (!stands || gone.has(note.id)) return
    await shelf.takeOver(note)
    notes.remove(note.id, note.saved)
  }

  return {
    get failing() {
      return failing
    },
    get unnoted() {
      return unnoted && pending.size > 0
    },
    write(put, remove = []) {
      for (const id of remove) {
        gone.add(id)
        pending.delete(id)
      }
      if (put) {
        gone.delete(put.id)
        pending.set(put.id, put)
      }
      line = line
        .then(() => shelf.write(put, remove))
        .then(() => confirm(put, remove))
        .catch(fail)
      return line
    },
    rest: () => line,
    takeOver(note) {
      line = line.then(() => bring(note)).catch(fail)
    },
    note(patience) {
      try {
        for (const work of pending.values()) {
          notes.put(work)
          noted.add(work.id)
        }
        for (const id of gone) notes.remove(id)
        unnoted = false
      } catch (error) {
        unnoted = true
        setTimeout(() => pending.size > 0 && fail(error), patience)
      }
    },
    gaveUp: (id) => gone.has(id),
  }
}
