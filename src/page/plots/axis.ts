/** The radial axis that stage and section share, and round numbers for axes. */
import { niceStep } from '../spans.ts'

/** Room for labels left and right of the radial axis, CSS px; the same in every view that shows radii. */
export const axisLeft = 54
export const axisRight = 18

/** Pixels per metre along the radial axis, which runs from −span to +span over a view `width` px wide. */
export const pixelsPerMetre = (width: number, span: number): number =>
  Math.max(1, width - axisLeft - axisRight) / (2 * span)

/** Place of the signed radius r (m), px from the left edge of the view. */
export const radiusToPx = (width: number, span: number, r: number): number =>
  axisLeft + (r + span) * pixelsPerMetre(width, span)

/** Signed radius (m) at x px from the left edge of the view. */
export const pxToRadius = (width: number, span: number, x: number): number =>
  (x - axisLeft) / pixelsPerMetre(width, span) - span

const tidy = (value: number): number => Number(value.toPrecision(12))

/** Round steps from min to max with at least `gap` px between them on an axis `size` px long. */
export function linearTicks(min: number, max: number, size: number, gap: number): number[] {
  if (!(max > min) || !(size > 0)) return []
  const step = niceStep((max - min) / Math.max(1, Math.floor(size / gap)))
  const ticks: number[] = []
  for (let k = Math.ceil(min / step - 1e-9); k * step <= max + 1e-9 * step; k++) ticks.push(tidy(k * step))
  return ticks
}

/** Powers of ten from min to max (both > 0), thinned so that at least `gap` px lie between them; where they are fewer than three, 2 and 5 too. */
export function logTicks(min: number, max: number, size: number, gap: number): number[] {
  if (!(min > 0) || !(max > min)) return []
  const from = Math.ceil(Math.log10(min) - 1e-9)
  const to = Math.floor(Math.log10(max) + 1e-9)
  const perDecade = size / Math.log10(max / min)
  const every = Math.max(1, Math.ceil(gap / perDecade))
  const ticks: number[] = []
  for (let k = from; k <= to; k++) if (k % every === 0) ticks.push(tidy(10 ** k))
  // Where hardly a power lies within, twice and five times a power, too.
  if (ticks.length < 3 && perDecade * Math.log10(2) >= gap) {
    for (let k = from - 1; k <= to; k++) {
      for (const by of [2, 5]) if (by * 10 ** k >= min && by * 10 ** k <= max) ticks.push(tidy(by * 10 ** k))
    }
    ticks.sort((a, b) => a - b)
  }
  return ticks
}

export interface Range {
  min: number
  max: number
}

/** A round range about the values; `zero` keeps 0 in it. Empty or constant values get some room. */
export function roundRange(low: number, high: number, zero: boolean, parts = 4): Range {
  let [min, max] = low <= high ? [low, high] : [0, 1]
  if (zero) [min, max] = [Math.min(min, 0), Math.max(max, 0)]
  if (max - min < 1e-9 * Math.max(Math.abs(max), 1e-9)) {
    const room = Math.max(Math.abs(max) * 0.1, 1e-3)
    ;[min, max] = [zero && min === 0 ? 0 : min - room, max + room]
  }
  const step = niceStep((max - min) / parts)
  return { min: tidy(step * Math.floor(min / step + 1e-9)), max: tidy(step * Math.ceil(max / step - 1e-9)) }
}

/** Powers of ten for a logarithmic axis, each with the digits it needs. */
export const logLabels = (ticks: readonly number[]): string[] => ticks.map((tick) => tidy(tick).toString())

/** Numbers of one axis with equally many decimals, no more than the step needs; true minus sign. */
export function tickLabels(ticks: readonly number[]): string[] {
  const decimals = Math.max(
    0,
    ...ticks.map((tick) => {
      const text = tidy(Math.abs(tick)).toString()
      return text.includes('e-') ? Number(text.split('e-')[1]) : (text.split('.')[1]?.length ?? 0)
    }),
  )
  return ticks.map((tick) => tick.toFixed(Math.min(decimals, 6)).replace('-', '−'))
}
