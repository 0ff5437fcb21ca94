/** From pixels to metres: two points of known distance, or the dish's circle. */
import type { Circle, Point } from './types.ts'

export interface Scale {
  metresPerPixel: number
  /** Relative standard uncertainty: of the clicks and of the known length. */
  relativeUncertainty: number
}

export type ScaleResult = { ok: true; scale: Scale; circle?: Circle } | { ok: false; message: string }

/** Standard uncertainty of a point set by hand, px (common practice, no source). */
const clickUncertainty = 1

const badLength = (known: number): string | null =>
  known > 0 && Number.isFinite(known) ? null : 'The known length must be a number above 0 mm.'

/**
 * Scale from two points that are `known` metres apart. `knownUncertainty` is the standard uncertainty of that
 * length, m. Both points err by `clickUncertainty` along their line.
 */
export function scaleOfTwoPoints(a: Point, b: Point, known: number, knownUncertainty = 0): ScaleResult {
  const wrong = badLength(known)
  if (wrong) return { ok: false, message: wrong }
  const pixels = Math.hypot(a.x - b.x, a.y - b.y)
  if (pixels < 10) {
    return { ok: false, message: 'The two points are less than 10 pixels apart; set them farther apart.' }
  }
  const clicks = (Math.SQRT2 * clickUncertainty) / pixels
  return {
    ok: true,
    scale: {
      metresPerPixel: known / pixels,
      relativeUncertainty: Math.hypot(clicks, knownUncertainty / known),
    },
  }
}

/** Circle through three points (their circumscribed circle); null if they lie on a line or nearly so. */
export function circleThrough(a: Point, b: Point, c: Point): Circle | null {
  const bx = b.x - a.x
  const by = b.y - a.y
  const cx = c.x - a.x
  const cy = c.y - a.y
  const cross = 2 * (bx * cy - by * cx)
  const longest = Math.max(Math.hypot(bx, by), Math.hypot(cx, cy), Math.hypot(cx - bx, cy - by))
  if (!(Math.abs(cross) > 0.02 * longest * longest)) return null
  const bb = bx * bx + by * by
  const cc = cx * cx + cy * cy
  const ux = (cy * bb - by * cc) / cross
  const uy = (bx * cc - cx * bb) / cross
  return { x: a.x + ux, y: a.y + uy, r: Math.hypot(ux, uy) }
}

/** Scale from three points on the dish's rim, whose diameter is `diameter` metres. */
export function scaleOfCircle(points: readonly Point[], diameter: number, knownUncertainty = 0): ScaleResult {
  const wrong = badLength(diameter)
  if (wrong) return { ok: false, message: wrong }
  const [a, b, c] = points
  const circle = a && b && c ? circleThrough(a, b, c) : null
  if (!circle) {
    return {
      ok: false,
      message: 'No circle goes through these three points; spread them round the dish’s rim.',
    }
  }
  const clicks = radiusUncertainty([a!, b!, c!], circle.r) / circle.r
  return {
    ok: true,
    circle,
    scale: {
      metresPerPixel: diameter / (2 * circle.r),
      relativeUncertainty: Math.hypot(clicks, knownUncertainty / diameter),
    },
  }
}

/** How far the radius is off when each coordinate is off by `clickUncertainty`, added in quadrature, px. */
function radiusUncertainty(points: readonly Point[], r: number): number {
  let sum = 0
  for (let i = 0; i < 3; i++) {
    for (const [dx, dy] of [
      [clickUncertainty, 0],
      [0, clickUncertainty],
    ] as const) {
      const [a, b, c] = points.map((p, k) => (k === i ? { x: p.x + dx, y: p.y + dy } : p))
      sum += ((circleThrough(a!, b!, c!)?.r ?? 2 * r) - r) ** 2
    }
  }
  return Math.sqrt(sum)
}
