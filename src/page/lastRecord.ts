/** One record that is kept in this browser between visits: the last, in an IndexedDB database of its own. */

export interface LastRecord<T> {
  /** What can be read; null where nothing is kept or it is of another version of the program. Rejects if the store fails. */
  read(): Promise<T | null>
  /** Rejects if it cannot be written. */
  write(record: T): Promise<void>
}

const LAST = 'last'

const asked = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result)
    request.onerror = () => reject(request.error)
  })

async function open(name: string): Promise<IDBDatabase> {
  if (typeof indexedDB === 'undefined') throw new DOMException('it has no IndexedDB', 'NotSupportedError')
  const request = indexedDB.open(`rimtide-${name}`, 1)
  request.onupgradeneeded = () => request.result.createObjectStore(name)
  return asked(request)
}

export const isGroup = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null

/**
 * The store of a name; opened for each reading and writing, which are rare, so that it never bars another tab.
 * @param isRecord whether this version of the program can show a record
 */
export const lastRecord = <T>(name: string, isRecord: (record: unknown) => record is T): LastRecord<T> => ({
  async read() {
    const database = await open(name)
    try {
      const found: unknown = await asked(database.transaction(name, 'readonly').objectStore(name).get(LAST))
      return isRecord(found) ? found : null
    } finally {
      database.close()
    }
  },
  async write(record) {
    const database = await open(name)
    try {
      const transaction = database.transaction(name, 'readwrite')
      const end = new Promise<void>((resolve, reject) => {
        transaction.oncomplete = () => resolve()
        transaction.onabort = () => reject(transaction.error ?? new DOMException('aborted', 'AbortError'))
      })
      transaction.objectStore(name).put(record, LAST)
      transaction.commit?.()
      await end
    } finally {
      database.close()
    }
  },
})
