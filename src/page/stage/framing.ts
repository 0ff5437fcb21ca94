/**
 * Where things lie on the stage: an orthographic look at the drop. At the start it is tilted about the radial axis
 * only, and shares that axis with the section. Lengths in m, angles in rad.
 */
import { smoothStep } from '../../numerics/smoothStep.ts'
import { axisLeft, axisRight, pixelsPerMetre } from '../plots/axis.ts'
import { type Camera, startCamera } from './camera.ts'

export interface Framing {
  width: number
  height: number
  /** Size of the marks' letters, px. */
  letter: number
  /** Pixels per metre across the picture. */
  scale: number
  /** Angle of the look round the axis and above the horizon, rad. */
  turn: number
  tilt: number
  /** Place of the centre of the bath's surface, px from the left and from the top. */
  axis: number
  cutRow: number
  /** Depth of oil that is in the picture below the centre, m. */
  shownDepth: number
  /** The whole disc is shown, not cut. */
  whole: boolean
  /** The cut is seen straight from the front: all of it lies at its radius from the axis. */
  frontal: boolean
  /** The look that the stage begins with. */
  start: boolean
}

const flattest = (17 * Math.PI) / 180
const steepest = (52 * Math.PI) / 180
/** Tilts between which the centre of the drop comes into the middle, and the one from which the drop is shown whole. */
const rising = [(55 * Math.PI) / 180, (72 * Math.PI) / 180] as const
const top = 10
/** Size of the marks' letters where the browser's text has its usual size, px. */
const usualLetter = 11

/** Pixels below the cut: oil, and the rows of the marks' words. */
function below(height: number, scale: number, depth: number, letter: number, tilt: number): number {
  const words = (58 / usualLetter) * letter
  return Math.max(words, Math.min(scale * depth * Math.cos(tilt) + 12, 0.34 * height))
}

/** Share of a half disc's radius that lies in front of its centre, for a look that is turned by `turn`. */
const before = (turn: number): number => (Math.cos(turn) >= 0 ? Math.abs(Math.sin(turn)) : 1)
const behind = (turn: number): number => (Math.cos(turn) >= 0 ? 1 : Math.abs(Math.sin(turn)))

/**
 * Framing for a stage of width × height px that shows radii from −span to +span. Where the camera leaves it to the
 * stage, the tilt is the steepest at which the back half of a drop that fills `fill` of the span, `headroom` of heights
 * and a good part of the oil's depth fit in. What the camera brings in front of the cut makes the picture smaller.
 */
export function framing(
  width: number,
  height: number,
  span: number,
  depth: number,
  headroom: number,
  camera: Camera = startCamera,
  letter = usualLetter,
  fill = 0.94,
): Framing {
  const scale = pixelsPerMetre(width, span)
  const under = (tilt: number) => below(height, scale, depth, letter, tilt)
  const needed = (tilt: number) =>
    top + scale * (fill * span * Math.sin(tilt) + headroom * Math.cos(tilt)) + under(tilt)
  let own = steepest
  while (own > flattest && needed(own) > height) own -= 0.01
  own = Math.max(own, flattest)
  const { turn, zoom, panX, panY } = camera
  const tilt = camera.tilt ?? own
  const whole = tilt >= rising[1]
  const rise = smoothStep(rising[0], rising[1], tilt)
  const towards = Math.max(before(turn), rise)
  const ahead = towards
  const back = Math.max(behind(turn), rise)
  const room = Math.max(40, height - 2 * top)
  const tall = scale * (fill * span * (back + ahead) * Math.sin(tilt) + headroom * Math.cos(tilt))
  const fit = Math.min(1, room / tall)
  const unzoomed = scale * (1 + towards * (fit - 1))
  const shown = zoom * unzoomed
  const middle = height / 2 + 0.5 * unzoomed * fill * span * Math.sin(tilt) * (back - ahead)
  const row = (1 - towards) * (height - under(tilt)) + towards * middle
  const axis = axisLeft + span * scale - panX * shown
  const cutRow = row + panY * shown
  const frontal = turn === 0 && !whole
  return {
    width,
    height,
    letter,
    scale: shown,
    turn,
    tilt,
    axis,
    cutRow,
    shownDepth: Math.min(depth, Math.max(0, height - cutRow) / (shown * Math.cos(tilt))),
    whole,
    frontal,
    start: frontal && camera.tilt === null && zoom === 1 && panX === 0 && panY === 0,
  }
}

/** Picture place (px) of the point x along the cut, y above the bath, z before the cut (m). */
export function project(frame: Framing, x: number, y: number, z: number): { x: number; y: number } {
  const { turn, tilt, scale, axis, cutRow } = frame
  const right = x * Math.cos(turn) - z * Math.sin(turn)
  const near = x * Math.sin(turn) + z * Math.cos(turn)
  return {
    x: axis + right * scale,
    y: cutRow - scale * (y * Math.cos(tilt) - near * Math.sin(tilt)),
  }
}

/** A look flatter than this does not tell what on the bath is meant; sine of the tilt. */
const grazing = 0.15
/** Whether the marked radius is shown and meant as a circle on the bath, not as two places along the cut. */
export const marksCircle = (frame: Framing): boolean => !frame.frontal && Math.sin(frame.tilt) > grazing

/** Radius (m) that is meant by a place in the picture, px. */
export function radiusAt(frame: Framing, x: number, y: number): number {
  const right = (x - frame.axis) / frame.scale
  if (!marksCircle(frame)) return Math.abs(right) / Math.max(0.05, Math.abs(Math.cos(frame.turn)))
  return Math.hypot(right, (y - frame.cutRow) / (frame.scale * Math.sin(frame.tilt)))
}

/** Edges of the orthographic camera (m) that looks at the origin. */
export function frustum({ axis, cutRow, width, height, scale }: Framing) {
  return {
    left: -axis / scale,
    right: (width - axis) / scale,
    top: cutRow / scale,
    bottom: (cutRow - height) / scale,
  }
}

/** The direction in which the eye is, and the picture's own upward direction; both of length 1. */
export function directions({ turn, tilt }: Framing): { eye: Vector; up: Vector } {
  const [s, c] = [Math.sin(tilt), Math.cos(tilt)]
  return {
    eye: [c * Math.sin(turn), s, c * Math.cos(turn)],
    up: [-s * Math.sin(turn), c, -s * Math.cos(turn)],
  }
}
export type Vector = [number, number, number]

/** Room right of the radial axis, for marks that keep to the picture's edge. */
export const rightEdge = (frame: Framing): number => frame.width - axisRight

/** Round length (m) for a scale bar of 60–180 px. */
export function scaleBar(scale: number): number {
  const target = 120 / scale
  const power = 10 ** Math.floor(Math.log10(target))
  const lead = target / power
  return Number(((lead >= 5 ? 5 : lead >= 2 ? 2 : 1) * power).toPrecision(3))
}
