/** Do two curves say the same? */
import { type Bag, isBag } from './metaCheck.ts'
import type { MeasuredCurve } from './types.ts'

/** True when two curves say the same: numbers to the bit (NaN equals NaN), words, colour. The id does not count. */
export function sameCurve(a: MeasuredCurve, b: MeasuredCurve): boolean {
  return (
    a.name === b.name &&
    a.file === b.file &&
    sameNumbers(a.time, b.time) &&
    sameNumbers(a.radius, b.radius) &&
    sameNumbers(a.uncertainty, b.uncertainty) &&
    sameNumbers(a.excluded, b.excluded) &&
    sameShared(a.shared, b.shared) &&
    sameMeta(a.meta, b.meta)
  )
}

/** True when two lists hold the same numbers to the bit (NaN equals NaN), or both are missing. */
export function sameNumbers(a: ArrayLike<number> | undefined, b: ArrayLike<number> | undefined): boolean {
  if (a === b) return true
  if (!a || !b || a.length !== b.length) return false
  for (let i = 0; i < a.length; i++) if (!Object.is(a[i], b[i])) return false
  return true
}

const sameShared = (a: MeasuredCurve['shared'] = [], b: MeasuredCurve['shared'] = []): boolean =>
  a.length === b.length &&
  a.every(({ cause, shift }) => sameNumbers(shift, b.find((other) => other.cause === cause)?.shift))

/** Entries of two groups, the group of uncertainties among them. */
const sameMeta = (a: object, b: object): boolean => {
  const left = a as Bag
  const right = b as Bag
  return [...new Set([...Object.keys(a), ...Object.keys(b)])].every((key) =>
    isBag(left[key]) && isBag(right[key]) ? sameMeta(left[key], right[key]) : left[key] === right[key],
  )
}
