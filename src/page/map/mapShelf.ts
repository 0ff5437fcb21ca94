/** The map that was worked out last, in this browser between visits: an IndexedDB database. */
import { CALCULATION } from '../../life/calculation.ts'
import { emptyMap, type MapWish, type OutcomeMap } from '../../plan/mapGrid.ts'
import type { MapColour } from './mapData.ts'

export interface MapRecord {
  format: 2
  /** By which code its lives were calculated. */
  calculation: string
  map: OutcomeMap
  wish: MapWish
  /** Names the drop without the two inputs, as `withoutInputs` does. */
  madeFor: string
  by: MapColour
}

export interface MapShelf {
  /** What can be read; null where nothing is kept or it is of another version of the program. Rejects if the store fails. */
  read(): Promise<MapRecord | null>
  /** Rejects if it cannot be written. */
  write(record: MapRecord): Promise<void>
}

const STORE = 'maps'
const LAST = 'last'

const asked = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result)
    request.onerror = () => reject(request.error)
  })

async function open(): Promise<IDBDatabase> {
  if (typeof indexedDB === 'undefined') throw new DOMException('it has no IndexedDB', 'NotSupportedError')
  const request = indexedDB.open('rimtide-maps', 1)
  request.onupgradeneeded = () => request.result.createObjectStore(STORE)
  return asked(request)
}

/** The browser's shelf; opened for each reading and writing, which are rare, so that it never bars another tab. */
export const mapShelf = (): MapShelf => ({
  async read() {
    const database = await open()
    try {
      const found: unknown = await asked(database.transaction(STORE, 'readonly').objectStore(STORE).get(LAST))
      return isMapRecord(found) ? found : null
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

const isNumbers = (value: unknown, length: number): boolean =>
  value instanceof Float64Array && value.length === length

/** True for a record that this version can show and go on with: a map of this shape comes of its wish. */
export function isMapRecord(record: unknown): record is MapRecord {
  if (!isGroup(record) || record.format !== 2 || record.calculation !== CALCULATION) return false
  const { map, wish, madeFor, by } = record
  if (!isGroup(map) || !isGroup(wish) || typeof madeFor !== 'string' || typeof by !== 'string') return false
  if (!isGroup(wish.x) || !isGroup(wish.y)) return false
  const empty = emptyMap(wish as unknown as MapWish)
  if (!empty.ok) return false
  const { total, x, y, values } = empty.map
  return (
    isNumbers(map.x, x.length) &&
    isNumbers(map.y, y.length) &&
    Array.isArray(map.outcome) &&
    map.outcome.length === total &&
    map.run instanceof Uint8Array &&
    map.run.length === total &&
    map.standIn instanceof Int32Array &&
    map.standIn.length === total &&
    isGroup(map.values) &&
    Object.keys(values).every((id) => isNumbers((map.values as Record<string, unknown>)[id], total)) &&
    (['done', 'total', 'share', 'coarse'] as const).every((name) => typeof map[name] === 'number')
  )
}
