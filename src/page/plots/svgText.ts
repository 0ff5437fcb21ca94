/**
 * Panels to a free-standing SVG picture for reports: no scripts, no style sheets, text as text, sized for paper (170 mm wide,
 * type of 7.6 pt). Labels touch nothing, and none is cut.
 */
import { linearTicks, logLabels, logTicks, tickLabels } from './axis.ts'
import { escapeXml } from './escape.ts'
import { type Labels, labelHeight, labelsOf } from './labelPlaces.ts'
import type { Line, Mark, Panel } from './plotData.ts'
import { type PlotColours, paperColours } from './seriesColours.ts'
import { svgLegend, wrapText } from './svgLegend.ts'
import { type Box, lineElement, n, type Place, placesOf } from './svgLines.ts'

export { escapeXml } from './escape.ts'
export { pathData } from './svgLines.ts'

const text = (x: number, y: number, words: string, more = ''): string =>
  `<text x="${n(x)}" y="${n(y)}"${more ? ` ${more}` : ''}>${escapeXml(words)}</text>`

function yAxis(panel: Panel, box: Box, place: Place, colours: PlotColours): string {
  const ticks = panel.logarithmic
    ? logTicks(panel.yMin, panel.yMax, box.height, 16)
    : linearTicks(panel.yMin, panel.yMax, box.height, 26)
  const words = panel.logarithmic ? logLabels(ticks) : tickLabels(ticks)
  const grid = ticks.map((tick) => `M${n(box.left)} ${n(place.y(tick))}h${n(box.width)}`).join('')
  const middle = box.top + box.height / 2
  return (
    `<path d="${grid}" stroke="${colours.line}" fill="none"/>` +
    ticks.map((tick, i) => text(box.left - 6, place.y(tick) + 4, words[i]!, 'text-anchor="end"')).join('') +
    text(14, middle, panel.yLabel, `text-anchor="middle" transform="rotate(-90 14 ${n(middle)})"`)
  )
}

function xAxis(panel: Panel, box: Box, place: Place): string {
  const ticks = linearTicks(panel.xMin, panel.xMax, box.width, 60)
  const words = tickLabels(ticks)
  const bottom = box.top + box.height
  const marks = ticks.map((tick) => `M${n(place.x(tick))} ${n(bottom)}v4`).join('')
  return (
    `<path d="${marks}" stroke="currentColor" fill="none"/>` +
    ticks.map((tick, i) => text(place.x(tick), bottom + 16, words[i]!, 'text-anchor="middle"')).join('') +
    text(box.left + box.width / 2, bottom + 32, panel.xLabel, 'text-anchor="middle"')
  )
}

/** Words over lines of the grid stay readable. */
const halo = `paint-order="stroke" stroke="${paperColours.panel}" stroke-width="3" stroke-linejoin="round"`

/** From the top of a label's box to its base line, px. */
const baseline = labelHeight - 3

const labelElements = ({ lines, marks }: Labels): string =>
  lines
    .map(({ line, at }) =>
      text(at.left, at.top + baseline, line.label, `fill="${escapeXml(line.colour)}" ${halo}`),
    )
    .join('') + marks.map(({ mark, at }) => text(at.left, at.top + baseline, mark.label, halo)).join('')

const markElements = (panel: Panel, place: Place, colours: PlotColours): string =>
  panel.marks
    .map(
      ({ x, y }) =>
        `<circle cx="${n(place.x(x))}" cy="${n(place.y(y))}" r="3" fill="${colours.panel}" stroke="${colours.ink}"/>`,
    )
    .join('')

export interface PictureOptions {
  title: string
  /** Small print under the title: which drop, which moment. */
  subtitle: string
  /** What must be told before anything else, as that a mechanism is switched off. */
  notice?: string
  width?: number
  /** Height of a panel of weight 1; a single panel is taller by itself. */
  panelHeight?: number
  /** Without title and sizes in mm, to be set into a page. */
  bare?: boolean
  /** Room for labels right of the plots, px; longer ones find room in the plot or go under it. */
  room?: number
  /** All labels under the plot. */
  legend?: boolean
}

