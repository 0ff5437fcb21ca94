/** The map as a picture on white paper that stands alone: with its legend, and readable without colour. */

import { cssColour } from '../colour.ts'
import { outcomeLetter, outcomeWord } from '../controls/track.ts'
import { svg } from '../dom.ts'
import { paperColours } from '../plots/seriesColours.ts'
import { textWidth } from '../plots/svgLegend.ts'
import { drawMap, drawPlaces, type MapHere } from './drawing.ts'
import { frameFor } from './frame.ts'
import { hasNone, kindsShown } from './legend.ts'
import { STATES, swatchColour } from './mapData.ts'
import { type OutputScale, outputTitle, placeIn, scaleNumbers } from './outputScale.ts'
import type { Painted } from './painted.ts'

const SIZE = { width: 700, height: 440 }
const ROW = 22
const LEFT = 58

const { ink, faint, panel: paper, accent } = paperColours

const words = (x: number, y: number, text: string, more = {}): SVGElement =>
  svg('text', { x, y, 'font-size': 11.5, fill: ink, ...more }, text)

/** The scale as a bar with its numbers. */
function scaleBar(scale: OutputScale, y: number): SVGElement[] {
  const [left, width, parts] = [LEFT + 300, 300, 64]
  const cells = Array.from({ length: parts }, (_, i) =>
    svg('rect', {
      x: left + (i * width) / parts,
      y,
      width: width / parts + 0.3,
      height: 11,
      fill: cssColour(scale.table, (i + 0.5) / parts),
    }),
  )
  const numbers = scaleNumbers(scale, scale.ticks)
  const ticks = scale.ticks.flatMap((tick, i) => {
    const x = left + width * placeIn(scale, tick)
    return [
      svg('line', { x1: x, x2: x, y1: y + 11, y2: y + 15, stroke: faint }),
      words(x, y + 26, numbers[i]!, { 'text-anchor': 'middle', fill: faint }),
    ]
  })
  return [
    words(left - 10, y + 10, outputTitle(scale.output), { 'text-anchor': 'end' }),
    ...cells,
    svg('rect', { x: left, y, width, height: 11, fill: 'none', stroke: faint }),
    ...ticks,
  ]
}

/** Boxes with letters and words, in rows; gives the height too. */
function entries(painted: Painted, top: number): { parts: SVGElement[]; height: number } {
  const shown = kindsShown(painted).map((kind) => {
    const state = STATES[kind]!
    const fill = painted.by === 'outcome' ? swatchColour(state, paper) : paper
    return { letter: outcomeLetter[state], word: outcomeWord[state], fill }
  })
  if (hasNone(painted)) shown.push({ letter: '', word: 'no such number', fill: 'url(#map-none)' })
  const parts: SVGElement[] = []
  let [x, y] = [LEFT, top]
  for (const { letter, word, fill } of shown) {
    const width = 26 + textWidth(word) + 16
    if (x > LEFT && x + width > SIZE.width) [x, y] = [LEFT, y + ROW]
    parts.push(svg('rect', { x, y, width: 20, height: 16, fill, stroke: faint }))
    parts.push(words(x + 10, y + 12, letter, { 'text-anchor': 'middle' }), words(x + 26, y + 12, word))
    x += width
  }
  return { parts, height: y + ROW - top }
}

/** The whole picture as SVG text, about 700 px wide. */
export function mapFigure(painted: Painted, here: MapHere, shown: { lines: boolean; dots: boolean }): string {
  const frame = frameFor(painted.map, SIZE.width, SIZE.height)
  const look = { ink, faint, paper, accent, ...shown }
  const { parts, height } = entries(painted, SIZE.height + 6)
  const scaleTop = SIZE.height + 6 + height
  const scale = painted.scale ? scaleBar(painted.scale, scaleTop) : []
  const whole = { width: SIZE.width, height: scaleTop + (painted.scale ? 34 : 0) }
  const picture = svg(
    'svg',
    { ...whole, viewBox: `0 0 ${whole.width} ${whole.height}`, 'font-family': 'system-ui, sans-serif' },
    svg('rect', { ...whole, fill: paper }),
    ...drawMap(painted, frame, look, here),
    ...drawPlaces(painted.map, frame, look, here, null),
    ...parts,
    ...scale,
  )
  return new XMLSerializer().serializeToString(picture)
}
