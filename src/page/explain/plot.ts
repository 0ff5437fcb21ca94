/** The large curve of a step, with the place that the text names, and the guess beside it. */
import { svg } from '../dom.ts'
import { duration, plain } from '../format.ts'
import { roundUp } from '../spans.ts'
import type { Drawn } from './judge.ts'
import type { Curve } from './types.ts'

export const BOX = { width: 440, height: 156, left: 46, right: 14, top: 20, bottom: 24 }

export interface Scale {
  x(value: number): number
  y(value: number): number
  /** Back from the picture to the values. */
  toX(place: number): number
  toY(place: number): number
}

/** Lowest and highest of the axis. */
interface Range {
  low: number
  high: number
}

/** Thicknesses below this (µm) are nothing that could be seen on the axis. */
const LEAST = 1e-3

function rangeOf({ y, logarithmic }: Curve, top?: number): Range {
  const values = y.filter((value) => Number.isFinite(value))
  const [min, max] = [Math.min(...values), Math.max(...values)]
  if (logarithmic) {
    const low = 10 ** Math.floor(Math.log10(Math.max(min, LEAST, 1e-5 * max)))
    return { low, high: 10 ** Math.ceil(Math.log10(Math.max(max, 10 * low))) }
  }
  if (top) return { low: 0, high: top }
  // Differences that do not matter are drawn as the flat line that they are.
  const span = Math.max(max - min, 0.05 * Math.abs(max)) || 1
  const from = min >= 0 && min < 0.6 * max ? 0 : min - 0.15 * span
  return { low: from, high: from === 0 ? roundUp(1.05 * max, 4) : min + 1.15 * span }
}

export function scaleFor(curve: Curve, top?: number): Scale & { range: Range; end: number } {
  const { width, height, left, right, top: head, bottom } = BOX
  const range = rangeOf(curve, top)
  const end = curve.over === 'radius' ? 1 : (curve.x.at(-1) ?? 1)
  const on = (value: number) => (curve.logarithmic ? Math.log10(Math.max(value, range.low)) : value)
  const [low, high] = [on(range.low), on(range.high)]
  const across = width - left - right
  const up = height - head - bottom
  return {
    range,
    end,
    x: (value) => left + (value / end) * across,
    y: (value) => head + up * (1 - (on(value) - low) / (high - low)),
    toX: (place) => Math.min(1, Math.max(0, (place - left) / across)) * end,
    toY: (place) => {
      const share = Math.min(1, Math.max(0, 1 - (place - head) / up))
      return range.low + share * (range.high - range.low)
    },
  }
}

const points = (scale: Scale, x: readonly number[], y: readonly number[]): string =>
  x
    .map((at, i) => [scale.x(at), scale.y(y[i]!)] as const)
    .filter((point) => point.every(Number.isFinite))
    .map(([a, b]) => `${a.toFixed(1)},${b.toFixed(1)}`)
    .join(' ')

function ticksOf({ low, high }: Range, logarithmic: boolean): number[] {
  if (!logarithmic) return [low, 0.5 * (low + high), high]
  const decades = Math.round(Math.log10(high / low))
  const every = Math.max(1, Math.ceil(decades / 3))
  return Array.from({ length: Math.floor(decades / every) + 1 }, (_, k) => low * 10 ** (k * every))
}

/** Axes with unit and words; the middle and the edge are named. */
export function axes(curve: Curve, scale: ReturnType<typeof scaleFor>): SVGElement[] {
  const { width, height, left, right, bottom } = BOX
  const base = height - bottom
  const text = (x: number, y: number, words: string, anchor: string) =>
    svg('text', { x, y, 'text-anchor': anchor }, words)
  const rows = ticksOf(scale.range, curve.logarithmic).flatMap((value) => {
    const y = scale.y(value)
    return [
      svg('line', { x1: left, x2: width - right, y1: y, y2: y, class: 'grid' }),
      text(left - 6, y + 4, plain(value, 2), 'end'),
    ]
  })
  const [from, to] = curve.over === 'radius' ? ['middle', 'edge'] : ['0', duration(scale.end)]
  return [
    ...rows,
    svg('line', { x1: left, x2: width - right, y1: base, y2: base, class: 'base' }),
    text(left, height - 8, from!, 'start'),
    text(width - right, height - 8, to!, 'end'),
    text(4, 12, curve.label, 'start'),
  ]
}

function mark({ mark: at }: Curve, scale: Scale): SVGElement[] {
  if (!at) return []
  const [x, y] = [scale.x(at.x), scale.y(at.y)]
  const left = x > 0.6 * BOX.width
  const high = y < BOX.top + 16
  return [
    svg('circle', { cx: x, cy: y, r: 5, class: 'mark' }),
    svg(
      'text',
      {
        x: x + (left ? -9 : 9),
        y: high ? y + 18 : y - 9,
        'text-anchor': left ? 'end' : 'start',
        class: 'mark-label',
      },
      at.label,
    ),
  ]
}

/** The guess: dashed, with squares, named. */
function guessed(guess: Drawn, scale: Scale): SVGElement[] {
  const squares = guess.x.map((x, i) =>
    svg('rect', {
      x: scale.x(x) - 3,
      y: scale.y(guess.y[i]!) - 3,
      width: 6,
      height: 6,
      class: 'guess-point',
    }),
  )
  return [svg('polyline', { points: points(scale, guess.x, guess.y), class: 'guess' }), ...squares]
}

const altOf = ({ label, mark: at, y, over }: Curve): string => {
  const values = y.filter((value) => Number.isFinite(value))
  const range = `${plain(Math.min(...values), 2)} to ${plain(Math.max(...values), 2)}`
  const way = over === 'radius' ? 'from the middle to the edge' : 'over the whole life'
  return `${label}, ${way}: ${range}${at ? `; marked: ${at.label}` : ''}.`
}

/** @param top upper end of the axis, where the guess was drawn on one */
export function curvePicture(curve: Curve, guess?: Drawn, top?: number): SVGElement {
  const scale = scaleFor(curve, top)
  return svg(
    'svg',
    {
      viewBox: `0 0 ${BOX.width} ${BOX.height}`,
      class: 'explain-plot',
      role: 'img',
      'aria-label': altOf(curve),
    },
    ...axes(curve, scale),
    svg('polyline', { points: points(scale, curve.x, curve.y), class: 'curve' }),
    ...(guess ? guessed(guess, scale) : []),
    ...mark(curve, scale),
  )
}
