/** The span of an output over a map. Pure. */

export interface Span {
  low: number
  high: number
  /** Told in ratios: all values are above 0 and range over more than a factor of 30. */
  ratios: boolean
}

/** From this ratio on a span is told in ratios. */
const WIDE = 30

/** The span of finite values; null where there are none. */
export function spanOf(values: Iterable<number>): Span | null {
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (const value of values) {
    if (!Number.isFinite(value)) continue
    if (value < low) low = value
    if (value > high) high = value
  }
  return high >= low ? { low, high, ratios: low > 0 && high / low > WIDE } : null
}

/** A value on the scale of a span: itself, or its logarithm. */
export const onScale = (value: number, { ratios }: Span): number => (ratios ? Math.log(value) : value)
