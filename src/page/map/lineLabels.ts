/** Numbers along contour lines: on straight parts, upright, away from one another. Pure. */
import { textWidth } from '../plots/svgLegend.ts'

export type PixelLine = readonly (readonly [number, number])[]

export interface LineLabel {
  text: string
  x: number
  y: number
  /** Turned by so many degrees, −90 to 90, clockwise. */
  angle: number
}

/** Discs that nothing else may touch. */
export interface Disc {
  x: number
  y: number
  r: number
}

const touches = (a: Disc, b: Disc): boolean => Math.hypot(a.x - b.x, a.y - b.y) < a.r + b.r

/** Half the height of a label with some room, px. */
const HALF = 8

/** Discs along a label. */
function discsOf({ x, y, angle }: LineLabel, width: number): Disc[] {
  const [c, s] = [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)]
  const steps = Math.max(1, Math.ceil(width / HALF))
  return Array.from({ length: steps + 1 }, (_, k) => {
    const along = (k / steps - 0.5) * width
    return { x: x + c * along, y: y + s * along, r: HALF }
  })
}

/** Length of a line up to each of its corners. */
function lengthsOf(line: PixelLine): number[] {
  const lengths = [0]
  for (let k = 1; k < line.length; k++)
    lengths.push(lengths[k - 1]! + Math.hypot(line[k]![0] - line[k - 1]![0], line[k]![1] - line[k - 1]![1]))
  return lengths
}

function pointAt(line: PixelLine, lengths: readonly number[], along: number): [number, number] {
  let k = 1
  while (k < lengths.length - 1 && lengths[k]! < along) k++
  const part = lengths[k]! > lengths[k - 1]! ? (along - lengths[k - 1]!) / (lengths[k]! - lengths[k - 1]!) : 0
  const [a, b] = [line[k - 1]!, line[k]!]
  return [a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])]
}

/** Shares of a line at which a label is tried. */
const PLACES = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9]
/** Chord over arc: a label stands only on what is nearly straight. */
const STRAIGHT = 0.96

function tried(line: PixelLine, lengths: readonly number[], share: number, text: string, width: number) {
  const whole = lengths.at(-1)!
  const middle = Math.min(Math.max(share * whole, width / 2 + 2), whole - width / 2 - 2)
  const [from, to] = [pointAt(line, lengths, middle - width / 2), pointAt(line, lengths, middle + width / 2)]
  if (Math.hypot(to[0] - from[0], to[1] - from[1]) < STRAIGHT * width) return null
  const [left, right] = from[0] <= to[0] ? [from, to] : [to, from]
  const angle = (Math.atan2(right[1] - left[1], right[0] - left[0]) * 180) / Math.PI
  const label: LineLabel = { text, x: (from[0] + to[0]) / 2, y: (from[1] + to[1]) / 2, angle }
  return label
}

/**
 * Labels for lines, the longest first; a line without a place gets none.
 * @param taken discs to keep clear of; those of the labels are added
 */
export function labelLines(lines: readonly { line: PixelLine; text: string }[], taken: Disc[]): LineLabel[] {
  const labels: LineLabel[] = []
  const measured = lines.map((one) => ({ ...one, lengths: lengthsOf(one.line) }))
  measured.sort((a, b) => b.lengths.at(-1)! - a.lengths.at(-1)!)
  for (const { line, text, lengths } of measured) {
    const width = textWidth(text) + 4
    if (lengths.at(-1)! < width + 24) continue
    for (const share of PLACES) {
      const label = tried(line, lengths, share, text, width)
      if (!label) continue
      const discs = discsOf(label, width)
      if (discs.some((disc) => taken.some((other) => touches(disc, other)))) continue
      taken.push(...discs)
      labels.push(label)
      break
    }
  }
  return labels
}
