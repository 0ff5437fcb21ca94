/** Frame interval and field of view for a stated number of frames and pixels. Pure. */
import type { Life } from '../life/types.ts'
import { locate } from '../life/view.ts'

export interface CameraPlan {
  frames: number
  /** Pixels across the shorter side of the picture. */
  pixels: number
  /** Time between frames, s: the frames are spread evenly from touch-down to the end of the life. */
  interval_s: number
  /** Shorter side of the field of view, mm, and what one pixel shows of it. */
  field_mm: number
  mmPerPixel: number
  /** Longest way of the edge from one frame to the next, mm, and the time of that frame pair's start, s. */
  jump_mm: number
  jumpAt_s: number
}

/** Free margin on either side of the drop: common practice, no source. */
const MARGIN = 1.15

const radiusAt = ({ series }: Life, time: number): number => {
  const { row, fraction } = locate(series.t, series.t.length, time)
  const from = series.R[row]!
  return fraction === 0 ? from : from + fraction * (series.R[row + 1]! - from)
}

/** @param largest radius that must fit into the picture, m @param frames at least 2 @param pixels at least 1 */
export function cameraPlan(life: Life, largest: number, frames: number, pixels: number): CameraPlan {
  const interval_s = life.summary.lifeEnd / (frames - 1)
  const field_mm = 2e3 * largest * MARGIN
  let jump = 0
  let jumpAt_s = 0
  for (let k = 1; k < frames; k++) {
    const way = Math.abs(radiusAt(life, k * interval_s) - radiusAt(life, (k - 1) * interval_s))
    if (way > jump) {
      jump = way
      jumpAt_s = (k - 1) * interval_s
    }
  }
  return {
    frames,
    pixels,
    interval_s,
    field_mm,
    mmPerPixel: field_mm / pixels,
    jump_mm: 1e3 * jump,
    jumpAt_s,
  }
}

/** Pixels that a bead and the neck beside it need to be counted: common practice, no source. */
export const PIXELS_PER_BEAD = 4

/** Largest field of view (mm, shorter side) in which beads `spacing` m apart can be counted. */
export const fieldForBeads = ({ pixels }: CameraPlan, spacing: number): number =>
  (1e3 * spacing * pixels) / PIXELS_PER_BEAD
