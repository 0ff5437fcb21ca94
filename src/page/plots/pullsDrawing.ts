/** The balance of pulls as an SVG text: one arrow per pull from a common zero line. */
import { tickLabels } from './axis.ts'
import type { PullBalance, PullRow } from './pullsModel.ts'
import type { PlotColours } from './seriesColours.ts'
import { escapeXml } from './svgText.ts'

/** Okabe & Ito, with a lighter choice on dark paper. */
const arrowColour: Record<PullRow['key'], [string, string]> = {
  above: ['#0072b2', '#56b4e9'],
  below: ['#00795a', '#009e73'],
  capillary: ['#b5528b', '#cc79a7'],
  drag: ['#d55e00', '#e69f00'],
}

export interface DrawingOptions {
  width: number
  dark: boolean
  colours: PlotColours
  /** Written above; empty on the page, where the heading is text. */
  heading: string
  /** The picture in one sentence. */
  words: string
}

const n = (value: number): string => value.toFixed(1)
const rowHeight = 27

/** An arrow from the zero line; too short for a head, it is a dot. */
export function arrow(x0: number, x1: number, y: number, colour: string): string {
  const size = Math.abs(x1 - x0)
  if (size < 1.5) return `<circle cx="${n(x0)}" cy="${n(y)}" r="2.5" fill="${colour}"/>`
  const way = Math.sign(x1 - x0)
  const headSize = Math.min(8, size)
  const neck = x1 - way * headSize
  return (
    `<path d="M${n(x0)} ${n(y - 2.5)}H${n(neck)}V${n(y - 5.5)}L${n(x1)} ${n(y)}L${n(neck)} ${n(y + 5.5)}V${n(y + 2.5)}H${n(x0)}Z" ` +
    `fill="${colour}"/>`
  )
}

export function pullsDrawing(balance: PullBalance, options: DrawingOptions): string {
  const { width, dark, colours, heading, words } = options
  const top = heading ? 46 : 6
  const left = 100
  const right = width - 66
  const zero = (left + right) / 2
  const scale = (right - left) / 2 / balance.limit
  const bottom = top + rowHeight * 4
  const label = (x: number, y: number, text: string, more = '') =>
    `<text x="${n(x)}" y="${n(y)}" ${more}>${escapeXml(text)}</text>`
  const ticks = [-balance.limit, -balance.limit / 2, 0, balance.limit / 2, balance.limit]
  const axis = ticks.map((tick) => `M${n(zero + tick * scale)} ${top}V${n(bottom)}`).join('')
  const rows = balance.rows.map((row, i) => {
    const y = top + rowHeight * (i + 0.5)
    const colour = arrowColour[row.key][dark ? 1 : 0]
    return (
      `<g><title>${escapeXml(row.why)}</title>` +
      arrow(zero, zero + row.value * scale, y, colour) +
      label(6, y + 4, row.name) +
      label(width - 8, y + 4, row.shown, 'text-anchor="end" font-weight="600"') +
      '</g>'
    )
  })
  const tickWords = tickLabels(ticks)
  const sumRow = bottom + 32
  return (
    `<svg class="pulls-drawing" role="img" aria-label="${escapeXml(words)}" viewBox="0 0 ${n(width)} ${n(sumRow + 10)}" ` +
    `width="${n(width)}" height="${n(sumRow + 10)}" font-family="system-ui, sans-serif" font-size="12" fill="${colours.ink}">` +
    (heading ? `<rect width="100%" height="100%" fill="${colours.panel}"/>` : '') +
    (heading ? label(8, 24, heading, 'font-size="14" font-weight="600"') : '') +
    `<path d="${axis}" stroke="${colours.line}" fill="none"/>` +
    `<path d="M${n(zero)} ${top}V${n(bottom)}" stroke="${colours.faint}" fill="none"/>` +
    rows.join('') +
    [0, 2, 4]
      .map((i) =>
        label(zero + ticks[i]! * scale, bottom + 14, tickWords[i]!, 'text-anchor="middle" font-size="11"'),
      )
      .join('') +
    label(6, sumRow, 'Pa, outward +', 'font-size="11"') +
    `<path d="M${n(width - 60)} ${n(bottom + 18)}H${n(width - 6)}" stroke="${colours.ink}" fill="none"/>` +
    label(width - 66, sumRow, 'sum', 'text-anchor="end"') +
    label(width - 8, sumRow, balance.sum, 'text-anchor="end" font-weight="600"') +
    '</svg>'
  )
}
