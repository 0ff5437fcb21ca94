/** Where things lie on the stage: an orthographic look at the cut, tilted about the radial axis only. */
import { axisLeft, axisRight, pixelsPerMetre } from '../plots/axis.ts'

export interface Framing {
  width: number
  height: number
  /** Pixels per metre across the picture. */
  scale: number
  /** Angle of the look above the horizon, rad. */
  tilt: number
  /** Row of the bath's surface in the cut, px from the top. */
  cutRow: number
  /** Depth of oil that is in the picture, m. */
  shownDepth: number
}

const flattest = (17 * Math.PI) / 180
const steepest = (52 * Math.PI) / 180

/**
 * Framing for a stage of width × height px that shows radii from −span to +span. The tilt is the steepest at
 * which the back half of a drop that fills `fill` of the span, `headroom` of heights and a good part of the
 * oil's depth fit in. Lengths in m.
 */
export function framing(
  width: number,
  height: number,
  span: number,
  depth: number,
  headroom: number,
  fill = 0.94,
): Framing {
  const scale = pixelsPerMetre(width, span)
  const top = 10
  const below = (tilt: number) => Math.max(58, Math.min(scale * depth * Math.cos(tilt) + 12, 0.34 * height))
  const needed = (tilt: number) =>
    top + scale * (fill * span * Math.sin(tilt) + headroom * Math.cos(tilt)) + below(tilt)
  let tilt = steepest
  while (tilt > flattest && needed(tilt) > height) tilt -= 0.01
  tilt = Math.max(tilt, flattest)
  const cutRow = height - below(tilt)
  const shownDepth = Math.min(depth, below(tilt) / (scale * Math.cos(tilt)))
  return { width, height, scale, tilt, cutRow, shownDepth }
}

/** Picture place (px) of the point at radial place x, height y above the bath, z towards the viewer (m). */
export function project(
  frame: Framing,
  span: number,
  x: number,
  y: number,
  z: number,
): { x: number; y: number } {
  return {
    x: axisLeft + (x + span) * frame.scale,
    y: frame.cutRow - frame.scale * (y * Math.cos(frame.tilt) - z * Math.sin(frame.tilt)),
  }
}

/** Edges of the orthographic camera (m), for a camera that looks at the origin along the tilt. */
export function frustum(frame: Framing, span: number) {
  return {
    left: -span - axisLeft / frame.scale,
    right: span + axisRight / frame.scale,
    top: frame.cutRow / frame.scale,
    bottom: (frame.cutRow - frame.height) / frame.scale,
  }
}

/** Round length (m) for a scale bar of 60–180 px. */
export function scaleBar(scale: number): number {
  const target = 120 / scale
  const power = 10 ** Math.floor(Math.log10(target))
  const lead = target / power
  return Number(((lead >= 5 ? 5 : lead >= 2 ? 2 : 1) * power).toPrecision(3))
}
