/** The map that was worked out last, in this browser between visits: an IndexedDB database. */
import { CALCULATION } from '../../life/calculation.ts'
import { emptyMap, type MapWish, type OutcomeMap } from '../../plan/mapGrid.ts'
import { isGroup, type LastRecord, lastRecord } from '../lastRecord.ts'
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

export const mapShelf = (): LastRecord<MapRecord> => lastRecord('maps', isMapRecord)
