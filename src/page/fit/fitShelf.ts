/** The fit that is shown and those that are kept for comparison, in this browser between visits: an IndexedDB database. */
import type { FitWish, LifeFit } from '../../measured/fit/types.ts'

/** A fit with its name in the list. */
export interface KeptFit {
  name: string
  fit: LifeFit
}

export interface FitRecord {
  format: 1
  shown: { wish: FitWish; fit: LifeFit } | null
  kept: readonly KeptFit[]
  /** How many were ever kept, so that no letter comes twice. */
  made: number
  /** Errors are shown × √χ²ν. */
  wide: boolean
}

export interface FitShelf {
  /** What can be read; null where nothing is kept or it is of another version of the program. Rejects if the store fails. */
  read(): Promise<FitRecord | null>
  /** Rejects if it cannot be written. */
  write(record: FitRecord): Promise<void>
}

const STORE = 'fits'
const LAST = 'last'

const asked = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result)
    request.onerror = () => reject(request.error)
  })

async function open(): Promise<IDBDatabase> {
  if (typeof indexedDB === 'undefined') throw new DOMException('it has no IndexedDB', 'NotSupportedError')
  const request = indexedDB.open('rimtide-fits', 1)
  request.onupgradeneeded = () => request.result.createObjectStore(STORE)
  return asked(request)
}

/** The browser's shelf; opened for each reading and writing, which are rare, so that it never bars another tab. */
export const fitShelf = (): FitShelf => ({
  async read() {
    const database = await open()
    try {
      const found: unknown = await asked(database.transaction(STORE, 'readonly').objectStore(STORE).get(LAST))
      return isFitRecord(found) ? found : null
    } finally {
      database.close()
    }
  },
  async write(record) {
    const database = await open()
    try {
      const transaction = database.transaction(STORE, 'readwrite')
      const end = new Promise<void>((resolve, reject) => {
        transaction.oncomplete = () => resolve()
        transaction.onabort = () => reject(transaction.error ?? new DOMException('aborted', 'AbortError'))
      })
      transaction.objectStore(STORE).put(record, LAST)
      transaction.commit?.()
      await end
    } finally {
      database.close()
    }
  },
})

const isGroup = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null

const NUMBERS = ['value', 'error', 'statistical', 'systematic', 'lower', 'upper'] as const

function isFit(value: unknown): value is LifeFit {
  if (!isGroup(value)) return false
  const { unknowns, curves, causes, warnings, notes, preset, correlation } = value
  return (
    [unknowns, curves, causes, warnings, notes].every(Array.isArray) &&
    isGroup(preset) &&
    correlation instanceof Float64Array &&
    (unknowns as unknown[]).every(
      (one) => isGroup(one) && NUMBERS.every((name) => typeof one[name] === 'number'),
    ) &&
    (curves as unknown[]).every((one) => isGroup(one) && one.lifeTime instanceof Float64Array)
  )
}

const isWish = (value: unknown): value is FitWish =>
  isGroup(value) && isGroup(value.preset) && Array.isArray(value.curves) && Array.isArray(value.unknowns)

/** True for a record that this version can show. */
function isFitRecord(record: unknown): record is FitRecord {
  if (!isGroup(record) || record.format !== 1) return false
  const { shown, kept, made, wide } = record
  const good = shown === null || (isGroup(shown) && isWish(shown.wish) && isFit(shown.fit))
  return (
    good &&
    typeof made === 'number' &&
    typeof wide === 'boolean' &&
    Array.isArray(kept) &&
    kept.every((one) => isGroup(one) && typeof one.name === 'string' && isFit(one.fit))
  )
}
