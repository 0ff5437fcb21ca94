/** Right ends of the axes that several views share. */
import type { Life } from '../life/types.ts'
import { usedPoints } from '../measured/usable.ts'
import type { State } from './store.ts'

/** The largest finite value of a series, or 0. */
const largest = (values: Float64Array): number => {
  let most = 0
  for (const value of values) if (value > most) most = value
  return most
}

/** Smallest of 1, 2, 5 × 10^k that is at least `value` (> 0). */
export const niceStep = (value: number): number => {
  const power = 10 ** Math.floor(Math.log10(value))
  const lead = value / power
  return (lead <= 1 ? 1 : lead <= 2 ? 2 : lead <= 5 ? 5 : 10) * power
}

/** `value` rounded up to a round number with about `parts` steps below it. */
export const roundUp = (value: number, parts = 8): number => {
  const step = niceStep(value / parts)
  return Math.ceil(value / step - 1e-9) * step
}

const livesOf = (state: State): Life[] => [
  ...(state.life ? [state.life] : []),
  ...state.pins.map((pin) => pin.life),
  ...(state.companion ? [state.companion] : []),
]

/** Moment up to which the clock runs, s: the end of the life, and of the one beside it. */
export const playedTo = ({ life, companion }: Pick<State, 'life' | 'companion'>): number =>
  Math.max(life?.series.t.at(-1) ?? 0, companion?.series.t.at(-1) ?? 0)

/**
 * Radial span, m: a little more than the widest drop, never beyond the dish. An earlier span is kept while
 * the drop still fills most of it, so that the picture does not jump at each step of a slider.
 */
export function radialSpanOf(state: State): number {
  const dish = state.preset.bath.dishRadius_mm * 1e-3
  const widest = Math.max(0, ...livesOf(state).map((life) => largest(life.series.R)))
  const start = state.preset.drop.startRadius_mm * 1e-3
  const needed = Math.min(dish, 1.12 * Math.max(widest, 1.6 * start))
  const kept = Math.min(state.radialSpan, dish)
  const growing = state.life?.status === 'growing'
  if (needed <= kept && (growing || needed > 0.72 * kept)) return kept
  return Math.min(dish, roundUp(needed, 6))
}

/** Time span, s: to the end of the longest life and of the longest measured curve that is shown. */
export function timeSpanOf(state: State): number {
  const ends = livesOf(state).map((life) => life.series.t.at(-1) ?? 0)
  const measured = state.measured.filter((curve) => !state.hidden.has(curve.id))
  const longest = Math.max(0, ...ends, ...measured.map((curve) => usedPoints(curve).time.at(-1) ?? 0))
  if (state.life?.status === 'growing' && longest <= state.timeSpan) return state.timeSpan
  return longest > 0 ? roundUp(longest * 1.02, 10) : state.timeSpan
}
