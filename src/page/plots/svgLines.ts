/** Lines of a panel as SVG paths: measured as marks with error bars, computed as lines, budgets as areas. */
import { markerPath } from '../clock/drawing.ts'
import { crowd } from './crowd.ts'
import { escapeXml } from './escape.ts'
import { type Line, type Panel, placeOnY } from './plotData.ts'

export const n = (value: number): string => Number(value.toFixed(2)).toString()

export interface Box {
  left: number
  top: number
  width: number
  height: number
}

export type Place = { x: (value: number) => number; y: (value: number) => number }

export const placesOf = (panel: Panel, box: Box): Place => ({
  x: (value) => box.left + ((value - panel.xMin) / (panel.xMax - panel.xMin)) * box.width,
  y: (value) => box.top + (1 - placeOnY(panel, value)) * box.height,
})

/** Path data of a line; gaps at values that are not finite. */
export function pathData(line: Pick<Line, 'x' | 'y'>, place: Place): string {
  let out = ''
  let pen = false
  for (let i = 0; i < line.y.length; i++) {
    const y = line.y[i]!
    if (!Number.isFinite(y)) {
      pen = false
      continue
    }
    out += `${pen ? 'L' : 'M'}${n(place.x(line.x[i]!))} ${n(place.y(y))}`
    pen = true
  }
  return out
}

function areaData(line: Line, place: Place): string {
  const forth: string[] = []
  const back: string[] = []
  for (let i = 0; i < line.y.length; i++) {
    if (!Number.isFinite(line.y[i]!)) continue
    const x = n(place.x(line.x[i]!))
    forth.push(`${x} ${n(place.y(line.y[i]!))}`)
    back.push(`${x} ${n(place.y(line.base?.[i] ?? 0))}`)
  }
  return forth.length > 1 ? `M${forth.join('L')}L${back.reverse().join('L')}Z` : ''
}

/** Half the width of the ends of an error bar, px. */
const cap = 2

function pointsData(line: Line, place: Place): string {
  let out = ''
  const adds = crowd(line.y.length)
  for (let i = 0; i < line.y.length; i++) {
    const [x, y, error] = [line.x[i]!, line.y[i]!, line.base?.[i] ?? Number.NaN]
    if (!Number.isFinite(y)) continue
    if (!adds(place.x(x), place.y(y))) continue
    const [px, py] = [n(place.x(x)), n(place.y(y))]
    out += line.marker
      ? markerPath(line.marker, Number(px), Number(py))
      : `M${n(place.x(x) - 2.5)} ${py}a2.5 2.5 0 1 0 5 0a2.5 2.5 0 1 0 -5 0`
    if (!(error > 0)) continue
    const [low, high] = [n(place.y(y - error)), n(place.y(y + error))]
    out += `M${px} ${low}V${high}`
    if (line.y.length <= 300)
      out += `M${n(place.x(x) - cap)} ${low}h${2 * cap}M${n(place.x(x) - cap)} ${high}h${2 * cap}`
  }
  return out
}

export function lineElement(line: Line, place: Place): string {
  const opacity = line.opacity < 1 ? ` opacity="${line.opacity}"` : ''
  if (line.kind === 'area') {
    return `<path d="${areaData(line, place)}" fill="${escapeXml(line.colour)}" stroke="none"${opacity}/>`
  }
  const d = line.kind === 'points' ? pointsData(line, place) : pathData(line, place)
  const dash = line.dash.length > 0 ? ` stroke-dasharray="${line.dash.join(' ')}"` : ''
  return `<path d="${d}" fill="none" stroke="${escapeXml(line.colour)}" stroke-width="${line.width}"${dash}${opacity}/>`
}
