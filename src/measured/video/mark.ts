/** From one picture to the drop in it. */
import { bathOf } from './bath.ts'
import type { Bath } from './bathLight.ts'
import { pictureOf } from './bathPicture.ts'
import { dropRegion, hollowOf } from './dropRegion.ts'
import { contrastOf, levelAtEdge } from './edgeLevel.ts'
import { directionsOf } from './find.ts'
import { coarsen } from './light.ts'
import { deciles, describe, nothing } from './markedDrop.ts'
import { look, type Seen } from './seen.ts'
import { movedBack, shiftOf } from './shift.ts'
import { type Direction, lightWithin, type Window } from './signal.ts'
import type { Circle, Frame, FrameResult, Point, Settings } from './types.ts'

/**
 * Marks the drop in a picture. Pure: the same picture and settings give the same mark. A picture in which nothing
 * differs enough gives the flag `no-drop`, never an error. `bare` is a picture of the bath without a drop, of the same
 * size: all that it shows already (dish, marks, lamps) is then no difference, and what the camera has moved since is taken
 * out. `expected` is where the drop was a moment ago: of several finds the one there is taken.
 */
export function markDrop(
  frame: Frame,
  settings: Settings,
  bare: Frame | null = null,
  expected: Circle | null = null,
): FrameResult {
  if (frame.width < 8 || frame.height < 8) return nothing('unreadable')
  const fits = bare !== null && bare.width === frame.width && bare.height === frame.height
  const picture = fits ? pictureOf(bare) : null
  const shift = picture ? shiftOf(frame, picture.places) : { x: 0, y: 0 }
  const whole = { x: Math.round(shift.x), y: Math.round(shift.y) }
  const still = movedBack(frame, whole)
  const coarse = coarsen(still)
  const rest = { x: shift.x - whole.x, y: shift.y - whole.y }
  const bath = bathOf(still, coarse, settings.watch, picture, rest)
  for (const direction of bath ? directionsOf(coarse, bath, settings, expected) : []) {
    const result = markAlong(still, bath!, direction, settings)
    if (result.drop) return movedBy(result, whole, shift)
  }
  return nothing()
}

/** The mark where the frame shows it. */
function movedBy({ flags, drop }: FrameResult, whole: Point, shift: Point): FrameResult {
  if (!drop || (shift.x === 0 && shift.y === 0)) return { flags, drop }
  const outline = drop.outline.map((value, i) => value + (i % 2 === 0 ? whole.x : whole.y))
  return { flags, drop: { ...drop, x: drop.x + whole.x, y: drop.y + whole.y, outline, shift } }
}

/** Looks closely at the part round a find; at the whole picture if the drop is larger than that. */
function markAlong(frame: Frame, bath: Bath, direction: Direction, settings: Settings): FrameResult {
  const first = markIn(frame, bath, direction, settings, direction.window)
  const { width, height } = frame
  const whole = direction.window.width === width && direction.window.height === height
  if (whole || !first.flags.includes('touches-border')) return first
  return markIn(frame, bath, direction, settings, { left: 0, top: 0, width, height })
}

function markIn(frame: Frame, bath: Bath, found: Direction, settings: Settings, window: Window): FrameResult {
  const first = markWith(frame, bath, found, settings, window, 0)
  if (!first.result.drop || !first.result.flags.includes('bridged')) return first.result
  return markWith(frame, bath, found, settings, window, first.result.drop.blur / deciles).result
}

/** Marks with reflections widened for a lens blur of `blur` px (standard deviation). */
function markWith(
  frame: Frame,
  bath: Bath,
  toward: Direction,
  settings: Settings,
  window: Window,
  blur: number,
): { seen: Seen; result: FrameResult } {
  const seen = look(frame, bath, toward, settings.watch, window, blur)
  const direction = { ...toward, contrast: contrastOf(seen, toward.contrast) }
  const level = settings.level ?? levelAtEdge(seen, direction.contrast)
  const found = level === null ? null : dropRegion(seen, level, direction.contrast, settings.cutChildren)
  if (level === null || !found) return { seen, result: nothing() }
  const result = describe(seen, found, level, direction, settings.level !== null)
  if (result.drop) {
    Object.assign(result.drop, lightWithin(frame, bath, window, found.region))
    result.drop.hollow = hollowOf(seen, found.region, level)
  }
  return { seen, result }
}
