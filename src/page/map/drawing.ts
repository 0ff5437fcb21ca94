/** Draws the outcome map as SVG with every colour in the element, so that it can be saved as it is. */
import type { OutcomeMap } from '../../plan/outcomeMap.ts'
import { outcomeLetter } from '../controls/track.ts'
import { svg } from '../dom.ts'
import { axisTitle, colourOf, type MapColour, tickWord, topOf } from './mapData.ts'

export interface MapFrame {
  width: number
  height: number
  left: number
  top: number
  cellWidth: number
  cellHeight: number
}

const margins = { left: 58, right: 14, top: 10, bottom: 44 }

export function frameFor(map: OutcomeMap, width: number, height: number): MapFrame {
  const { left, right, top, bottom } = margins
  return {
    width,
    height,
    left,
    top,
    cellWidth: Math.max(2, width - left - right) / map.x.length,
    cellHeight: Math.max(2, height - top - bottom) / map.y.length,
  }
}

/** Left upper corner of a cell; the first row is lowest. */
const corner = (map: OutcomeMap, frame: MapFrame, i: number, j: number) => ({
  x: frame.left + i * frame.cellWidth,
  y: frame.top + (map.y.length - 1 - j) * frame.cellHeight,
})

/** The cell under a place of the picture; null outside. */
export function cellAt(
  map: OutcomeMap,
  frame: MapFrame,
  x: number,
  y: number,
): { i: number; j: number } | null {
  const i = Math.floor((x - frame.left) / frame.cellWidth)
  const j = map.y.length - 1 - Math.floor((y - frame.top) / frame.cellHeight)
  return i >= 0 && i < map.x.length && j >= 0 && j < map.y.length ? { i, j } : null
}

/** Place of a value along an axis, in cells (0 = middle of the first); even in ratios where the axis is. */
export function placeAlong(values: Float64Array, value: number): number {
  const last = values.length - 1
  const [first, second, end] = [values[0]!, values[1]!, values[last]!]
  const even = Math.abs(second - first - (end - first) / last) < 1e-6 * Math.abs(end - first)
  return even
    ? ((value - first) / (end - first)) * last
    : (Math.log(value / first) / Math.log(end / first)) * last
}

export interface MapLook {
  by: MapColour
  ink: string
  faint: string
  paper: string
  accent: string
}

function cells(map: OutcomeMap, frame: MapFrame, look: MapLook): SVGElement[] {
  const top = topOf(map, look.by)
  const letters = frame.cellWidth >= 11 && frame.cellHeight >= 11
  const parts: SVGElement[] = []
  map.outcome.forEach((outcome, k) => {
    const i = k % map.x.length
    const j = (k - i) / map.x.length
    const { x, y } = corner(map, frame, i, j)
    const fill = colourOf(map, k, look.by, top, look.paper)
    const known = outcome !== 'unknown'
    parts.push(
      svg('rect', {
        x,
        y,
        width: frame.cellWidth + 0.4,
        height: frame.cellHeight + 0.4,
        fill,
        'fill-opacity': known ? 1 : 0.55,
      }),
    )
    if (!known || !letters) return
    const dark = look.by !== 'outcome' && map[look.by][k]! > 0.5 * top
    parts.push(
      svg(
        'text',
        {
          x: x + frame.cellWidth / 2,
          y: y + frame.cellHeight / 2 + 4,
          'text-anchor': 'middle',
          'font-size': 11,
          fill: look.by === 'outcome' ? look.ink : dark ? '#ffffff' : '#1b1a17',
        },
        outcomeLetter[outcome],
      ),
    )
  })
  return parts
}

function axes(map: OutcomeMap, frame: MapFrame, look: MapLook): SVGElement[] {
  const parts: SVGElement[] = []
  const bottom = frame.top + map.y.length * frame.cellHeight
  const text = (x: number, y: number, words: string, anchor: string, more = {}) =>
    svg('text', { x, y, 'text-anchor': anchor, 'font-size': 11.5, fill: look.faint, ...more }, words)
  const everyX = Math.ceil(46 / frame.cellWidth)
  for (let i = 0; i < map.x.length; i += everyX) {
    parts.push(
      text(frame.left + (i + 0.5) * frame.cellWidth, bottom + 15, tickWord(map.keys[0], map.x[i]!), 'middle'),
    )
  }
  const everyY = Math.ceil(22 / frame.cellHeight)
  for (let j = 0; j < map.y.length; j += everyY) {
    const y = bottom - (j + 0.5) * frame.cellHeight + 4
    parts.push(text(frame.left - 6, y, tickWord(map.keys[1], map.y[j]!), 'end'))
  }
  const across = frame.left + (map.x.length * frame.cellWidth) / 2
  const up = frame.top + (map.y.length * frame.cellHeight) / 2
  parts.push(text(across, bottom + 34, axisTitle(map.keys[0]), 'middle', { fill: look.ink }))
  parts.push(
    text(13, up, axisTitle(map.keys[1]), 'middle', { fill: look.ink, transform: `rotate(-90 13 ${up})` }),
  )
  return parts
}

/** Where the present drop lies, if it lies on the map. */
function here(map: OutcomeMap, frame: MapFrame, look: MapLook, x: number, y: number): SVGElement[] {
  const [i, j] = [placeAlong(map.x, x), placeAlong(map.y, y)]
  if (!(i >= -0.5 && i <= map.x.length - 0.5 && j >= -0.5 && j <= map.y.length - 0.5)) return []
  const at = {
    cx: frame.left + (i + 0.5) * frame.cellWidth,
    cy: frame.top + (map.y.length - 0.5 - j) * frame.cellHeight,
  }
  return [
    svg('circle', { ...at, r: 8, fill: 'none', stroke: look.paper, 'stroke-width': 5 }),
    svg('circle', { ...at, r: 8, fill: 'none', stroke: look.accent, 'stroke-width': 2.5 }),
  ]
}

export interface MapPlaces {
  /** Values of the present drop. */
  x: number
  y: number
  /** Cell of the cursor. */
  cursor: { i: number; j: number } | null
}

export function drawMap(map: OutcomeMap, frame: MapFrame, look: MapLook, places: MapPlaces): SVGElement[] {
  const parts = [
    ...cells(map, frame, look),
    ...axes(map, frame, look),
    ...here(map, frame, look, places.x, places.y),
  ]
  if (places.cursor) {
    const at = corner(map, frame, places.cursor.i, places.cursor.j)
    const size = { width: frame.cellWidth, height: frame.cellHeight, fill: 'none' }
    parts.push(svg('rect', { ...at, ...size, stroke: look.paper, 'stroke-width': 4 }))
    parts.push(svg('rect', { ...at, ...size, stroke: look.ink, 'stroke-width': 2 }))
  }
  return parts
}
