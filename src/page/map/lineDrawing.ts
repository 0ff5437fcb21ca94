/** Lines over a map: borders between outcomes with their words, contours with their numbers. */
import { outcomeLetter, outcomeWord } from '../controls/track.ts'
import { svg } from '../dom.ts'
import { textWidth } from '../plots/svgLegend.ts'
import { type MapFrame, pixelsOf } from './frame.ts'
import { type Disc, labelLines, type PixelLine } from './lineLabels.ts'
import { borderLines, contourLines, type Grid, type GridLine } from './lines.ts'
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

/** Index in a grid of each point of the same grid with one more point on each side, like its neighbour. */
const framed = ({ nx, ny }: Grid): number[] =>
  Array.from({ length: (nx + 2) * (ny + 2) }, (_, k) => {
    const i = Math.min(Math.max((k % (nx + 2)) - 1, 0), nx - 1)
    const j = Math.min(Math.max(Math.floor(k / (nx + 2)) - 1, 0), ny - 1)
    return j * nx + i
  })

/** A line of the framed grid in pixels, cut at the edge of the picture: half a cell beyond the outermost points. */
function inPixels({ map, grid }: Painted, frame: MapFrame, line: GridLine): PixelLine {
  const within = (value: number, count: number) => Math.min(Math.max(value - 1, -0.5), count - 0.5)
  return line.map(([i, j]) => pixelsOf(map, frame, within(i, grid.nx), within(j, grid.ny)))
}

/** Shorter contours are the noise of an output, px. */
const SHORTEST = 9

const lengthOf = (line: PixelLine): number =>
  line.reduce((sum, [x, y], k) => {
    const [a, b] = line[k - 1] ?? [x, y]
    return sum + Math.hypot(x - a, y - b)
  }, 0)

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
  const { grid, values, scale } = painted
  if (!scale || !values) return []
  const at = framed(grid)
  const larger = { nx: grid.nx + 2, ny: grid.ny + 2, kinds: at.map((k) => grid.kinds[k]!) }
  const numbers = scaleNumbers(scale, scale.levels)
  const known = Float64Array.from(at, (k) => values[k]!)
  const lines = scale.levels
    .flatMap((level, k) =>
      contourLines(larger, known, level).map((line) => ({
        line: inPixels(painted, frame, line),
        text: numbers[k]!,
      })),
    )
    .filter(({ line }) => lengthOf(line) >= SHORTEST)
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
  const { grid } = painted
  const kinds = framed(grid).map((k) => grid.kinds[k]!)
  const borders = borderLines({ nx: grid.nx + 2, ny: grid.ny + 2, kinds }).map((line) =>
    inPixels(painted, frame, line),
  )
  const shape = { d: pathOf(borders), fill: 'none', 'stroke-linejoin': 'round', 'stroke-linecap': 'round' }
  return [
    ...contours(painted, frame, look, taken),
    svg('path', { ...shape, stroke: look.paper, 'stroke-width': 4 }),
    svg('path', { ...shape, stroke: look.ink, 'stroke-width': 2, class: 'map-borders' }),
    ...said,
  ]
}
