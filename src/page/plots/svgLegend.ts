/** Labels that find no room at their lines' ends stand in rows under the plot, each with a sample of its line. */
import { markerPath } from '../clock/drawing.ts'
import { escapeXml } from './escape.ts'
import type { Line, Mark } from './plotData.ts'

/** Width of a text in system type of 12 px, about, px; rather too wide than too narrow. */
export function textWidth(words: string): number {
  let width = 0
  for (const sign of words) width += sign >= '\u2e80' ? 12.5 : /[A-ZW%mw@]/.test(sign) ? 9 : 6.5
  return width
}

/** A text in lines of at most `width` px, broken between words; a word that is wider alone is broken within. */
export function wrapText(words: string, width: number): string[] {
  const lines: string[] = []
  let line = ''
  for (const word of words.split(/\s+/).filter(Boolean)) {
    const longer = line ? `${line} ${word}` : word
    if (textWidth(longer) <= width) {
      line = longer
      continue
    }
    if (line) lines.push(line)
    line = ''
    for (const sign of word) {
      if (textWidth(line + sign) > width && line) {
        lines.push(line)
        line = ''
      }
      line += sign
    }
  }
  return line ? [...lines, line] : lines
}

const sampleWidth = 26
const gap = 18
const rowHeight = 18
/** Between the lines of one label, px. */
const lineHeight = 14

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

const markSample = (x: number, y: number): string =>
  `<circle cx="${x + sampleWidth / 2}" cy="${y}" r="3" fill="none" stroke="currentColor"/>`

/**
 * Rows of samples and labels from `left` to `right`, the first about y = `top` + 9, whole; with their height, px. A label
 * that is wider than the room goes on in a line below.
 */
export function svgLegend(
  lines: readonly Line[],
  left: number,
  right: number,
  top: number,
  marks: readonly Mark[] = [],
): { text: string; height: number } {
  const entries = [
    ...legendLines(lines).map((line) => ({
      label: line.label,
      sample: (x: number, y: number) => sampleOf(line, x, y),
    })),
    ...marks.map(({ label }) => ({ label, sample: markSample })),
  ]
  let x = left
  let y = top + 9
  let text = ''
  let below = 0
  for (const { label, sample } of entries) {
    const rows = wrapText(label, right - left - sampleWidth - 6)
    const width = sampleWidth + 6 + Math.max(...rows.map(textWidth))
    if (x > left && x + width > right) {
      x = left
      y += rowHeight + below
      below = 0
    }
    const at = x + sampleWidth + 6
    text += sample(x, y)
    text += rows
      .map((row, k) => `<text x="${at}" y="${y + 4 + k * lineHeight}">${escapeXml(row)}</text>`)
      .join('')
    below = Math.max(below, (rows.length - 1) * lineHeight)
    x += width + gap
  }
  return { text, height: text === '' ? 0 : y + below + 9 - top + 6 }
}
