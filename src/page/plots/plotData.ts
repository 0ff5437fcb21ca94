/** A plot as data: the screen, the SVG and the table are all made from it. Values in the units shown. */
import type { Marker } from '../theme.ts'

export interface Line {
  key: string
  /** Stands at the line's end; empty = no label. */
  label: string
  /** Column name in the table. */
  column: string
  colour: string
  dash: readonly number[]
  width: number
  /** 'area' is filled between `base` and y. */
  kind: 'line' | 'points' | 'area'
  /** Shape of points; a circle if it is not given. */
  marker?: Marker
  x: ArrayLike<number>
  /** NaN = gap. */
  y: ArrayLike<number>
  /** Lower border of an area, or half the error bar of points; as long as y. */
  base?: ArrayLike<number>
  /** 0–1. */
  opacity: number
}

export interface Mark {
  x: number
  y: number
  label: string
  /** Where the label goes if there is room. */
  below: boolean
}

/** Numbers that stand in the table only. */
export interface Column {
  /** Name in the table, with the unit. */
  column: string
  x: ArrayLike<number>
  /** NaN = empty. */
  y: ArrayLike<number>
}

export interface Panel {
  id: string
  /** Above the plot. */
  title: string
  xLabel: string
  /** Quantity and unit. */
  yLabel: string
  xColumn: string
  xMin: number
  xMax: number
  yMin: number
  yMax: number
  logarithmic: boolean
  lines: Line[]
  marks: Mark[]
  /** More for the table; asked for only when one is written. */
  columns?: () => Column[]
  /** Relative height. */
  weight: number
  /** Only the lowest panel of a stack shows its x axis. */
  showX: boolean
}

/** What cannot be changed without making the plot anew. */
export const signature = (panel: Panel): string =>
  [
    panel.logarithmic,
    panel.showX,
    panel.yLabel,
    ...panel.lines.map((l) => `${l.key}/${l.kind}/${l.colour}/${l.dash}/${l.opacity}/${l.marker}`),
  ].join('|')

/** Index of the last point of a line that is finite and within the x range; −1 if there is none. */
export function lastPoint(line: Line, panel: Pick<Panel, 'xMin' | 'xMax'>): number {
  for (let i = Math.min(line.x.length, line.y.length) - 1; i >= 0; i--) {
    const x = line.x[i]!
    if (x >= panel.xMin && x <= panel.xMax && Number.isFinite(line.y[i]!)) return i
  }
  return -1
}

/** Place (0–1 from below) of a value on a panel's y axis, kept a little beyond the plot. */
export function placeOnY(panel: Pick<Panel, 'yMin' | 'yMax' | 'logarithmic'>, y: number): number {
  const { yMin, yMax, logarithmic } = panel
  const place = logarithmic
    ? Math.log(Math.max(y, yMin * 1e-3) / yMin) / Math.log(yMax / yMin)
    : (y - yMin) / (yMax - yMin)
  return Math.min(Math.max(place, -0.2), 1.2)
}

/** Pushes labels apart: wanted places (px, ascending order not needed) to places at least `gap` apart within 0 … size. */
export function spread(wanted: readonly number[], gap: number, size: number): number[] {
  const order = wanted.map((_, i) => i).sort((a, b) => wanted[a]! - wanted[b]!)
  const places = [...wanted]
  let floor = 0
  for (const i of order) {
    places[i] = Math.max(wanted[i]!, floor)
    floor = places[i]! + gap
  }
  let ceiling = size
  for (const i of order.toReversed()) {
    places[i] = Math.min(places[i]!, ceiling)
    ceiling = places[i]! - gap
  }
  return places
}
