/** Where labels of a panel find room: beside what they name, and touching nothing that is drawn. Pure. */
import { type Line, lastPoint, type Mark, type Panel } from './plotData.ts'
import { textWidth } from './svgLegend.ts'
import type { Box, Place } from './svgLines.ts'

/** Box of a label, px. */
export interface LabelBox {
  left: number
  top: number
  width: number
}

/** Height of a label's box, px: system type of 12 px from its highest to its lowest reach. */
export const labelHeight = 13

/** Side of the squares in which is noted what is drawn, px. */
const cell = 2
/** Reach of a mark about its place, px. */
const markReach = 4

/** What is drawn in a panel, noted in squares. */
class Ground {
  private readonly taken = new Set<number>()
  private readonly labels: LabelBox[] = []

  private key(x: number, y: number): number {
    return Math.floor(x / cell) * 65_536 + Math.floor(y / cell)
  }

  point(x: number, y: number, reach = 0): void {
    for (let dx = -reach; dx <= reach; dx += cell) {
      for (let dy = -reach; dy <= reach; dy += cell) this.taken.add(this.key(x + dx, y + dy))
    }
  }

  segment(x0: number, y0: number, x1: number, y1: number): void {
    const steps = Math.min(4000, Math.max(1, Math.ceil(Math.hypot(x1 - x0, y1 - y0))))
    for (let k = 0; k <= steps; k++) this.point(x0 + ((x1 - x0) * k) / steps, y0 + ((y1 - y0) * k) / steps)
  }

  /** Whether nothing is drawn in a box, with a pixel or two around it, and no label stands there. */
  free({ left, top, width }: LabelBox): boolean {
    const gap = 2
    const apart = (other: LabelBox) =>
      left + width + 3 <= other.left ||
      other.left + other.width + 3 <= left ||
      top + labelHeight <= other.top ||
      other.top + labelHeight <= top
    if (!this.labels.every(apart)) return false
    for (let x = left - gap; x <= left + width + gap; x += cell) {
      for (let y = top - gap; y <= top + labelHeight + gap; y += cell) {
        if (this.taken.has(this.key(x, y))) return false
      }
    }
    return true
  }

  keep(box: LabelBox): void {
    this.labels.push(box)
  }
}

/** Notes all lines, points with their bars, borders of areas and marks of a panel. */
function groundOf(panel: Panel, place: Place): Ground {
  const ground = new Ground()
  for (const line of panel.lines) noteLine(ground, line, place)
  for (const { x, y } of panel.marks) ground.point(place.x(x), place.y(y), markReach)
  return ground
}

function noteLine(ground: Ground, line: Line, place: Place): void {
  let before: [number, number] | null = null
  for (let i = 0; i < line.y.length; i++) {
    const y = line.y[i]!
    if (!Number.isFinite(y)) {
      before = null
      continue
    }
    const at: [number, number] = [place.x(line.x[i]!), place.y(y)]
    const base = line.base?.[i] ?? Number.NaN
    if (line.kind === 'points') {
      ground.point(...at, markReach)
      if (base > 0) ground.segment(at[0], place.y(y - base), at[0], place.y(y + base))
    } else if (before) ground.segment(...before, ...at)
    before = at
  }
}

/** Distance from the right border within which a line is taken to end there, px. */
const atBorder = 24

/** What may be chosen for a label about a point: right of it (behind the border, if that is near), above and below, left. */
function* candidates(x: number, y: number, width: number, right: number): Generator<LabelBox> {
  const middle = y - labelHeight / 2
  const beside = right - x < atBorder ? Math.max(x + 7, right + 5) : x + 7
  for (const shift of [0, -7, 7, -13, 13, -19, 19]) yield { left: beside, top: middle + shift, width }
  for (const away of [10, 14, 19, 25]) {
    for (const part of [0.5, 0, 1]) {
      yield { left: x - part * width, top: y - away - labelHeight / 2, width }
      yield { left: x - part * width, top: y + away - labelHeight / 2, width }
    }
  }
  for (const shift of [0, -7, 7, -13, 13]) yield { left: x - 7 - width, top: middle + shift, width }
}

/** A place beside (x, y) wholly inside the plot, or wholly in the room right of it; null if there is none. */
function placeFor(
  ground: Ground,
  box: Box,
  room: number,
  x: number,
  y: number,
  label: string,
): LabelBox | null {
  const right = box.left + box.width
  const fits = ({ left, top, width }: LabelBox) =>
    top >= box.top + 1 &&
    top + labelHeight <= box.top + box.height - 1 &&
    ((left >= box.left + 3 && left + width <= right - 3) ||
      (left >= right + 3 && left + width <= right + room - 2))
  const width = textWidth(label)
  for (const one of candidates(x, y, width, right)) {
    if (!fits(one) || !ground.free(one)) continue
    ground.keep(one)
    return one
  }
  return null
}

/** Labels of areas stand at mid-height. */
export const heightAt = (line: Line, i: number): number =>
  line.kind === 'area' ? 0.5 * (line.y[i]! + (line.base?.[i] ?? 0)) : line.y[i]!

export interface Labels {
  lines: { line: Line; at: LabelBox }[]
  marks: { mark: Mark; at: LabelBox }[]
  /** Those that find no room, for the legend; points always stand there. */
  homelessLines: Line[]
  homelessMarks: Mark[]
}

/** Places for all labels of a panel. @param room px right of the plot. @param none true = all labels go to the legend. */
export function labelsOf(panel: Panel, box: Box, place: Place, room: number, none: boolean): Labels {
  const ground = groundOf(panel, place)
  const labels: Labels = { lines: [], marks: [], homelessLines: [], homelessMarks: [] }
  for (const mark of panel.marks.filter(({ label }) => label !== '')) {
    const at = placeFor(ground, box, room, place.x(mark.x), place.y(mark.y), mark.label)
    if (at) labels.marks.push({ mark, at })
    else labels.homelessMarks.push(mark)
  }
  for (const line of panel.lines.filter(({ label }) => label !== '')) {
    const i = lastPoint(line, panel)
    if (i < 0) continue
    const at =
      none || line.kind === 'points'
        ? null
        : placeFor(ground, box, room, place.x(line.x[i]!), place.y(heightAt(line, i)), line.label)
    if (at) labels.lines.push({ line, at })
    else labels.homelessLines.push(line)
  }
  return labels
}
