/** What is told of the beads on a drop's rim, wherever it is told. Pure. */
import { type Beads, beadsOf } from '../life/beads.ts'
import type { Life } from '../life/types.ts'
import { figure } from './figures.ts'

/** What is needed of the full calculation (Fingers of src/rim, which stands above this folder). */
export interface CalculatedBeads {
  verdict: 'beads' | 'none' | 'depends'
  appear_s: { low: number; value: number; high: number }
  count: number
  wavelength_mm: number
  countAtLargest: number
  dropRadius_um: number
  table: { wavelength_mm: readonly number[] }
}

/**
 * 'late': the waves grow, but no bulge is as high as the ring before the largest radius. 'depends': on the drop/oil
 * tension, which is known to some 2 mN/m only.
 */
export type BeadVerdict = 'beads' | 'late' | 'none' | 'depends'

/** Largest number of waves round the drop that the full calculation follows: there may be more. */
export const MOST_WAVES = 1000

/** SI units, NaN where there is none. */
export interface BeadFacts extends Beads {
  verdict: BeadVerdict
  /** From the full calculation, or from the life's own estimate. */
  by: 'calculation' | 'life'
  /** `from` with ten times more and ten times less noise, s; NaN if not before the largest radius. */
  band: { low: number; high: number }
}

function verdictOf({ verdict, appear_s }: CalculatedBeads): BeadVerdict {
  return verdict === 'beads' && !(appear_s.value >= 0) ? 'late' : verdict
}

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
    band: { low: appear_s.low, high: appear_s.high },
    count: fingers.count,
    spacing: 1e-3 * fingers.wavelength_mm,
    dropRadius: 1e-6 * fingers.dropRadius_um,
    atLargest: {
      count: fingers.countAtLargest,
      spacing: 1e-3 * (fingers.table.wavelength_mm.at(-1) ?? Number.NaN),
    },
  }
}

const seconds = (t: number): string => `${figure(t, 2)} s`

/** "between 0.59 and 0.74 s for ten times more or less noise"; empty if there is no band. */
export function bandWords({ by, from, band: { low, high } }: BeadFacts): string {
  if (by === 'life') return ''
  const noise = 'for ten times more or less noise'
  if (low >= 0 && high >= 0) return `between ${figure(low, 2)} and ${seconds(high)} ${noise}`
  if (!(low >= 0)) return from >= 0 ? '' : 'not even with ten times more noise'
  if (!(from >= 0)) return `from ${seconds(low)} on with ten times more noise`
  return `from ${seconds(low)} on with ten times more noise, not before the largest radius with ten times less`
}

/** What the numbers are. */
export const basisWords = ({ by }: BeadFacts): string =>
  by === 'life' ? "the life's own quick estimate" : 'an estimate by linear stability'

export const tensionWords = 'hangs on the drop/oil tension, which is not known well enough'
