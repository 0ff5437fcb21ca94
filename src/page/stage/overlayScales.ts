/** The scale bar with the oil's depth, and the ruler of heights. */
import { el, svg } from '../dom.ts'
import { length } from '../format.ts'
import { axisLeft } from '../plots/axis.ts'
import { type Framing, rightEdge, scaleBar } from './framing.ts'
import { type HeightMap, heightOf, rulerThicknesses } from './heightMap.ts'

let measuring: CanvasRenderingContext2D | null = null

/** Width of a line of the marks' type at this size, px. */
export function textWidth(text: string, size: number): number {
  measuring ??= el('canvas').getContext('2d')
  if (!measuring) return 0.62 * size * text.length
  measuring.font = `${size}px system-ui, sans-serif`
  return measuring.measureText(text).width
}

const f = (x: number): string => x.toFixed(1)

/** Lengths across the picture are the same everywhere in it, however it is turned. The depth is told where its cut is seen. */
export function barParts(frame: Framing, depth: number): SVGElement[] {
  const { letter, height, scale } = frame
  const size = scaleBar(scale)
  const y = height - Math.max(9, 0.7 * letter)
  const x1 = rightEdge(frame)
  const x0 = x1 - size * scale
  const row = f(y + (4 / 11) * letter)
  const deep = `oil ${length(depth, 2)} deep${frame.shownDepth < 0.98 * depth ? ', cut' : ''}`
  const parts: SVGElement[] = [
    svg('path', { d: `M${f(x0)} ${y - 4}v8M${f(x0)} ${y}H${f(x1)}M${f(x1)} ${y - 4}v8` }),
    svg('text', { x: f(x0 - 6), y: row, 'text-anchor': 'end' }, length(size, 2)),
  ]
  const room = x0 - 6 - textWidth(length(size, 2), letter) - 8 - (axisLeft + 4)
  if (frame.frontal && textWidth(deep, letter) < room)
    parts.push(svg('text', { x: f(axisLeft + 4), y: row }, deep))
  return parts
}

/** Heights above the bath's surface in the cut, foreshortened by the tilt; words where there is room for them. */
export function rulerParts(frame: Framing, map: HeightMap, thickest: number): SVGElement[] {
  const x = axisLeft
  const up = frame.scale * Math.cos(frame.tilt)
  const size = (10 / 11) * frame.letter
  const thicknesses = rulerThicknesses(map, thickest)
  const rowOf = (h: number) => frame.cutRow - up * heightOf(map, h)
  const parts: SVGElement[] = []
  let before = frame.cutRow + 0.4 * size
  for (const h of thicknesses) {
    const y = rowOf(h)
    parts.push(svg('path', { d: `M${x - 4} ${f(y)}h8` }))
    if (before - y < size) continue
    before = y
    const text = length(h, 1)
    const left = textWidth(text, size) < x - 9
    const place = left ? { x: x - 7, 'text-anchor': 'end' } : { x: x + 7, 'text-anchor': 'start' }
    parts.push(svg('text', { ...place, y: f(y + 0.35 * size) }, text))
  }
  const highest = thicknesses.at(-1)
  if (highest) parts.push(svg('path', { d: `M${x} ${f(frame.cutRow)}V${f(rowOf(highest))}` }))
  return parts
}
