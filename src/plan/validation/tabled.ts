/** Facts that are tables: outside values against the same points of the library. */
import { figure } from '../figures.ts'
import type { Bench, Liquids } from './bench.ts'
import { atMost, worstGap, worstShare } from './judges.ts'
import { type Fact, fact } from './types.ts'

export const kelvin = (celsius: number): number => celsius + 273.15

interface Off extends Readonly<Record<string, number | readonly number[]>> {
  worst: number
  found: readonly number[]
}

/** A table of outside values against the same points of the library. */
export function tabled(given: {
  id: string
  fact: string
  source: string
  tolerance: string
  /** Outside values, and how the same are taken from the library. */
  wanted: readonly number[]
  found(liquids: Liquids): number[]
  /** Greatest permitted deviation: a share, or in the values' unit. */
  share?: number
  gap?: number
  unit: string
  digits?: number
  /** What else is to be known of the program's values. */
  note?: string
}): Fact {
  const { wanted, share, gap, unit, digits = 4, note = '' } = given
  const relative = share !== undefined
  const name = unit && ` ${unit}`
  return fact<Off>({
    id: given.id,
    fact: given.fact,
    source: given.source,
    tolerance: given.tolerance,
    measure({ liquids }: Bench) {
      const found = given.found(liquids)
      return { found, worst: relative ? worstShare(found, wanted) : worstGap(found, wanted) }
    },
    program({ found, worst }) {
      const shown = `${found.map((x) => figure(x, digits)).join(', ')}${name}`
      // Less than this is rounding.
      if (worst < 1e-7) return shown
      const off = relative ? `${figure(100 * worst, 2)} %` : `${figure(worst, 2)}${name}`
      return `${shown}; furthest off: ${off}${note && ` (${note})`}`
    },
    judge: ({ worst }) => atMost(worst, share ?? gap!),
  })
}
