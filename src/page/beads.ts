/** The beads on the ring at one moment, as all pictures and tables show them. An estimate (src/model/breakUp.ts). SI units. */
import { type Moment, seriesAt } from '../life/sample.ts'
import type { Life, LifeSeries } from '../life/types.ts'
import { plain } from './format.ts'

export interface Beads {
  /** Bulges round the whole drop. */
  count: number
  /** From one to the next along the edge, m. */
  spacing: number
  /** Displacement of the edge, m; never above half the base. */
  amplitude: number
  /** Half the base of the ring, m. */
  halfBase: number
  /** Radius of the drops that the ring would leave, m. */
  dropRadius: number
  /** The edge is displaced by so much of the base that they are worth a word. */
  grown: boolean
}

/** Share of the ring's base from which a displacement of the edge is spoken of. */
const LEAST_GROWN = 0.05

/** A count of beads with two digits: its model is no better. */
export const beadCount = (n: number): number => Number(n.toPrecision(2))

type RingMoment = Pick<Moment, 'beads' | 'beadAmplitude' | 'beadRadius' | 'R' | 'ringBase'>

/** Null where there is no ring. */
export function beadsOf(moment: RingMoment): Beads | null {
  const { beads: count, beadAmplitude: amplitude, beadRadius: dropRadius, R, ringBase } = moment
  if (!(count > 0 && amplitude > 0 && dropRadius > 0 && R > 0 && ringBase > 0)) return null
  const halfBase = Math.max(amplitude, ringBase / 2)
  return {
    count,
    spacing: (2 * Math.PI * R) / count,
    amplitude,
    halfBase,
    dropRadius,
    grown: amplitude >= 2 * LEAST_GROWN * halfBase,
  }
}

export const beadsAt = (life: Life, time: number): Beads | null => beadsOf(seriesAt(life.series, time))

/** Whether there is anything to say of beads or of child drops at some moment. */
export const everBeads = ({
  t,
  beads,
  beadAmplitude,
  beadRadius,
  R,
  ringBase,
  childCount,
}: LifeSeries): boolean =>
  (childCount.at(-1) ?? 0) > 0 ||
  t.some((_, k) => {
    const moment = {
      beads: beads[k]!,
      beadAmplitude: beadAmplitude[k]!,
      beadRadius: beadRadius[k]!,
      R: R[k]!,
      ringBase: ringBase[k]!,
    }
    return beadsOf(moment)?.grown ?? false
  })

/** "about 180 beads, 0.62 mm apart". */
export const beadWords = ({ count, spacing }: Beads): string =>
  `about ${beadCount(count)} beads, ${plain(1e3 * spacing, 2)} mm apart`

/** The same, marked as an estimate; '' where there are none to speak of. */
export const beadsText = (beads: Beads | null): string =>
  beads?.grown ? `${beadWords(beads)} (estimate)` : ''