/** Width of a picture of 760 units on paper, mm: the text of a page of A4. */
const paperWidth = 170

export const inMillimetres = (units: number): string => `${Number(((units * paperWidth) / 760).toFixed(2))}mm`

/** Title, subtitle and notice in whole lines from y = 22 on, and where what follows begins. */
export function headOf(
  { title, subtitle, notice = '' }: Pick<PictureOptions, 'title' | 'subtitle' | 'notice'>,
  width: number,
): { text: string; height: number } {
  const faint = paperColours.faint
  const rows = [
    ...wrapText(notice, 0.85 * (width - 24)).map((words) => ({
      words,
      step: 18,
      look: 'font-weight="700" fill="#a40000"',
    })),
    ...wrapText(title, 0.78 * (width - 24)).map((words) => ({
      words,
      step: 19,
      look: 'font-size="15" font-weight="600"',
    })),
    ...wrapText(subtitle, width - 24).map((words) => ({ words, step: 17, look: `fill="${faint}"` })),
  ]
  let y = 4
  const texts = rows.map(({ words, step, look }) => {
    y += step
    return text(12, y, words, look)
  })
  return { text: texts.join(''), height: Math.max(24, y + 12) }
}

/** The panels stacked over one x axis. Colours of lines as given, the rest for paper. */
export function svgText(panels: readonly Panel[], options: PictureOptions): string {
  const { title, width = 760, panelHeight = panels.length > 1 ? 120 : 240, bare = false } = options
  const { legend: under = false, room = under ? 24 : bare ? 30 : 120 } = options
  const colours = paperColours
  const head = bare ? { text: '', height: 12 } : headOf(options, width)
  const parts: string[] = [head.text]
  const homeless: { lines: Line[]; marks: Mark[] } = { lines: [], marks: [] }
  let top = head.height + (panels.length > 1 ? 16 : 0)
  panels.forEach((panel, k) => {
    const box = { left: 66, top, width: width - 66 - room, height: panelHeight * panel.weight }
    const place = placesOf(panel, box)
    const labels = labelsOf(panel, box, place, room, under)
    const clip = `clip${k}`
    parts.push(
      `<clipPath id="${clip}"><rect x="${box.left}" y="${n(box.top)}" width="${box.width}" height="${n(box.height)}"/></clipPath>`,
      yAxis(panel, box, place, colours),
      `<g clip-path="url(#${clip})">${panel.lines.map((line) => lineElement(line, place)).join('')}</g>`,
      `<rect x="${box.left}" y="${n(box.top)}" width="${box.width}" height="${n(box.height)}" fill="none" stroke="${colours.faint}"/>`,
      panels.length > 1 ? text(box.left, box.top - 5, panel.title, 'font-weight="600"') : '',
      markElements(panel, place, colours),
      labelElements(labels),
    )
    if (panel.showX) parts.push(xAxis(panel, box, place))
    homeless.lines.push(...labels.homelessLines)
    homeless.marks.push(...labels.homelessMarks)
    top += box.height + (panel.showX ? 60 : 24)
  })
  const legend = svgLegend(homeless.lines, 66, width - 10, top - 12, homeless.marks)
  parts.push(legend.text)
  top += Math.max(0, legend.height - 6)
  const size = bare
    ? `width="${width}" height="${n(top)}"`
    : `width="${inMillimetres(width)}" height="${inMillimetres(top)}"`
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" ${size} viewBox="0 0 ${width} ${n(top)}" ` +
    `font-family="system-ui, sans-serif" font-size="12" fill="${colours.ink}" color="${colours.ink}">` +
    `<title>${escapeXml(title)}</title><rect width="100%" height="100%" fill="${colours.panel}"/>` +
    `${parts.join('')}</svg>`
  )
}
