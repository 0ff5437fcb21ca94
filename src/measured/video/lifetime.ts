/** Where the drop's life begins and ends in a recording, from what was found in its frames. Times are the recording's own, s. */
import { medianOf } from './light.ts'
import { keyOf, type Reading, type Rejection, type Sight } from './sight.ts'

/** A moment and its standard uncertainty, s. */
export interface Moment {
  time: number
  uncertainty: number
}

export interface Lifetime {
  /** Null if no frame that was looked at shows the bath before the drop. */
  touchDown: Moment | null
  /** Null if the drop is there to the last frame that was looked at. */
  collapse: Moment | null
}

/** A gap of so many frames is more than a hand that passes. */
const longGap = 3
/** What comes after such a gap is the same drop if its contrast and its size are at least these shares of what they were. */
const leastContrast = 0.5
const leastRadius = 0.35
const leastRoundness = 0.7

/** What is left of a drop: faint beside what it was, and no longer round. */
const veil = (drop: Sight['drop'], usual: number): boolean =>
  drop.contrast < 0.35 * usual && (drop.roundness < 0.75 || drop.ragged > 0.12)

/**
 * Index of the last sight of the drop's life among those that follow from one another; `keys` are those of all frames that
 * were looked at, in order. The life ends before a long gap after which something smaller, fainter or rougher comes, and
 * before the veil that it leaves. −1 if there are no sights.
 */
export function endOfLife(main: readonly Sight[], keys: readonly number[]): number {
  if (main.length === 0) return -1
  const usual = medianOf(Float64Array.from(main, ({ drop }) => drop.contrast))
  const place = new Map(keys.map((key, i) => [key, i]))
  for (let i = 0; i + 1 < main.length; i++) {
    const [here, next] = [main[i]!, main[i + 1]!]
    const gap = place.get(next.key)! - place.get(here.key)! - 1
    if (gap < longGap) continue
    const { contrast, equivalentRadius, roundness } = next.drop
    const same =
      contrast >= leastContrast * usual &&
      equivalentRadius >= leastRadius * here.drop.equivalentRadius &&
      roundness >= leastRoundness
    if (!same) return i
  }
  let last = main.length - 1
  while (last > 0 && veil(main[last]!.drop, usual)) last--
  return last
}

/** Halfway between two moments, taken to lie anywhere between (rectangular distribution: JCGM 100:2008, 4.3.7). */
const between = (from: number, to: number): Moment => ({
  time: (from + to) / 2,
  uncertainty: (to - from) / Math.sqrt(12),
})

/** True if a frame shows bare bath where the drop appears: nothing, or something that lies elsewhere. */
function bareThere({ result }: Reading, first: Sight['drop']): boolean {
  const { drop, flags } = result
  if (!drop) return flags.includes('no-drop')
  return Math.hypot(drop.x - first.x, drop.y - first.y) > drop.equivalentRadius + first.equivalentRadius
}

/**
 * Touch-down, the first of two frames in a row with the drop, and collapse: each lies between the frame that shows the drop and the next one that does not. Frames that do
 * not tell (a hand over the place, pictures that cannot be read) widen the interval.
 */
export function lifetimeOf(
  readings: Iterable<Reading>,
  rejections: ReadonlyMap<number, Rejection>,
): Lifetime {
  const sorted = [...readings].sort((a, b) => a.time - b.time)
  const shows = sorted.map(
    ({ time, result }) =>
      result.drop !== null && !result.flags.includes('touches-border') && !rejections.has(keyOf(time)),
  )
  const first = shows.findIndex((here, i) => here && shows[i + 1])
  if (first < 0) return { touchDown: null, collapse: null }
  const drop = sorted[first]!.result.drop!
  let before = first - 1
  while (before >= 0 && !bareThere(sorted[before]!, drop) && !wasThere(sorted[before]!, rejections)) before--
  const last = shows.lastIndexOf(true)
  let after = last + 1
  while (after < sorted.length && unreadable(sorted[after]!)) after++
  return {
    touchDown: before < 0 ? null : between(sorted[before]!.time, sorted[first]!.time),
    collapse: after >= sorted.length ? null : between(sorted[last]!.time, sorted[after]!.time),
  }
}

/** What stands still or was there before is bath. */
function wasThere({ time }: Reading, rejections: ReadonlyMap<number, Rejection>): boolean {
  const kind = rejections.get(keyOf(time))?.kind
  return kind === 'glare' || kind === 'present'
}

const unreadable = ({ result }: Reading): boolean => result.drop === null && !result.flags.includes('no-drop')
