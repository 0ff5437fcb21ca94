/** Points set in the picture, and what becomes of them when there are enough. */
import { circleThrough } from '../../measured/video/scale.ts'
import { keyOf } from '../../measured/video/series.ts'
import type { Point } from '../../measured/video/types.ts'
import {
  addReading,
  correct,
  pointsFor,
  type SessionStore,
  scaleOf,
  setSettings,
  watchedShare,
} from './session.ts'

/** Adds a point; gives a message if the points together are of no use. */
export function place(session: SessionStore, point: Point): string | null {
  const { placing, placed } = session.getState()
  if (!placing) return null
  const points = [...placed, point]
  if (points.length < pointsFor[placing]) {
    session.setState({ placed: points })
    return null
  }
  session.setState({ placing: null, placed: [] })
  if (placing === 'line') {
    session.setState({ scalePoints: { of: 'line', points } })
    return null
  }
  const circle = circleThrough(points[0]!, points[1]!, points[2]!)
  if (!circle) return 'No circle goes through these three points; set them farther apart, not on a line.'
  if (placing === 'dish') {
    session.setState({ scalePoints: { of: 'dish', points } })
    if (!session.getState().settings.watch) {
      setSettings(session, { watch: { ...circle, r: watchedShare * circle.r } })
    }
  }
  if (placing === 'watch') setSettings(session, { watch: circle })
  if (placing === 'outline') return takeOutline(session, circle.r)
  return null
}

/** A radius by hand for the present frame, from three points on the drop's outline. */
function takeOutline(session: SessionStore, pixels: number): string | null {
  const state = session.getState()
  const scale = scaleOf(state)
  if (!state.shot) return null
  if (!scale?.ok) return 'Set the scale first: a radius by hand is kept in millimetres.'
  const { time } = state.shot
  if (!state.readings.has(keyOf(time))) {
    addReading(session, { time, result: state.marked ?? { flags: ['no-drop'], drop: null } })
  }
  correct(session, keyOf(time), { radius: pixels * scale.scale.metresPerPixel, dropped: false })
  return null
}

export const takeBackPoint = (session: SessionStore): void =>
  session.setState(({ placed }) => ({ placed: placed.slice(0, -1) }))
