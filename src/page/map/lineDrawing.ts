/** Lines over a map: borders between outcomes with their words, contours with their numbers. */
import { outcomeLetter, outcomeWord } from '../controls/track.ts'
import { svg } from '../dom.ts'
import { textWidth } from '../plots/svgLegend.ts'
import { type MapFrame, pixelsOf } from './frame.ts'
import { type Disc, labelLines, type PixelLine } from './lineLabels.ts'
import { borderLines, contourLines, type GridLine } from './lines.ts'
import { STATES } from './mapData.ts'
import { scaleNumbers } from './outputScale.ts'
import type { Painted } from './painted.ts'
import { fitsAbout, regionsOf } from './regions.ts'

export interface LineLook {
  ink: string
  paper: string
  lines: boolean
}

const pathOf = (lines: readonly PixelLine[]): string =>
  lines
    .map((line) => line.map(([x, y], k) => `${k === 0 ? 'M' : 'L'}${x.toFixed(1)} ${y.toFixed(1)}`).join(''))
    .join('')

/** A text that is readable on any colour. */
const haloed = (x: number, y: number, words: string, { ink, paper }: LineLook, more = {}): SVGElement =>
  svg(
    'text',
    {
      x,
      y,
      'text-anchor': 'middle',
      fill: ink,
      stroke: paper,
      'stroke-width': 3,
      'stroke-linejoin': 'round',
      'paint-order': 'stroke',
      ...more,
    },
    words,
  )

/** The word of an outcome in each connected piece of it, or its letter where the word has no room. */
function words({ map, grid }: Painted, frame: MapFrame, look: LineLook, taken: Disc[]): SVGElement[] {
  const parts: SVGElement[] = []
  const least = Math.min(frame.cellWidth, frame.cellHeight)
  for (const { kind, middle, room } of regionsOf(grid, frame.cellWidth, frame.cellHeight)) {
    const state = STATES[kind]!
    const [x, y] = pixelsOf(map, frame, middle % grid.nx, Math.floor(middle / grid.nx))
    const width = textWidth(outcomeWord[state])
    const wide = fitsAbout(grid, middle, (width / 2 + 3) / frame.cellWidth, 8 / frame.cellHeight)
    if (!wide && room < 5 && least < 11) continue
    const said = wide ? outcomeWord[state] : outcomeLetter[state]
    const half = wide ? width / 2 : 4
    for (let dx = -half; dx <= half; dx += 8) taken.push({ x: x + dx, y, r: 8 })
    parts.push(haloed(x, y + 4, said, look, { 'font-size': 12, class: 'map-word' }))
  }
  return parts
}

function contours(painted: Painted, frame: MapFrame, look: LineLook, taken: Disc[]): SVGElement[] {
  const { map, grid, values, scale } = painted
  if (!scale || !values) return []
  const inPixels = (line: GridLine): PixelLine => line.map(([i, j]) => pixelsOf(map, frame, i, j))
  const numbers = scaleNumbers(scale, scale.levels)
  const lines = scale.levels.flatMap((level, k) =>
    contourLines(grid, values, level).map((line) => ({ line: inPixels(line), text: numbers[k]! })),
  )
  const d = pathOf(lines.map(({ line }) => line))
  const shape = { d, fill: 'none', 'stroke-linejoin': 'round' }
  return [
    svg('path', { ...shape, stroke: look.paper, 'stroke-width': 2.4, 'stroke-opacity': 0.55 }),
    svg('path', { ...shape, stroke: look.ink, 'stroke-width': 1, class: 'map-contours' }),
    ...labelLines(lines, taken).map(({ text, x, y, angle }) =>
      haloed(x, y, text, look, {
        'font-size': 11,
        'dominant-baseline': 'central',
        class: 'map-number',
        transform: `rotate(${angle.toFixed(1)} ${x.toFixed(1)} ${y.toFixed(1)})`,
      }),
    ),
  ]
}

/** @param taken discs that labels keep clear of */
export function drawLines(painted: Painted, frame: MapFrame, look: LineLook, taken: Disc[]): SVGElement[] {
  const said = words(painted, frame, look, taken)
  if (!look.lines) return said
  const { map, grid } = painted
  const borders = borderLines(grid).map((line) => line.map(([i, j]) => pixelsOf(map, frame, i, j)))
  const shape = { d: pathOf(borders), fill: 'none', 'stroke-linejoin': 'round', 'stroke-linecap': 'round' }
  return [
    ...contours(painted, frame, look, taken),
    svg('path', { ...shape, stroke: look.paper, 'stroke-width': 4 }),
    svg('path', { ...shape, stroke: look.ink, 'stroke-width': 2, class: 'map-borders' }),
    ...said,
  ]
}
