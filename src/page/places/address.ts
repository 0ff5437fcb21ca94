/** The part of the address that is not the drop: place, step, moment, colour, camera. Pure. */

import { typedNumber } from '../../numerics/typedNumber.ts'
import { type Camera, fromText, sameCamera, startCamera, toText } from '../stage/camera.ts'
import type { ColourBy, State } from '../store.ts'
import { nameOf, type Spot, spotOf } from './places.ts'

/** Fields of the state that the address carries beside the drop. */
export type Seen = Pick<
  State,
  | 'place'
  | 'part'
  | 'step'
  | 'time'
  | 'restAtMaximum'
  | 'colourBy'
  | 'wavelength'
  | 'dye'
  | 'camera'
  | 'without'
  | 'physics'
  | 'room'
>

/** What an address says; a field that it leaves out, or that cannot be, is undefined. */
export interface Wanted {
  spot?: Spot
  step?: number
  time?: number
  colourBy?: ColourBy
  wavelength?: number
  dye?: number
  camera?: Camera
  /** Ids of switches; which of them there are is the page's affair. */
  without?: string[]
  physics?: boolean
  room?: boolean
}

const COLOURS: readonly ColourBy[] = ['thickness', 'alcohol', 'tension', 'speed', 'white', 'mono', 'dyed']

/** Wavelengths in an address, nm: those that are seen. */
const SEEN_NM = [380, 780] as const
/** Most of a dye in an address, decadic absorbance per mm. */
const MOST_DYE = 1000

/** Most of a moment in an address, s: no life is followed for longer. */
const longest = 1e6

/** "view.at=rim&view.step=3&view.t=1.25": in this order; what is as at the start is left out. */
export function seenToLink(seen: Seen): string {
  const {
    place,
    part,
    step,
    time,
    restAtMaximum,
    colourBy,
    wavelength,
    dye,
    camera,
    without,
    physics,
    room,
  } = seen
  const entries: [string, string][] = []
  if (place !== 'watch') entries.push(['at', nameOf({ place, part })])
  if (step > 0) entries.push(['step', String(step + 1)])
  if (!restAtMaximum) entries.push(['t', String(Number(time.toPrecision(6)))])
  if (colourBy !== 'thickness') entries.push(['colour', colourBy])
  if (colourBy === 'mono') entries.push(['nm', String(wavelength)])
  if (colourBy === 'dyed') entries.push(['dye', String(dye)])
  const look = toText(camera)
  if (look) entries.push(['look', look])
  if (without.length > 0) entries.push(['without', without.join(',')])
  if (physics) entries.push(['physics', '1'])
  if (room) entries.push(['room', '1'])
  return entries.map(([name, value]) => `view.${name}=${encodeURIComponent(value)}`).join('&')
}

/** The number in an address, if it lies in from … to. */
function numberIn(text: string | null, from: number, to: number): number | undefined {
  const value = typedNumber(text ?? '')
  return value >= from && value <= to ? value : undefined
}

/** What a fragment (with or without #) asks for; also a bare name, "#recipe". */
export function wantedOf(hash: string): Wanted {
  const text = hash.replace(/^#/, '')
  const bare = spotOf(text)
  if (bare) return { spot: bare }
  const names = new URLSearchParams(text)
  const view = (name: string) => names.get(`view.${name}`)
  const spot = spotOf(view('at') ?? '')
  const step = numberIn(view('step'), 1, 99)
  const time = numberIn(view('t'), 0, longest)
  const colourBy = COLOURS.find((colour) => colour === view('colour'))
  const wavelength = numberIn(view('nm'), ...SEEN_NM)
  const dye = numberIn(view('dye'), 0, MOST_DYE)
  const camera = fromText(view('look') ?? '')
  const without = (view('without') ?? '')
    .split(',')
    .filter((id) => /^[A-Za-z]{1,20}$/.test(id))
    .slice(0, 20)
  return {
    ...(spot ? { spot } : {}),
    ...(step !== undefined ? { step: Math.round(step) - 1 } : {}),
    ...(time !== undefined ? { time } : {}),
    ...(colourBy ? { colourBy } : {}),
    ...(wavelength !== undefined ? { wavelength } : {}),
    ...(dye !== undefined ? { dye } : {}),
    ...(camera && !sameCamera(camera, startCamera) ? { camera } : {}),
    ...(without.length > 0 ? { without } : {}),
    ...(view('physics') === '1' ? { physics: true } : {}),
    ...(view('room') === '1' ? { room: true } : {}),
  }
}
