/** The work on a recording as it is kept in the browser: everything but the pictures, which are the user's own file. */
import { type Correction, keyOf, type Reading } from '../../measured/video/series.ts'
import { fresh, type RecordingFacts, type Session } from './session.ts'
import { type FrameSource, listSource } from './source.ts'

/** What is kept of a session as it is. */
export const plainKeys = [
  'settings',
  'scalePoints',
  'knownLength',
  'start',
  'startKnown',
  'startSigma',
  'contactFirst',
  'collapse',
  'recorded',
  'stride',
  'kind',
  'before',
] as const

/** What is kept of a recording, so that it can be shown without its pictures and known again when it is chosen. */
type KeptSource = RecordingFacts & Pick<FrameSource, 'end' | 'interval'>

export interface KeptWork {
  format: 1
  id: string
  /** ms since 1970 */
  saved: number
  source: KeptSource
  plain: Pick<Session, (typeof plainKeys)[number]>
  /** Without their outlines. */
  readings: Reading[]
  corrections: [number, Correction][]
  run: Session['run']
  /** Time of the frame that shows the bath alone, s; null = none. */
  bareAt: number | null
  /** True if the readings were made with the settings that are kept. */
  upToDate: boolean
}

/** True if there is anything that took the user time: measured or corrected points. */
export const worthKeeping = ({ source, readings, corrections }: Session): boolean =>
  source !== null && readings.size + corrections.size > 0

const noOutline = new Float32Array()

function withoutOutline({ time, result }: Reading): Reading {
  const { drop, flags, fingers } = result
  const without = { flags, drop: drop && { ...drop, outline: noOutline } }
  return { time, result: fingers ? { ...without, fingers } : without }
}

/** The work of a session with a recording, to be kept. `now`: ms since 1970. */
export function keptOf(state: Session, now: number): KeptWork {
  const { name, kind, width, height, end, interval, bytes } = state.source!
  const { readWith, settings, bare } = state
  return {
    format: 1,
    id: state.id,
    saved: now,
    source: { name, kind, width, height, end, interval, ...(bytes === undefined ? {} : { bytes }) },
    plain: {
      ...(Object.fromEntries(plainKeys.map((key) => [key, state[key]])) as KeptWork['plain']),
      before: state.before && withoutOutline({ time: 0, result: state.before }).result,
    },
    readings: [...state.readings.values()].map(withoutOutline),
    corrections: [...state.corrections],
    run: state.run.state === 'running' ? { ...state.run, state: 'stopped' } : state.run,
    bareAt: bare?.time ?? state.bareAt,
    upToDate: readWith === null || (readWith.settings === settings && readWith.bare === bare),
  }
}

/** A recording without pictures: a place for each frame that was measured. */
function withoutPictures({ source, readings, corrections, plain }: KeptWork): FrameSource {
  const keys = new Set([...readings.map(({ time }) => keyOf(time)), ...corrections.map(([key]) => key)])
  const measured = [...keys].sort((a, b) => a - b).map((key) => key / 1e6)
  const times = measured.length > 0 ? measured : [plain.start]
  const list = listSource({ ...source, close() {} }, times, async (index) => ({
    time: times[index]!,
    frame: null,
    flag: 'not-kept',
  }))
  return { ...list, end: source.end, interval: source.interval, withoutPictures: true }
}

/** The state of a session that goes on with kept work; `open` is the recording if it is open already. */
export function sessionOf(kept: KeptWork, open: FrameSource | null): Session {
  const source = open ?? withoutPictures(kept)
  const time = kept.readings[0]?.time ?? kept.plain.start
  return {
    ...fresh(),
    ...kept.plain,
    source,
    shot: { time, frame: null, flag: 'not-kept' },
    bareAt: kept.bareAt,
    readings: new Map(kept.readings.map((reading) => [keyOf(reading.time), reading])),
    readWith: { settings: kept.upToDate ? kept.plain.settings : { ...kept.plain.settings }, bare: null },
    corrections: new Map(kept.corrections),
    run: kept.run,
  }
}
