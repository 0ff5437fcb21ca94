/** Where unfinished work on recordings is kept between visits: an IndexedDB database of its own. */
import type { KeptWork } from './kept.ts'

export interface WorkShelf {
  /** What can be read, newest first. */
  readAll(): Promise<KeptWork[]>
  /** Writes one piece of work and lets go of others, both or neither. Rejects if that fails. */
  write(put: KeptWork | null, remove?: readonly string[]): Promise<void>
  /** Writes a piece of work unless something as new is there under its name. Rejects if that fails. */
  takeOver(work: KeptWork): Promise<void>
}

const works = 'work'

const asked = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result)
    request.onerror = () => reject(request.error)
  })

const ended = (transaction: IDBTransaction): Promise<void> =>
  new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve()
    transaction.onabort = () => reject(transaction.error ?? new DOMException('aborted', 'AbortError'))
  })

async function open(): Promise<IDBDatabase> {
  if (typeof indexedDB === 'undefined') throw new DOMException('it has no IndexedDB', 'NotSupportedError')
  const request = indexedDB.open('rimtide-recordings', 1)
  request.onupgradeneeded = () => request.result.createObjectStore(works, { keyPath: 'id' })
  return asked(request)
}

/** The browser's shelf; opened at the first use, and again after a failure. */
export function workShelf(): WorkShelf {
  let opened: Promise<IDBDatabase> | null = null
  const database = async (): Promise<IDBDatabase> => {
    opened ??= open().then((found) => {
      const forget = () => {
        opened = null
      }
      found.onclose = forget
      found.onversionchange = () => {
        found.close()
        forget()
      }
      return found
    })
    try {
      return await opened
    } catch (error) {
      opened = null
      throw error
    }
  }
  return {
    async readAll() {
      const store = (await database()).transaction(works, 'readonly').objectStore(works)
      const records: unknown[] = await asked(store.getAll())
      return records.filter(isKeptWork).sort((a, b) => b.saved - a.saved)
    },
    async write(put, remove = []) {
      const transaction = (await database()).transaction(works, 'readwrite')
      const store = transaction.objectStore(works)
      if (put) store.put(put)
      for (const id of remove) store.delete(id)
      // Told to end right away, it does so although the page may be gone before it could answer.
      transaction.commit?.()
      await ended(transaction)
    },
    async takeOver(work) {
      const transaction = (await database()).transaction(works, 'readwrite')
      const store = transaction.objectStore(works)
      const end = ended(transaction)
      end.catch(() => {})
      const there: unknown = await asked(store.get(work.id))
      if (!isKeptWork(there) || there.saved < work.saved) store.put(work)
      await end
    },
  }
}

/** True for a record of the browser's store that can be gone on with. */
export function isKeptWork(record: unknown): record is KeptWork {
  const { format, id, saved, source, plain, readings, corrections, run } = (record ?? {}) as Partial<KeptWork>
  return (
    format === 1 &&
    typeof id === 'string' &&
    typeof saved === 'number' &&
    typeof source?.name === 'string' &&
    typeof plain?.start === 'number' &&
    Array.isArray(readings) &&
    readings.every((reading) => typeof reading?.time === 'number' && Array.isArray(reading?.result?.flags)) &&
    Array.isArray(corrections) &&
    typeof run?.state === 'string'
  )
}
