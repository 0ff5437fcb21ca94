/** Draws the outcome map as SVG with every colour in the element, so that it can be saved as it is. */
import { OPEN, type OutcomeMap, RUN } from '../../plan/mapGrid.ts'
import { svg } from '../dom.ts'
import { corner, type MapFrame, pixelsOf, placeAlong, ticksAlong } from './frame.ts'
import { drawLines } from './lineDrawing.ts'
import { axisTitle, thinned, tickWord } from './mapData.ts'
import { fillOf, NONE, type Painted } from './painted.ts'

export interface MapLook {
  ink: string
  faint: string
  paper: string
  accent: string
  /** Contour lines with their numbers and borders between outcomes. */
  lines: boolean
  /** A dot at every point that was run. */
  dots: boolean
}

/** Cells of one colour side by side, as a path for each colour: thousands of elements would be slow. */
function cells(painted: Painted, frame: MapFrame, look: MapLook): SVGElement[] {
  const { map, grid } = painted
  const paths = new Map<string, string>()
  const fillAt = (k: number) => {
    const fill = fillOf(painted, k, look.paper)
    return map.run[k] === OPEN && fill !== NONE ? thinned(fill, look.paper, 0.55) : fill
  }
  const n = (value: number) => String(Math.round(100 * value) / 100)
  for (let j = 0; j < grid.ny; j++) {
    for (let i = 0; i < grid.nx; ) {
      const fill = fillAt(j * grid.nx + i)
      let end = i + 1
      while (end < grid.nx && fillAt(j * grid.nx + end) === fill) end++
      const { x, y } = corner(map, frame, i, j)
      const across = (end - i) * frame.cellWidth
      paths.set(
        fill,
        `${paths.get(fill) ?? ''}M${n(x)} ${n(y)}h${n(across + 0.4)}v${n(frame.cellHeight + 0.4)}h${n(-across - 0.4)}z`,
      )
      i = end
    }
  }
  return [...paths].map(([fill, d]) =>
    svg('path', { d, fill: fill === NONE ? 'url(#map-none)' : fill, class: 'map-cells' }),
  )
}

/** Stripes where a life has no such number. */
const stripes = ({ paper, faint }: Pick<MapLook, 'paper' | 'faint'>): SVGElement =>
  svg(
    'defs',
    {},
    svg(
      'pattern',
      { id: 'map-none', width: 7, height: 7, patternUnits: 'userSpaceOnUse', patternTransform: 'rotate(45)' },
      svg('rect', { width: 7, height: 7, fill: paper }),
      svg('rect', { width: 1.4, height: 7, fill: faint, 'fill-opacity': 0.6 }),
    ),
  )

function dots(map: OutcomeMap, frame: MapFrame, look: MapLook): SVGElement[] {
  const size = Math.min(3, Math.max(1.2, 0.3 * Math.min(frame.cellWidth, frame.cellHeight)))
  let d = ''
  for (let k = 0; k < map.total; k++) {
    if (map.run[k] !== RUN || map.outcome[k] === 'not-permitted') continue
    const [x, y] = pixelsOf(map, frame, k % map.x.length, Math.floor(k / map.x.length))
    d += `M${x.toFixed(1)} ${y.toFixed(1)}h.01`
  }
  const shape = { d, fill: 'none', 'stroke-linecap': 'round' }
  return [
    svg('path', { ...shape, stroke: look.paper, 'stroke-width': size + 1.2, 'stroke-opacity': 0.7 }),
    svg('path', { ...shape, stroke: look.ink, 'stroke-width': size }),
  ]
}

function axes(map: OutcomeMap, frame: MapFrame, look: MapLook): SVGElement[] {
  const parts: SVGElement[] = []
  const [width, height] = [map.x.length * frame.cellWidth, map.y.length * frame.cellHeight]
  const bottom = frame.top + height
  const text = (x: number, y: number, words: string, anchor: string, more = {}) =>
    svg('text', { x, y, 'text-anchor': anchor, 'font-size': 11.5, fill: look.faint, ...more }, words)
  const mark = (x: number, y: number, dx: number, dy: number) =>
    svg('line', { x1: x, y1: y, x2: x + dx, y2: y + dy, stroke: look.faint })
  for (const value of ticksAlong(map, 0, width, 52)) {
    const [x] = pixelsOf(map, frame, placeAlong(map.x, value), 0)
    parts.push(mark(x, bottom, 0, 4), text(x, bottom + 16, tickWord(map.keys[0], value), 'middle'))
  }
  for (const value of ticksAlong(map, 1, height, 30)) {
    const [, y] = pixelsOf(map, frame, 0, placeAlong(map.y, value))
    parts.push(mark(frame.left, y, -4, 0), text(frame.left - 7, y + 4, tickWord(map.keys[1], value), 'end'))
  }
  const across = frame.left + width / 2
  const up = frame.top + height / 2
  parts.push(text(across, bottom + 34, axisTitle(map.keys[0]), 'middle', { fill: look.ink }))
  parts.push(
    text(13, up, axisTitle(map.keys[1]), 'middle', { fill: look.ink, transform: `rotate(-90 13 ${up})` }),
  )
  return parts
}

/** Where the present drop lies on the picture, px; null if it lies elsewhere, or takes an input from the liquids. */
function hereAt(map: OutcomeMap, frame: MapFrame, { x, y }: MapHere): [number, number] | null {
  if (typeof x !== 'number' || typeof y !== 'number') return null
  const [i, j] = [placeAlong(map.x, x), placeAlong(map.y, y)]
  if (!(i >= -0.5 && i <= map.x.length - 0.5 && j >= -0.5 && j <= map.y.length - 0.5)) return null
  return pixelsOf(map, frame, i, j)
}

/** Values of the present drop, where it has them. */
export interface MapHere {
  x: unknown
  y: unknown
}

/** The mark of the present drop, and the cell of the cursor. */
export function drawPlaces(
  map: OutcomeMap,
  frame: MapFrame,
  look: MapLook,
  here: MapHere,
  cursor: { i: number; j: number } | null,
): SVGElement[] {
  const parts: SVGElement[] = []
  const at = hereAt(map, frame, here)
  if (at) {
    const circle = { cx: at[0], cy: at[1], r: 8, fill: 'none' }
    parts.push(svg('circle', { ...circle, stroke: look.paper, 'stroke-width': 5 }))
    parts.push(svg('circle', { ...circle, stroke: look.accent, 'stroke-width': 2.5 }))
  }
  if (cursor) {
    // A fine cell alone would not be seen.
    const grow = Math.max(0, 9 - Math.min(frame.cellWidth, frame.cellHeight)) / 2
    const { x, y } = corner(map, frame, cursor.i, cursor.j)
    const box = {
      x: x - grow,
      y: y - grow,
      width: frame.cellWidth + 2 * grow,
      height: frame.cellHeight + 2 * grow,
      fill: 'none',
    }
    parts.push(svg('rect', { ...box, stroke: look.paper, 'stroke-width': 4 }))
    parts.push(svg('rect', { ...box, stroke: look.ink, 'stroke-width': 2 }))
  }
  return parts
}

/** The map itself, without what moves over it. */
export function drawMap(painted: Painted, frame: MapFrame, look: MapLook, here: MapHere): SVGElement[] {
  const at = hereAt(painted.map, frame, here)
  return [
    stripes(look),
    ...cells(painted, frame, look),
    ...(look.dots ? dots(painted.map, frame, look) : []),
    ...drawLines(painted, frame, look, at ? [{ x: at[0], y: at[1], r: 12 }] : []),
    ...axes(painted.map, frame, look),
  ]
}
