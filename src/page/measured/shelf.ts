/** Where curves are kept between visits: the browser's IndexedDB. Knows nothing of tabs and conflicts. */
import type { Kept, KeptView } from './merge.ts'

export interface Shelf {
  /** All records and the view, unchecked. `unreadable`: ids of records that the browser cannot give back. */
  readAll(): Promise<{ records: unknown[]; unreadable: string[]; view: unknown }>
  /** The records under these ids, unchecked; those that are missing are left out. */
  read(ids: readonly string[]): Promise<unknown[]>
  /**
   * One transaction, alone in all tabs: `decide` gets what is there under `ids` and gives what is to be written.
   * Rejects if anything of it could not be written; then nothing is.
   */
  change(ids: readonly string[], decide: (present: ReadonlyMap<string, unknown>) => Writing): Promise<void>
  close(): void
}

export interface Writing {
  put: readonly Kept[]
  forget?: readonly string[]
  view?: KeptView
}

/** Told when the shelf stops working behind our back (`reason`), or waits for another tab. */
export interface ShelfEvents {
  lost(reason: string): void
  waiting(reason: string): void
}

const curves = 'curves'
const views = 'view'

const asked = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result)
    request.onerror = (event) => {
      event.preventDefault()
      reject(request.error)
    }
  })

const finished = (transaction: IDBTransaction): Promise<void> =>
  new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve()
    transaction.onabort = () => reject(transaction.error ?? new DOMException('aborted', 'AbortError'))
  })

function abort(transaction: IDBTransaction): void {
  try {
    transaction.abort()
  } catch {
    // It has ended by itself.
  }
}

function open(name: string, events: ShelfEvents): Promise<IDBDatabase> {
  const request = indexedDB.open(name, 1)
  request.onupgradeneeded = () => {
    request.result.createObjectStore(curves, { keyPath: 'id' })
    request.result.createObjectStore(views)
  }
  request.onblocked = () => events.waiting('another tab holds an older version of this page; close it')
  return asked(request)
}

/** Opens the shelf. Rejects where the browser has none or refuses it. */
export async function openShelf(events: ShelfEvents, name = 'rimtide'): Promise<Shelf> {
  if (typeof indexedDB === 'undefined') throw new DOMException('it has no IndexedDB', 'NotSupportedError')
  const database = await open(name, events)
  database.onclose = () => events.lost('the browser closed its store')
  database.onversionchange = () => {
    database.close()
    events.lost('a newer version of this page is open in another tab; load this one again')
  }
  const begin = (mode: IDBTransactionMode) => {
    const transaction = database.transaction([curves, views], mode)
    return { store: transaction.objectStore(curves), view: transaction.objectStore(views), transaction }
  }
  return {
    async readAll() {
      const { store, view } = begin('readonly')
      const [keys, seen] = await Promise.all([asked(store.getAllKeys()), asked(view.get('view'))])
      const unreadable: string[] = []
      const records = await Promise.all(
        keys.map((key) =>
          asked(store.get(key) as IDBRequest<unknown>).catch(() => void unreadable.push(String(key))),
        ),
      )
      return { records: records.filter((record) => record !== undefined), unreadable, view: seen }
    },
    async read(ids) {
      const { store } = begin('readonly')
      const records = await Promise.all(ids.map((id) => asked(store.get(id) as IDBRequest<unknown>)))
      return records.filter((record) => record !== undefined)
    },
    async change(ids, decide) {
      const { store, view, transaction } = begin('readwrite')
      const end = finished(transaction)
      end.catch(() => {})
      try {
        const found = await Promise.all(
          ids.map(async (id) => [id, await asked(store.get(id) as IDBRequest<unknown>)] as const),
        )
        const writing = decide(new Map(found.filter(([, record]) => record !== undefined)))
        // One after the other: each is copied on the page's thread, which has time for other things in between.
        for (const kept of writing.put) await asked(store.put(kept))
        for (const id of writing.forget ?? []) store.delete(id)
        if (writing.view) view.put(writing.view, 'view')
      } catch (error) {
        abort(transaction)
        throw error
      }
      await end
    },
    close: () => database.close(),
  }
}
