/** Small pictures of a measured curve's marker and line. */
import type { MeasuredCurve } from '../../measured/types.ts'
import { markerPath } from '../clock/drawing.ts'
import { svg } from '../dom.ts'
import { curveStyle } from '../theme.ts'

/** The marker as it is drawn in the clock strip. */
export function markerSwatch(curve: Pick<MeasuredCurve, 'meta'>, index: number): SVGElement {
  const { colour, marker } = curveStyle(curve, index)
  const path = svg('path', { d: markerPath(marker, 6, 6), fill: colour })
  return svg(
    'svg',
    { class: 'swatch', viewBox: '0 0 12 12', width: 12, height: 12, 'aria-hidden': 'true' },
    path,
  )
}

/** Marker and dash together. */
export function curveSwatch(curve: Pick<MeasuredCurve, 'meta'>, index: number): SVGElement {
  const { colour, marker, dash } = curveStyle(curve, index)
  const line = { x1: 0, x2: 40, y1: 6, y2: 6, stroke: colour, 'stroke-width': 2 }
  return svg(
    'svg',
    { class: 'swatch', viewBox: '0 0 40 12', width: 40, height: 12, 'aria-hidden': 'true' },
    svg('line', { ...line, 'stroke-dasharray': dash.join(' ') }),
    svg('path', { d: markerPath(marker, 20, 6), fill: colour }),
  )
}
