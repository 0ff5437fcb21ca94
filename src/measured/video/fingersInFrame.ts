/** Fingers of the drop in one picture. */
import { fingersOf } from './fingerSpectrum.ts'
import { markDrop } from './mark.ts'
import { deciles } from './markedDrop.ts'
import { smoothingFor } from './seen.ts'
import type { DropMark, FingerReading, Frame, FrameResult, Settings } from './types.ts'

/** Counts the fingers on a marked outline; blur and noise are the mark's own. */
function fingersOfMark({ outline, blur, bridged, contrast, noise, calmNoise }: DropMark): FingerReading {
  const spread = Math.hypot(blur / deciles, smoothingFor(contrast / noise))
  // The edge is steepest in its middle: there a bell of blur rises by contrast/(σ√2π) a pixel.
  const place = (calmNoise / contrast) * spread * Math.sqrt(2 * Math.PI)
  return fingersOf(outline, { blur: spread, noise: place, bridged })
}

/** A drop of which so much hangs on by necks, or was bridged, may have lost its fingers to the cutting of child drops. */
const leastLoose = 0.002

/**
 * Fingers of the drop that `result` marks in `frame`; null where there is no drop or it is cut off by the border. Fingers
 * are thin, and where child drops are cut off they are cut off as well: then the drop is marked once more with them.
 */
export function fingersIn(
  frame: Frame,
  settings: Settings,
  bare: Frame | null,
  result: FrameResult,
): FingerReading | null {
  const { drop, flags } = result
  if (!drop || flags.includes('touches-border')) return null
  const cut = settings.cutChildren && (drop.loose > leastLoose || drop.bridged > 0)
  if (!cut) return fingersOfMark(drop)
  const place = { x: drop.x, y: drop.y, r: drop.equivalentRadius }
  const whole = markDrop(frame, { ...settings, cutChildren: false }, bare, place)
  if (!whole.drop || whole.flags.includes('touches-border')) return null
  return fingersOfMark(whole.drop)
}
