/** Draws where the spread of one number comes from: two bars an input, with error bars. Every colour is in the element. */
import type { Ranked } from '../../plan/sensitivityWords.ts'
import { svg } from '../dom.ts'
import { withError } from '../format.ts'
import { styleOf } from '../plots/seriesColours.ts'

export interface SharesLook {
  ink: string
  faint: string
  line: string
  paper: string
  /** Of a colour-blind safe pair; told apart by filling too: alone is full, with others is hollow. */
  alone: string
  others: string
}

/** Paper and colours of a look. */
export const lookOf = (
  colours: Omit<SharesLook, 'paper' | 'alone' | 'others'> & { panel: string },
  dark: boolean,
): SharesLook => ({
  ink: colours.ink,
  faint: colours.faint,
  line: colours.line,
  paper: colours.panel,
  alone: styleOf('thickness', dark).colour,
  others: styleOf('bath', dark).colour,
})

/** From this width on the names stand beside the bars, px. */
const BESIDE = 560
const ROW = 40
const NAME = 18
const TOP = 34
const BOTTOM = 40
const FONT = 13

const words = (
  x: number,
  y: number,
  text: string,
  more: Record<string, string | number> = {},
): SVGElement => {
  const element = svg('text', { x, y, 'font-size': FONT, ...more })
  element.textContent = text
  return element
}

/** Highest end of a bar with its error, at least the whole spread where it is near. */
function span(rows: readonly Ranked[]): [number, number] {
  const ends = rows.flatMap(({ first, firstError, total, totalError }) => [
    first - firstError,
    first + firstError,
    total + totalError,
  ])
  const top = Math.min(1.5, Math.max(0.2, ...ends))
  const low = Math.max(-0.3, Math.min(0, ...ends))
  return [Math.floor(10 * low) / 10, Math.ceil(10 * top) / 10]
}

export const heightOf = (rows: readonly Ranked[], width: number): number =>
  TOP + BOTTOM + rows.length * (width < BESIDE ? ROW + NAME : ROW)

const share = (value: number, error: number): string => withError(100 * value, 100 * error, '%')

function ticksOf(low: number, high: number, across: number): number[] {
  const step = across / ((high - low) * 10) < 30 ? 0.5 : across / ((high - low) * 10) < 60 ? 0.2 : 0.1
  const from = Math.ceil(low / step - 1e-9)
  return Array.from({ length: Math.floor(high / step + 1e-9) - from + 1 }, (_, i) => step * (from + i))
}

function legend(left: number, look: SharesLook): SVGElement[] {
  return [
    svg('rect', { x: left, y: 6, width: 16, height: 10, fill: look.alone }),
    words(left + 22, 15, 'alone', { fill: look.ink }),
    svg('rect', {
      x: left + 76,
      y: 6.5,
      width: 16,
      height: 9,
      fill: 'none',
      stroke: look.others,
      'stroke-width': 1.6,
    }),
    words(left + 98, 15, 'with others', { fill: look.ink }),
    words(left + 182, 15, '├┤ 1 σ', { fill: look.faint }),
  ]
}

/** The picture, `heightOf` high. */
export function drawShares(rows: readonly Ranked[], width: number, look: SharesLook): SVGElement[] {
  const beside = width >= BESIDE
  const left = beside ? 236 : 14
  const right = width - (beside ? 96 : 88)
  const [low, high] = span(rows)
  const x = (value: number): number =>
    left + ((Math.min(high, Math.max(low, value)) - low) / (high - low)) * (right - left)
  const height = heightOf(rows, width)
  const bottom = height - BOTTOM
  const parts: SVGElement[] = legend(beside ? left : 14, look)
  for (const tick of ticksOf(low, high, right - left)) {
    const d = `M${x(tick).toFixed(1)} ${TOP - 8}V${bottom}`
    parts.push(svg('path', { d, stroke: Math.abs(tick) < 1e-9 ? look.faint : look.line, fill: 'none' }))
    parts.push(
      words(x(tick), bottom + 16, `${Math.round(100 * tick)}`.replace('-', '−'), {
        fill: look.ink,
        'text-anchor': 'middle',
      }),
    )
  }
  parts.push(
    words((left + right) / 2, bottom + 33, 'part of the spread, %', {
      fill: look.ink,
      'text-anchor': 'middle',
    }),
  )
  rows.forEach((row, k) => {
    const at = TOP + k * (beside ? ROW : ROW + NAME)
    const top = beside ? at : at + NAME
    const name = beside
      ? words(left - 10, top + 21, row.label, { fill: look.ink, 'text-anchor': 'end' })
      : words(14, at + 13, row.label, {
          fill: look.ink,
          'font-weight': 600,
          stroke: look.paper,
          'stroke-width': 4,
          'paint-order': 'stroke',
        })
    parts.push(name, ...barsOf(row, top, x, look))
    const texts: [number, number, string][] = [
      [row.first, row.firstError, '#'],
      [row.total, row.totalError, ''],
    ]
    texts.forEach(([value, error], i) => {
      parts.push(
        words(width - 4, top + 14 + 15 * i, share(value, error), {
          fill: look.ink,
          'text-anchor': 'end',
          'font-size': 12,
        }),
      )
    })
  })
  return parts
}

function barsOf(row: Ranked, top: number, x: (value: number) => number, look: SharesLook): SVGElement[] {
  const bar = (
    value: number,
    y: number,
    height: number,
    paint: Record<string, string | number>,
  ): SVGElement =>
    svg('rect', {
      x: Math.min(x(0), x(value)),
      y,
      width: Math.max(0.5, Math.abs(x(value) - x(0))),
      height,
      ...paint,
    })
  const error = (value: number, by: number, y: number): SVGElement => {
    const [from, to] = [x(value - by).toFixed(1), x(value + by).toFixed(1)]
    return svg('path', {
      d: `M${from} ${y - 3.5}v7M${from} ${y}H${to}M${to} ${y - 3.5}v7`,
      stroke: look.ink,
      fill: 'none',
      'stroke-width': 1.2,
    })
  }
  return [
    bar(row.first, top + 4, 13, { fill: look.alone }),
    error(row.first, row.firstError, top + 10.5),
    bar(row.total, top + 20, 12, { fill: look.paper, stroke: look.others, 'stroke-width': 1.6 }),
    error(row.total, row.totalError, top + 26),
  ]
}
