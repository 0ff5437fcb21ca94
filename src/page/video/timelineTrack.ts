/** The radius curve as the track of the timeline: what counts as dots, what does not as hollow marks. */

import type { SeriesPoint } from '../../measured/video/series.ts'
import type { FingerReading } from '../../measured/video/types.ts'
import { svg } from '../dom.ts'
import { plain, withError } from '../format.ts'
import type { Series } from './session.ts'
import { flagWords, seconds } from './words.ts'

/** Times of the recording from left to right, and the room that the ends keep, px. */
export interface Span {
  from: number
  to: number
  width: number
  height: number
}

const endRoom = 14

export const placeOf = (time: number, { from, to, width }: Span): number => {
  const part = to > from ? (time - from) / (to - from) : 0
  return endRoom + Math.min(1, Math.max(0, part)) * (width - 2 * endRoom)
}

export const timeAt = (x: number, { from, to, width }: Span): number => {
  const part = (x - endRoom) / Math.max(1, width - 2 * endRoom)
  return from + Math.min(1, Math.max(0, part)) * (to - from)
}

const heightOf = (radius: number, most: number, height: number): number =>
  height - 6 - (radius / most) * (height - 12)

/** Largest radius, for the scale; 0 if there is none. */
export const mostOf = (points: readonly SeriesPoint[]): number =>
  points.reduce((most, { radius, counts }) => (counts && radius > most ? radius : most), 0) ||
  points.reduce((most, { radius }) => Math.max(most, radius || 0), 0)

/** Curve and marks; points without a radius stand on the base line. At most one hollow mark a pixel is drawn. */
export function drawTrack(points: readonly SeriesPoint[], span: Span): SVGElement[] {
  const most = mostOf(points) || 1
  let dots = ''
  const hollow = new Map<string, SVGElement>()
  for (const { recordingTime, radius, counts } of points) {
    const x = placeOf(recordingTime, span)
    const y = heightOf(Number.isNaN(radius) ? 0 : Math.min(radius, most), most, span.height)
    if (counts) dots += `M${x.toFixed(1)} ${y.toFixed(1)}h.01`
    else {
      const at = `${Math.round(x)} ${Math.round(y)}`
      if (!hollow.has(at)) hollow.set(at, svg('circle', { cx: x, cy: y, r: 3, class: 'not-counted' }))
    }
  }
  return [...hollow.values(), svg('path', { d: dots, class: 'counted' })]
}

/** The measured point nearest to a place, within reach; one that does not count goes first. */
export function nearestPoint(
  points: readonly SeriesPoint[],
  x: number,
  span: Span,
  reach = 5,
): SeriesPoint | null {
  let best: SeriesPoint | null = null
  let least = reach
  for (const point of points) {
    const away = Math.abs(placeOf(point.recordingTime, span) - x) + (point.counts ? 0.5 : 0)
    if (away < least) [best, least] = [point, away]
  }
  return best
}

/** Why a point does not count, in words; '' for one that does. */
function whyNot(point: SeriesPoint, { length }: Series, start: number, collapse: number | null): string {
  if (point.counts) return ''
  if (point.dropped) return 'left out by hand'
  if (point.recordingTime < start) return 'before touch-down'
  if (collapse !== null && point.recordingTime > collapse) return 'after the collapse'
  if (point.rejection && !point.byHand) return point.rejection.text(length)
  return flagWords(point.flags)
}

/** "radius 12.3 mm, ± 0.05", or why it does not count. */
export function pointWords(
  point: SeriesPoint | undefined,
  series: Series,
  start: number,
  collapse: number | null,
): string {
  if (!point) return 'not measured'
  const factor = series.scaled ? 1e3 : 1
  const unit = series.scaled ? 'mm' : 'px'
  const radius = Number.isNaN(point.radius)
    ? 'no radius'
    : `radius ${plain(point.radius * factor, 4)} ± ${plain(point.uncertainty * factor, 2)} ${unit}`
  const why = whyNot(point, series, start, collapse)
  return why ? `${radius}, not counted: ${why}` : radius
}

/** ", 30.0 ± 0.7 fingers"; '' where none could be counted. */
export const fingerWords = (fingers: FingerReading | null | undefined): string =>
  fingers?.verdict === 'counted' ? `, ${withError(fingers.count, fingers.countError, 'fingers')}` : ''

/** The recording's time, and that since touch-down where it differs. */
export const timeWords = (time: number, start: number, slowing: number): string =>
  start === 0 && slowing === 1
    ? seconds(time)
    : `${seconds(time)}, ${seconds(Math.abs(time - start) / slowing)} ${time < start ? 'before' : 'after'} touch-down`
