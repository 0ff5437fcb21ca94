/** Labels that find no room at their lines' ends stand in rows under the plot, each with a sample of its line. */
import { markerPath } from '../clock/drawing.ts'
import { escapeXml } from './escape.ts'
import type { Line } from './model.ts'

/** Width of a text in system type of 12 px, about, px; rather too wide than too narrow. */
export function textWidth(words: string): number {
  let width = 0
  for (const sign of words) width += sign >= '\u2e80' ? 12.5 : /[A-ZW%mw@]/.test(sign) ? 9 : 6.5
  return width
}

/** A text cut to a width, px, with a sign that something is missing. */
export function cutText(words: string, width: number): string {
  if (textWidth(words) <= width) return words
  const signs = [...words]
  while (signs.length > 1 && textWidth(`${signs.join('')}…`) > width) signs.pop()
  return `${signs.join('').trimEnd()}…`
}

const sampleWidth = 26
const gap = 18
const rowHeight = 18

/** Lines of the legend: one of a kind that looks and is called alike. */
export function legendLines(lines: readonly Line[]): Line[] {
  const looks = (line: Line) => `${line.label} ${line.colour} ${line.dash} ${line.kind} ${line.marker}`
  return lines.filter(
    (line, i) => line.label !== '' && lines.findIndex((other) => looks(other) === looks(line)) === i,
  )
}

/** What the line looks like, `sampleWidth` px wide, about the height y. */
export function sampleOf(line: Line, x: number, y: number): string {
  const opacity = line.opacity < 1 ? ` opacity="${line.opacity}"` : ''
  const colour = escapeXml(line.colour)
  if (line.kind === 'area')
    return `<rect x="${x}" y="${y - 5}" width="${sampleWidth}" height="10" fill="${colour}"${opacity}/>`
  const dash = line.dash.length > 0 ? ` stroke-dasharray="${line.dash.join(' ')}"` : ''
  const d =
    line.kind === 'points'
      ? markerPath(line.marker ?? 'circle', x + sampleWidth / 2, y)
      : `M${x} ${y}h${sampleWidth}`
  return `<path d="${d}" fill="none" stroke="${colour}" stroke-width="${line.width}"${dash}${opacity}/>`
}

/** Rows of samples and labels from `left` to `right`, the first about y = `top` + 9; with their height, px. */
export function svgLegend(
  lines: readonly Line[],
  left: number,
  right: number,
  top: number,
): { text: string; height: number } {
  let x = left
  let y = top + 9
  let text = ''
  for (const line of legendLines(lines)) {
    const words = cutText(line.label, right - left - sampleWidth - 6)
    const width = sampleWidth + 6 + textWidth(words)
    if (x > left && x + width > right) {
      x = left
      y += rowHeight
    }
    text += `${sampleOf(line, x, y)}<text x="${x + sampleWidth + 6}" y="${y + 4}">${escapeXml(words)}</text>`
    x += width + gap
  }
  return { text, height: text === '' ? 0 : y + 9 - top + 6 }
}
