/** Places on the picture of a map: cells, pixels, values along the axes. Pure. */
import type { OutcomeMap } from '../../plan/mapGrid.ts'
import { scaleOf } from '../controls/scale.ts'
import { linearTicks } from '../plots/axis.ts'
import { roundRatios } from './outputScale.ts'

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
export const corner = (map: OutcomeMap, frame: MapFrame, i: number, j: number) => ({
  x: frame.left + i * frame.cellWidth,
  y: frame.top + (map.y.length - 1 - j) * frame.cellHeight,
})

/** Pixels of a place in steps of the grid (0, 0 = the first point). */
export const pixelsOf = (map: OutcomeMap, frame: MapFrame, i: number, j: number): [number, number] => [
  frame.left + (i + 0.5) * frame.cellWidth,
  frame.top + (map.y.length - 0.5 - j) * frame.cellHeight,
]

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

/** Whether the values of an axis are even in ratios: its middle is nearer to that of the ratios than to that of the differences. */
function inPowers(values: Float64Array): boolean {
  const last = values.length - 1
  const [first, end] = [values[0]!, values[last]!]
  if (!(first > 0 && end > 0) || last < 2) return false
  const at = last >> 1
  const even = first + ((end - first) * at) / last
  const powers = first * (end / first) ** (at / last)
  return Math.abs(values[at]! - powers) < Math.abs(values[at]! - even)
}

/** Place of a value along an axis, in cells (0 = middle of the first); even in ratios where the axis is. */
export function placeAlong(values: Float64Array, value: number): number {
  const last = values.length - 1
  const [first, end] = [values[0]!, values[last]!]
  return inPowers(values)
    ? (Math.log(value / first) / Math.log(end / first)) * last
    : ((value - first) / (end - first)) * last
}

/** Round values along an axis with at least `gap` px between them, as far as its numbers allow. */
export function ticksAlong(map: OutcomeMap, axis: 0 | 1, size: number, gap: number): number[] {
  const values = axis === 0 ? map.x : map.y
  const { factor } = scaleOf(map.keys[axis])
  const [low, high] = [values[0]! * factor, values.at(-1)! * factor].sort((a, b) => a - b) as [number, number]
  const most = Math.max(2, Math.floor(size / gap))
  const ratios = inPowers(values) ? roundRatios(low, high, most) : []
  const ticks = ratios.length >= 3 ? ratios : linearTicks(low, high, size, inPowers(values) ? 2 * gap : gap)
  return ticks.map((tick) => Number((tick / factor).toPrecision(12)))
}
