/**
 * Notes of unfinished work that the browser's database has not confirmed yet, made in the moment in which the page goes
 * away: localStorage writes before the page is gone, the database perhaps never.
 */
import type { KeptWork } from './kept.ts'
import { isKeptWork } from './workShelf.ts'

export interface WorkNotes {
  /** All that can be read, those of other tabs too. */
  all(): KeptWork[]
  /** Writes at once; a note of the same name is replaced. Throws if the browser refuses or has no room. */
  put(work: KeptWork): void
  /** Removes a note unless it is newer than `upTo`, ms since 1970. */
  remove(id: string, upTo?: number): void
}

const stem = 'rimtide.unwritten.'
const oddNumbers = ['NaN', 'Infinity', '-Infinity']

/** What JSON has no words for: numbers that are not finite, and outlines. */
const asJson = (_: string, value: unknown): unknown => {
  if (typeof value === 'number' && !Number.isFinite(value)) return { odd: String(value) }
  return value instanceof Float32Array ? { floats: [...value] } : value
}

const fromJson = (_: string, value: unknown): unknown => {
  const { odd, floats } = (value ?? {}) as { odd?: unknown; floats?: unknown }
  if (typeof odd === 'string' && oddNumbers.includes(odd)) return Number(odd)
  return Array.isArray(floats) ? Float32Array.from(floats) : value
}

function readNote(text: string | null): KeptWork[] {
  try {
    const work: unknown = JSON.parse(text ?? 'null', fromJson)
    return isKeptWork(work) ? [work] : []
  } catch {
    return []
  }
}

/** Notes in the browser's localStorage, one for each piece of work. What cannot be read is left where it is. */
export const workNotes = (): WorkNotes => ({
  all() {
    try {
      const keys = Object.keys(localStorage).filter((key) => key.startsWith(stem))
      return keys.flatMap((key) => readNote(localStorage.getItem(key)))
    } catch {
      return []
    }
  },
  put: (work) => localStorage.setItem(stem + work.id, JSON.stringify(work, asJson)),
  remove(id, upTo = Number.POSITIVE_INFINITY) {
    try {
      const [note] = readNote(localStorage.getItem(stem + id))
      if (note && note.saved <= upTo) localStorage.removeItem(stem + id)
    } catch {
      // Where nothing can be removed there is none.
    }
  },
})

/** Of each piece of work the newer of shelf and notes, newest first. `noted`: those of which the note is the newer. */
export function newestOf(
  shelved: readonly KeptWork[],
  notes: readonly KeptWork[],
): { works: KeptWork[]; noted: KeptWork[] } {
  const works = new Map(shelved.map((work) => [work.id, work]))
  const noted = notes.filter((note) => note.saved > (works.get(note.id)?.saved ?? Number.NEGATIVE_INFINITY))
  for (const note of noted) works.set(note.id, note)
  return { works: [...works.values()].sort((a, b) => b.saved - a.saved), noted }
}
