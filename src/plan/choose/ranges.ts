/** Evenly spaced values of an input. */

/** Most values of one range. */
const MOST = 40

/** `count` values from `least` to `most`, both among them, rounded to 12 digits; a message where that cannot be. */
export function rangeValues(
  least: number,
  most: number,
  count: number,
): { ok: true; values: number[] } | { ok: false; message: string } {
  if (!Number.isInteger(count) || count < 2 || count > MOST)
    return { ok: false, message: `${count} values. Permitted: whole numbers from 2 to ${MOST}.` }
  if (!(most > least))
    return { ok: false, message: `it goes from ${least} to ${most}: the second must be larger.` }
  const values = Array.from({ length: count }, (_, i) =>
    Number((least + ((most - least) * i) / (count - 1)).toPrecision(12)),
  )
  return { ok: true, values }
}
