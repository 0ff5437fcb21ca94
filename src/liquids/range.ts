/** Whether data are used outside the temperatures at which they were taken. */
import type { SourceNote } from './types.ts'

/** A few kelvin beside the data are within what the data are good for: common practice, no source. */
const NEAR = 5

/** How far a temperature (°C) lies outside the data of a note, K; 0 inside or where the note names no temperatures. */
function kelvinOutside({ celsius }: Pick<SourceNote, 'celsius'>, at: number): number {
  if (!celsius) return 0
  return Math.max(0, celsius[0] - at, at - celsius[1])
}

const spanText = ([low, high]: readonly [number, number]): string =>
  low === high ? `${low} °C` : `${low}–${high} °C`

/** What is said beside a note whose data are of another temperature; '' where there is nothing to say. */
export function outsideWords(note: Pick<SourceNote, 'celsius'>, at: number): string {
  const far = kelvinOutside(note, at)
  if (far === 0) return ''
  return `the present ${at} °C is ${Number(far.toFixed(1))} K outside the data (${spanText(note.celsius!)})`
}

/** One sentence over all data that are used far outside their temperatures; none where there are none. */
export function outsideWarnings(notes: readonly SourceNote[], at: number): string[] {
  const far = notes.filter((note) => kelvinOutside(note, at) > NEAR)
  if (far.length === 0) return []
  const named = far.map(({ quantity, celsius }) => `${quantity} (${spanText(celsius!)})`)
  return [
    `At ${Number(at.toFixed(1))} °C these are extrapolated beyond the measured temperatures: ${named.join(', ')}.`,
  ]
}
