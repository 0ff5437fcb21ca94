/** The fit that is shown and those that are kept for comparison, in this browser between visits: an IndexedDB database. */
import type { FitWish, LifeFit } from '../../measured/fit/types.ts'
import { isGroup, type LastRecord, lastRecord } from '../lastRecord.ts'

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

export const fitShelf = (): LastRecord<FitRecord> => lastRecord('fits', isFitRecord)
