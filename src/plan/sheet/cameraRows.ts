/** Rows of the lab sheet on how to film the drop. */
import { fieldForBeads, PIXELS_PER_BEAD } from '../camera.ts'
import { figure, given } from '../figures.ts'
import { row, type SheetFigures, type SheetRow } from './types.ts'

/** How many pixels a bead gets, and what to do if they are too few; nothing where no beads are told. */
function beadPixels({ beads, camera }: SheetFigures): SheetRow[] {
  if (!(beads?.verdict === 'beads')) return []
  const own = beads.by === 'life' ? beads.atLargest : null
  const { spacing } = own ?? beads
  const pixels = (1e3 * spacing) / camera.mmPerPixel
  const label = 'Pixels per bead'
  const when = own ? 'when the drop is largest; fewer before' : 'when they first show'
  if (pixels >= PIXELS_PER_BEAD) return [row(label, figure(pixels, 2), '', when)]
  const field = fieldForBeads(camera, spacing)
  const more = Math.ceil((camera.pixels * PIXELS_PER_BEAD) / pixels / 10) * 10
  const advice = `too few to count them: film a part of the rim, at most ${figure(field, 2)} mm of it, or take ${given(more)} pixels`
  return [row(label, figure(pixels, 2), '', advice)]
}

export function cameraRows(f: SheetFigures): SheetRow[] {
  const { camera } = f
  const { interval_s, field_mm, mmPerPixel, jump_mm, jumpAt_s, frames, pixels } = camera
  return [
    row(
      'A frame every',
      interval_s,
      's',
      `${frames} frames to the end; ${figure(1 / interval_s)} per second`,
    ),
    row(
      'Field of view',
      field_mm,
      'mm',
      `shorter side, with 15 % to spare; ${figure(mmPerPixel, 2)} mm per pixel at ${pixels} pixels`,
    ),
    row(
      'Edge between frames',
      jump_mm,
      'mm',
      `at most, at ${figure(jumpAt_s, 2)} s: ${figure(jump_mm / mmPerPixel, 2)} pixels`,
    ),
    ...beadPixels(f),
    row('Scale', 'a ruler at the height of the oil in the first picture, straight from above, no flash'),
  ]
}
