/** What a sample tells of the whole: quantiles and chances. Pure. */

/**
 * The value below which a part `p` of the whole is expected, from a sample: so that the k-th of n values has k/(n + 1) of the
 * whole below it. Hyndman & Fan, Am. Stat. 50, 361–365 (1996), definition 6. NaN without values.
 * @param sorted ascending
 */
export function quantile(sorted: ArrayLike<number>, p: number): number {
  const n = sorted.length
  if (n === 0) return Number.NaN
  const place = Math.min(n, Math.max(1, p * (n + 1)))
  const below = Math.floor(place)
  const low = sorted[below - 1]!
  return below === n ? low : low + (place - below) * (sorted[below]! - low)
}

/**
 * Range of the chance of something that happened `count` times of `of`: Wilson, J. Am. Stat. Assoc. 22, 209–212 (1927).
 * @param z standard deviations either way; 1 covers 68 %. [0, 1] where nothing was tried.
 */
export function wilson(count: number, of: number, z = 1): [low: number, high: number] {
  if (!(of > 0)) return [0, 1]
  const p = count / of
  const z2 = (z * z) / of
  const middle = (p + z2 / 2) / (1 + z2)
  const half = (z / (1 + z2)) * Math.sqrt((p * (1 - p)) / of + z2 / (4 * of))
  return [count === 0 ? 0 : Math.max(0, middle - half), count === of ? 1 : Math.min(1, middle + half)]
}

const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length

/** Correlation of two equally long series, −1 to 1; 0 where one of them does not vary. */
export function correlation(a: readonly number[], b: readonly number[]): number {
  const [ma, mb] = [mean(a), mean(b)]
  let [ab, aa, bb] = [0, 0, 0]
  for (let i = 0; i < a.length; i++) {
    const [da, db] = [a[i]! - ma, b[i]! - mb]
    ab += da * db
    aa += da * da
    bb += db * db
  }
  return aa > 0 && bb > 0 ? ab / Math.sqrt(aa * bb) : 0
}
