/** From a measured recording to a curve that knows how it was made. */

import { PROGRAM_VERSION } from '../../measured/programVersion.ts'
import type { CurveMeta, Provenance } from '../../measured/types.ts'
import { type CurveResult, curveOf } from '../../measured/video/series.ts'
import { differenceWords } from './camera.ts'
import {
  isTimed,
  labRate,
  lifetime,
  type Session,
  type SessionStore,
  scaleOf,
  seriesOf,
  slowing,
} from './session.ts'

export interface Making {
  name: string
  meta: CurveMeta
  sha256: string | undefined
}

/** How the curve of a session is made. `sha256` of its files, where it is known. */
function provenanceOf(state: Session, sha256: string | undefined, now = new Date()): Provenance {
  const scale = scaleOf(state)
  const rate = labRate(state)
  const { difference, level } = state.settings
  return {
    ...(sha256 ? { sha256 } : {}),
    ...(scale?.ok
      ? { metresPerPixel: scale.scale.metresPerPixel, scaleUncertainty: scale.scale.relativeUncertainty }
      : {}),
    ...(rate ? { framesPerSecond: Number(rate.toPrecision(9)) } : {}),
    difference: differenceWords[difference],
    level: level ?? 'found',
    version: PROGRAM_VERSION,
    made: now.toISOString(),
  }
}

const noScale = 'Set the scale first: the curve is kept in millimetres.'
export const noRate =
  'Type first at how many pictures per second they were taken: the curve is kept in seconds.'

/** The curve of a session; a message if something is missing. A touch-down that was found brings its uncertainty. */
export function makeCurve(state: Session, { name, meta, sha256 }: Making): CurveResult {
  const { points, scaled } = seriesOf(state)
  if (!scaled) return { ok: false, message: noScale }
  const found = state.startKnown === 'found' && state.startSigma > 0
  const startTime_s = state.startSigma / slowing(state)
  const whole: CurveMeta = found ? { ...meta, sigma: { startTime_s, ...meta.sigma } } : meta
  const file = state.source?.name ?? name
  const result = curveOf(points, { name, file, meta: whole })
  if (!result.ok) return result
  if (!isTimed(state)) return { ok: false, message: noRate }
  return { ok: true, curve: { ...result.curve, provenance: provenanceOf(state, sha256) } }
}

/**
 * Looks for the touch-down in a recording that was measured from its first frame on, where nobody has set it; frames before
 * it then count no longer.
 */
export function findContact(session: SessionStore): void {
  const state = session.getState()
  if (state.startKnown !== 'no' || state.readings.size === 0) return
  const { readings } = state
  if (state.contactFirst) {
    const first = Math.min(...[...readings.values()].map(({ time }) => time))
    session.setState({ start: first, startKnown: 'hand' })
    return
  }
  useContact(session)
}

/** Takes the touch-down that the frames show, if they show one; frames before it then count no longer. */
export function useContact(session: SessionStore): void {
  const state = session.getState()
  const contact = lifetime(state).touchDown
  if (!contact) return
  const earliest = [...state.readings.values()].reduce((first, one) => (one.time < first.time ? one : first))
  session.setState({
    start: contact.time,
    startKnown: 'found',
    startSigma: contact.uncertainty,
    before: earliest.time < contact.time ? { ...earliest.result } : null,
  })
}
