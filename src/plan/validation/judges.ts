/** From numbers to verdicts. A number that is not there cannot tell anything. */
import type { Verdict } from './types.ts'

const told = (numbers: readonly number[], right: boolean): Verdict =>
  numbers.some((x) => Number.isNaN(x)) ? 'cannot tell' : right ? 'agrees' : 'disagrees'

/** low ≤ value ≤ high. */
export const between = (value: number, low: number, high: number): Verdict =>
  told([value], value >= low && value <= high)

export const atMost = (value: number, most: number): Verdict => told([value], value <= most)

export const atLeast = (value: number, least: number): Verdict => told([value], value >= least)

/** Each value below the one before it by at least the share `step`; fewer than two values cannot tell. */
export function falls(values: readonly number[], step = 0): Verdict {
  if (values.length < 2) return 'cannot tell'
  return told(
    values,
    values.every((value, i) => i === 0 || value < values[i - 1]! * (1 - step)),
  )
}

/**
 * A size that was reported without saying whether as radius or as diameter: `agrees` if the radius is within the factor
 * in both readings, `disagrees` if in neither.
 */
export function size(radius: number, reported: number, factor: number): Verdict {
  const near = (wanted: number) => radius >= wanted / factor && radius <= wanted * factor
  const readings = [near(reported), near(reported / 2)]
  if (Number.isNaN(radius)) return 'cannot tell'
  if (readings.every((right) => right)) return 'agrees'
  return readings.some((right) => right) ? 'cannot tell' : 'disagrees'
}

/** Largest |found/wanted − 1|; NaN if any number is missing. */
export const worstShare = (found: readonly number[], wanted: readonly number[]): number =>
  found.reduce((worst, x, i) => {
    const off = Math.abs(x / wanted[i]! - 1)
    return off > worst || Number.isNaN(off) ? off : worst
  }, 0)

/** Largest |found − wanted|; NaN if any number is missing. */
export const worstGap = (found: readonly number[], wanted: readonly number[]): number =>
  found.reduce((worst, x, i) => {
    const off = Math.abs(x - wanted[i]!)
    return off > worst || Number.isNaN(off) ? off : worst
  }, 0)
