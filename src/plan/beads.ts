/** What is told of the beads on a drop's rim, wherever it is told. Pure. */
import { type Beads, beadsOf } from '../life/beads.ts'
import type { Life } from '../life/types.ts'
import type { Fingers, FingersTable } from '../rim/fingers.ts'
import { NEEDED_GAIN } from '../rim/scope.ts'
import { figure } from './figures.ts'

/** What is needed of the full calculation. */
export type CalculatedBeads = Pick<
  Fingers,
  'verdict' | 'appear_s' | 'count' | 'wavelength_mm' | 'gainAtLargest' | 'countAtLargest' | 'dropRadius_um'
> & { table: Pick<FingersTable, 'wavelength_mm'> }

/**
 * 'late': the waves grow, but no bulge is as high as the ring before the largest radius. 'depends': on the drop/oil
 * tension, which is known to some 2 mN/m only.
 */
export type BeadVerdict = 'beads' | 'late' | 'none' | 'depends'

/** SI units, NaN where there is none. */
export interface BeadFacts extends Omit<Beads, 'atLargest'> {
  verdict: BeadVerdict
  /** From the full calculation, or from the life's own estimate. */
  by: 'calculation' | 'life'
  /** `from` with ten times more and ten times less noise, s; NaN if not before the largest radius. */
  band: { low: number; high: number }
  /** Null if the beads have faded by then. */
  atLargest: Beads['atLargest'] | null
}

function verdictOf({ verdict, appear_s }: CalculatedBeads): BeadVerdict {
  return verdict === 'beads' && !(appear_s.value >= 0) ? 'late' : verdict
}

/** In order: where waves come and fade, less noise may show sooner by some milliseconds. */
function bandOf({ low, value, high }: CalculatedBeads['appear_s']): BeadFacts['band'] {
  if (!(low >= 0 && high >= 0)) return { low, high }
  return { low: Math.min(low, value, high), high: Math.max(low, value, high) }
}

const largestOf = ({ countAtLargest, table }: CalculatedBeads): Beads['atLargest'] => ({
  count: countAtLargest,
  spacing: 1e-3 * (table.wavelength_mm.at(-1) ?? Number.NaN),
})

/** The full calculation where it is known, else the life's own estimate; null if neither tells anything. */
export function beadFacts(life: Life, fingers: CalculatedBeads | null | undefined): BeadFacts | null {
  const { outcome } = life.summary
  if (life.status !== 'done' || outcome === 'lens' || outcome === 'failed') return null
  if (!fingers) {
    const own = beadsOf(life)
    const band = { low: Number.NaN, high: Number.NaN }
    return own && { ...own, verdict: 'beads', by: 'life', band }
  }
  const { appear_s } = fingers
  return {
    verdict: verdictOf(fingers),
    by: 'calculation',
    from: appear_s.value,
    band: bandOf(appear_s),
    count: fingers.count,
    spacing: 1e-3 * fingers.wavelength_mm,
    dropRadius: 1e-6 * fingers.dropRadius_um,
    atLargest: fingers.gainAtLargest >= NEEDED_GAIN ? largestOf(fingers) : null,
  }
}

const seconds = (t: number): string => `${figure(t, 2)} s`

/** "between 0.59 and 0.74 s for ten times more or less noise"; empty if there is no band. */
export function bandWords({ by, from, band: { low, high } }: BeadFacts): string {
  if (by === 'life') return ''
  const noise = 'for ten times more or less noise'
  if (low >= 0 && high >= 0) {
    const [first, last] = [figure(low, 2), figure(high, 2)]
    return first === last ? `the same ${noise}` : `between ${first} and ${last} s ${noise}`
  }
  if (!(low >= 0)) return from >= 0 ? '' : 'not even with ten times more noise'
  if (!(from >= 0)) return `from ${seconds(low)} on with ten times more noise`
  return `from ${seconds(low)} on with ten times more noise, not before the largest radius with ten times less`
}

/** What the numbers are. */
export const basisWords = ({ by }: BeadFacts): string =>
  by === 'life' ? "the life's own quick estimate" : 'an estimate by linear stability'

export const tensionWords = 'depends on the drop/oil tension, which is not known well enough'
