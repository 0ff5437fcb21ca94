/** Settings that hold for all recordings of one camera: kept for the next one of the same kind and picture size. */
import type { Difference } from '../../measured/video/types.ts'
import { plainSettings } from '../../measured/video/types.ts'
import { plain } from '../format.ts'
import { type Session, type SessionStore, scaleOf } from './session.ts'
import type { FrameSource } from './source.ts'
import { seconds } from './words.ts'

/** What is kept; the drop's own touch-down is not. */
const cameraKeys = ['settings', 'scalePoints', 'knownLength', 'recorded', 'stride', 'kind'] as const

export interface CameraSettings extends Pick<Session, (typeof cameraKeys)[number]> {
  /** Time of the frame that shows the bath alone, s; null = none. */
  bareAt: number | null
  /** Every recording begins with the touch-down. */
  contactFirst: boolean
}

type Camera = Pick<FrameSource, 'kind' | 'width' | 'height'>

/** "stills, 320 × 240 px" */
export const cameraWords = ({ kind, width, height }: Camera): string =>
  `${kind === 'video' ? 'videos' : kind}, ${width} × ${height} px`

const storageKey = 'rimtide.cameras'
/** Cameras that are kept, the latest first. */
const most = 12

export const sameCamera = (a: Camera, b: Camera): boolean => keyOf(a) === keyOf(b)

const keyOf = ({ kind, width, height }: Camera): string => `${kind} ${width}x${height}`

function readAll(): [string, CameraSettings][] {
  try {
    const stored: unknown = JSON.parse(localStorage.getItem(storageKey) ?? '[]')
    return Array.isArray(stored) ? stored.filter(isEntry) : []
  } catch {
    return []
  }
}

const isPoint = (value: unknown): boolean =>
  typeof value === 'object' &&
  value !== null &&
  'x' in value &&
  'y' in value &&
  Number.isFinite(value.x) &&
  Number.isFinite(value.y)

const differences: readonly Difference[] = ['colour', 'tint', 'darker', 'brighter']

/** True for what can be gone on with; anything else is passed over. */
function isEntry(entry: unknown): entry is [string, CameraSettings] {
  if (!Array.isArray(entry) || typeof entry[0] !== 'string') return false
  const { settings, scalePoints, knownLength, recorded, stride, kind, bareAt } = (entry[1] ??
    {}) as Partial<CameraSettings>
  const { watch, level } = settings ?? {}
  return (
    differences.includes(settings?.difference as Difference) &&
    (level === null || (typeof level === 'number' && level >= 0)) &&
    typeof settings?.cutChildren === 'boolean' &&
    (watch === null || (isPoint(watch) && Number(watch?.r) > 0)) &&
    (scalePoints === null || (Array.isArray(scalePoints?.points) && scalePoints.points.every(isPoint))) &&
    typeof knownLength === 'string' &&
    typeof recorded === 'string' &&
    Number.isInteger(stride) &&
    Number(stride) >= 1 &&
    (kind === 'area' || kind === 'edge') &&
    (bareAt === null || Number.isFinite(bareAt))
  )
}

/** Settings of the last recording of this camera; null if there was none. The demo has none. */
export function rememberedCamera(camera: Camera): CameraSettings | null {
  if (camera.kind === 'demo') return null
  return readAll().find(([key]) => key === keyOf(camera))?.[1] ?? null
}

/** Keeps settings for the next recording of this camera. */
export function rememberCamera(camera: Camera, settings: CameraSettings): void {
  if (camera.kind === 'demo') return
  const others = readAll().filter(([key]) => key !== keyOf(camera))
  try {
    localStorage.setItem(storageKey, JSON.stringify([[keyOf(camera), settings], ...others].slice(0, most)))
  } catch {
    // A refused storage only means that the settings are made again next time.
  }
}

/** The settings of a session that hold for the camera. */
export const cameraSettingsOf = (state: Session): CameraSettings => ({
  settings: state.settings,
  scalePoints: state.scalePoints,
  knownLength: state.knownLength,
  recorded: state.recorded,
  stride: state.stride,
  kind: state.kind,
  bareAt: state.bare?.time ?? state.bareAt,
  contactFirst: state.contactFirst,
})

export const plainCamera = (): CameraSettings => ({
  settings: plainSettings(),
  scalePoints: null,
  knownLength: '',
  recorded: '',
  stride: 1,
  kind: 'area',
  bareAt: null,
  contactFirst: false,
})

/** What is set otherwise than at the beginning, in words; '' if nothing is. */
export function cameraSentence(camera: CameraSettings, state: Session): string {
  const scale = scaleOf({ ...state, ...camera })
  const { settings, recorded, stride, kind, bareAt, contactFirst } = camera
  const parts = [
    scale?.ok ? `scale ${plain(1e3 * scale.scale.metresPerPixel, 3)} mm per px` : '',
    settings.watch ? 'one circle watched' : '',
    bareAt === null ? '' : `bath from the frame at ${seconds(bareAt)}`,
    recorded.trim() ? `${recorded.trim()} frames per s` : '',
    stride > 1 ? `every ${ordinal(stride)} frame` : '',
    settings.level === null ? '' : `threshold ${Math.round(100 * settings.level)} %`,
    settings.difference === 'colour' ? '' : `marked by ${differenceWords[settings.difference]}`,
    settings.cutChildren ? '' : 'child drops kept',
    kind === 'edge' ? 'radius from the outer edge' : '',
    contactFirst ? 'touch-down in the first frame' : '',
  ].filter(Boolean)
  return parts.join(', ')
}

/** What tells drop from bath, in words. */
export const differenceWords: Readonly<Record<Difference, string>> = {
  colour: 'any colour difference',
  tint: 'tint alone',
  darker: 'darker than the bath',
  brighter: 'brighter than the bath',
}

const ordinal = (n: number): string => {
  const sign = n % 100 >= 11 && n % 100 <= 13 ? 'th' : (['th', 'st', 'nd', 'rd'][n % 10] ?? 'th')
  return `${n}${sign}`
}

/** Lays settings over the session's; the picture of the bath is still to be got. */
export function takeCamera(session: SessionStore, { bareAt, ...camera }: CameraSettings): void {
  session.setState({ ...camera, bare: null, bareAt })
}

/** Keeps the settings of whatever recording is in hand, as they change. Gives back the function that ends it. */
export function followCamera(session: SessionStore): () => void {
  const keys = [...cameraKeys, 'bare', 'bareAt', 'contactFirst'] as const
  return session.subscribe((state, before) => {
    const { source } = state
    if (!source || source !== before.source || state.id !== before.id || source.withoutPictures) return
    if (keys.some((key) => state[key] !== before[key])) rememberCamera(source, cameraSettingsOf(state))
  })
}
