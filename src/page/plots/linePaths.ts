/** Paths of lines for the live plots. Gaps at values that are not finite; what is far outside is cut off. */
import type uPlot from 'uplot'
import { markerPath } from '../clock/drawing.ts'
import { crowd } from './crowd.ts'
import type { Line } from './plotData.ts'

const place = (u: uPlot, scale: 'x' | 'y', value: number): number => u.valToPos(value, scale, true)

/** A logarithmic axis has no place for 0: such values lie just under the plot. */
const floorOf = (u: uPlot): number =>
  u.scales.y!.distr === 3 ? (u.scales.y!.min ?? 1e-9) * 1e-2 : Number.NEGATIVE_INFINITY

function strokePath(u: uPlot, line: Line): Path2D {
  const path = new Path2D()
  const floor = floorOf(u)
  let pen = false
  for (let i = 0; i < line.y.length; i++) {
    const y = line.y[i]!
    if (!Number.isFinite(y)) {
      pen = false
      continue
    }
    const [px, py] = [place(u, 'x', line.x[i]!), place(u, 'y', Math.max(y, floor))]
    if (pen) path.lineTo(px, py)
    else path.moveTo(px, py)
    pen = true
  }
  return path
}

function areaPath(u: uPlot, line: Line): Path2D {
  const path = new Path2D()
  const count = line.y.length
  for (let i = 0; i < count; i++) path.lineTo(place(u, 'x', line.x[i]!), place(u, 'y', line.y[i]!))
  for (let i = count - 1; i >= 0; i--) {
    path.lineTo(place(u, 'x', line.x[i]!), place(u, 'y', line.base?.[i] ?? 0))
  }
  path.closePath()
  return path
}

function pointsPath(u: uPlot, line: Line, ratio: number): Path2D {
  const path = new Path2D()
  const size = 2.5 * ratio
  const adds = crowd(line.y.length, ratio)
  for (let i = 0; i < line.y.length; i++) {
    const [y, error] = [line.y[i]!, line.base?.[i] ?? Number.NaN]
    if (!Number.isFinite(y)) continue
    const [px, py] = [place(u, 'x', line.x[i]!), place(u, 'y', y)]
    if (!adds(px, py)) continue
    if (line.marker) {
      const shape = new Path2D(markerPath(line.marker, px / ratio, py / ratio))
      path.addPath(shape, new DOMMatrix([ratio, 0, 0, ratio, 0, 0]))
    } else {
      path.moveTo(px + size, py)
      path.arc(px, py, size, 0, 2 * Math.PI)
    }
    if (!(error > 0)) continue
    path.moveTo(px, place(u, 'y', y - error))
    path.lineTo(px, place(u, 'y', y + error))
  }
  return path
}

/** The path of a line in the shape that uPlot asks for. */
export function pathsOf(u: uPlot, line: Line, ratio: number): uPlot.Series.Paths {
  if (line.kind === 'area') return { stroke: null, fill: areaPath(u, line) }
  return { stroke: line.kind === 'points' ? pointsPath(u, line, ratio) : strokePath(u, line) }
}
