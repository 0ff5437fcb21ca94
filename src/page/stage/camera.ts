/**
 * From where the stage is looked at. Plain numbers, so that a link can carry them; whatever comes in is brought within
 * the limits. Angles in rad, lengths in m.
 */

export interface Camera {
  /** Angle of the eye round the drop's axis; 0: the cut is seen from the front; positive: from its right. */
  turn: number
  /** Angle of the eye above the horizon, 0 to π/2; null: as steep as the stage has room for. */
  tilt: number | null
  /** 1: as large as fits. */
  zoom: number
  /** What is in the middle of the picture lies so far to the right of and above the drop's centre. */
  panX: number
  panY: number
}

export const startCamera: Camera = { turn: 0, tilt: null, zoom: 1, panX: 0, panY: 0 }
const fromSide: Camera = { ...startCamera, tilt: 0 }
const fromAbove: Camera = { ...startCamera, tilt: Math.PI / 2 }
export const looks = { start: startCamera, side: fromSide, above: fromAbove } as const

/** Smallest and largest zoom, and how far the picture is moved at most, m. */
export const zoomLimits = [0.25, 20] as const
export const mostPan = 0.15

const degree = Math.PI / 180
/** What a press of a key or a button does: rad, a factor, and a part of the radial span. */
export const steps = { turn: 10 * degree, tilt: 5 * degree, zoom: 1.25, pan: 0.1 } as const
/** A turn so close to the front, rad, is the front: there stage and section share their axis. */
const front = 2.5 * degree

const between = (low: number, value: number, high: number): number => Math.min(high, Math.max(low, value))
const orElse = (value: number, otherwise: number): number => (Number.isFinite(value) ? value : otherwise)

/** The angle from −π (not itself) to π. */
function around(angle: number): number {
  const whole = 2 * Math.PI
  // The remainder is exact, however far round it goes.
  const rest = angle % whole
  const short = rest > Math.PI ? rest - whole : rest <= -Math.PI ? rest + whole : rest
  // No −0, which is another number to `Object.is`.
  return short + 0
}

/** Within the limits; what is no number as at the start. */
export function limited({ turn, tilt, zoom, panX, panY }: Camera): Camera {
  const pan = (value: number) => between(-mostPan, orElse(value, 0), mostPan) + 0
  return {
    turn: around(orElse(turn, 0)),
    tilt: tilt === null || !Number.isFinite(tilt) ? null : between(0, tilt, Math.PI / 2),
    zoom: between(zoomLimits[0], orElse(zoom, 1), zoomLimits[1]),
    panX: pan(panX),
    panY: pan(panY),
  }
}

/** Turned and tilted by so much; `tilt` is what the tilt is at present, for a camera that leaves it to the stage. */
export function turned(camera: Camera, by: { turn?: number; tilt?: number }, tilt: number): Camera {
  const turn = around(camera.turn + (by.turn ?? 0))
  return limited({
    ...camera,
    turn: Math.abs(turn) < front ? 0 : turn,
    tilt: by.tilt ? (camera.tilt ?? tilt) + by.tilt : camera.tilt,
  })
}

/** Zoomed by a factor so that what lies at (x, y), m in the picture from the drop's centre, stays where it is. */
export function zoomed(camera: Camera, factor: number, x = camera.panX, y = camera.panY): Camera {
  const zoom = between(zoomLimits[0], camera.zoom * factor, zoomLimits[1])
  const stays = camera.zoom / zoom
  return limited({
    ...camera,
    zoom,
    panX: x - (x - camera.panX) * stays,
    panY: y - (y - camera.panY) * stays,
  })
}

export const moved = (camera: Camera, x: number, y: number): Camera =>
  limited({ ...camera, panX: camera.panX + x, panY: camera.panY + y })

export const sameCamera = (a: Camera, b: Camera): boolean =>
  a.turn === b.turn && a.tilt === b.tilt && a.zoom === b.zoom && a.panX === b.panX && a.panY === b.panY

const figure = (value: number, decimals: number): string => String(Number(value.toFixed(decimals)) + 0)

/** For a link: "30,45,1.2,0,0", turn and tilt in degrees, zoom, moved right and up in mm; an empty tilt is the stage's own. '' for the start. */
export function toText(camera: Camera): string {
  const { turn, tilt, zoom, panX, panY } = limited(camera)
  const parts = [
    figure(turn / degree, 1),
    tilt === null ? '' : figure(tilt / degree, 1),
    figure(zoom, 3),
    figure(1e3 * panX, 2),
    figure(1e3 * panY, 2),
  ]
  const text = parts.join(',')
  return text === '0,,1,0,0' ? '' : text
}

const number = /^-?\d{1,6}(\.\d{1,6})?$/

/** What `toText` wrote; null for anything else, also for what lies beyond the limits. */
export function fromText(text: string): Camera | null {
  if (text === '') return startCamera
  const parts = text.split(',')
  if (parts.length !== 5 || !parts.every((part, i) => number.test(part) || (i === 1 && part === '')))
    return null
  const [turn, , zoom, panX, panY] = parts.map(Number) as [number, number, number, number, number]
  const tilt = parts[1] === '' ? null : Number(parts[1])
  const outside =
    Math.abs(turn) > 180 ||
    (tilt !== null && (tilt < 0 || tilt > 90)) ||
    zoom < zoomLimits[0] ||
    zoom > zoomLimits[1] ||
    Math.max(Math.abs(panX), Math.abs(panY)) > 1e3 * mostPan
  if (outside) return null
  return limited({
    turn: turn * degree,
    tilt: tilt === null ? null : tilt * degree,
    zoom,
    panX: 1e-3 * panX,
    panY: 1e-3 * panY,
  })
}
