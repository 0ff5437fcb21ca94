/** The beads on a drop's rim as its own life estimates them (the waves of src/model/breakUp.ts). */
import { NOISE } from '../model/breakUp.ts'
import type { Life } from './types.ts'

/** A wave shows once it moves the edge by this part of the ring's base; in a ring of beads it is a half … */
const SHOWN = 0.25
/** … and by this many times the noise (e³ as in src/rim): before, a ring of a micrometre would bead by noise alone. */
const GROWN = 20

/** SI units. */
export interface Beads {
  /** First moment at which the waves show, s. */
  from: number
  /** Beads round the drop then, their distance, m, and the radius of a drop that one of them would make, m. */
  count: number
  spacing: number
  dropRadius: number
  /** The same at the largest radius. */
  atLargest: { count: number; spacing: number }
}

/**
 * The beads of a whole life, or null if its waves do not show before the largest radius. A quick estimate, of whether
 * rather than of when: beside the full calculation of src/rim, along 10 lives with the ring kept whole, they show after 0.4
 * to 0.7 times the time, 0.9 to 3.1 times as many, and come to 0.9 to 1.3 times as many at the largest radius.
 */
export function beadsOf({ series, summary }: Pick<Life, 'series' | 'summary'>): Beads | null {
  if (summary.outcome === 'lens' || summary.outcome === 'failed') return null
  const { t, R, ringBase, beads, beadAmplitude, beadRadius } = series
  const spacing = (k: number): number => (2 * Math.PI * R[k]!) / beads[k]!
  const shows = (k: number): boolean =>
    beadAmplitude[k]! >= GROWN * NOISE && beadAmplitude[k]! >= SHOWN * ringBase[k]!
  let first = -1
  let largest = -1
  for (let k = 0; k < t.length && t[k]! <= summary.maxRadiusTime; k++) {
    if (first < 0 && shows(k)) first = k
    if (beads[k]! > 0) largest = k
  }
  if (first < 0) return null
  return {
    from: t[first]!,
    count: beads[first]!,
    spacing: spacing(first),
    dropRadius: beadRadius[first]!,
    atLargest: { count: beads[largest]!, spacing: spacing(largest) },
  }
}
