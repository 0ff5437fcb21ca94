/** Panels to a free-standing SVG picture for reports: no scripts, no style sheets, text as text. */
import { markerPath } from '../clock/drawing.ts'
import { linearTicks, logLabels, logTicks, tickLabels } from './axis.ts'
import { crowd } from './crowd.ts'
import { escapeXml } from './escape.ts'
import { type Line, lastPoint, type Panel, placeOnY, spread } from './model.ts'
import { type PlotColours, paperColours } from './seriesColours.ts'
import { cutText, svgLegend, textWidth } from './svgLegend.ts'

export { escapeXml } from './escape.ts'

const n = (value: number): string => Number(value.toFixed(2)).toString()

interface Box {
  left: number
  top: number
  width: number
  height: number
}

type Place = { x: (value: number) => number; y: (value: number) => number }

const placesOf = (panel: Panel, box: Box): Place => ({
  x: (value) => box.left + ((value - panel.xMin) / (panel.xMax - panel.xMin)) * box.width,
  y: (value) => box.top + (1 - placeOnY(panel, value)) * box.height,
})

/** Path data of a line; gaps at values that are not finite. */
export function pathData(line: Pick<Line, 'x' | 'y'>, place: Place): string {
  let out = ''
  let pen = false
  for (let i = 0; i < line.y.length; i++) {
    const y = line.y[i]!
    if (!Number.isFinite(y)) {
      pen = false
      continue
    }
    out += `${pen ? 'L' : 'M'}${n(place.x(line.x[i]!))} ${n(place.y(y))}`
    pen = true
  }
  return out
}

function areaData(line: Line, place: Place): string {
  const forth: string[] = []
  const back: string[] = []
  for (let i = 0; i < line.y.length; i++) {
    if (!Number.isFinite(line.y[i]!)) continue
    const x = n(place.x(line.x[i]!))
    forth.push(`${x} ${n(place.y(line.y[i]!))}`)
    back.push(`${x} ${n(place.y(line.base?.[i] ?? 0))}`)
  }
  return forth.length > 1 ? `M${forth.join('L')}L${back.reverse().join('L')}Z` : ''
}

function pointsData(line: Line, place: Place): string {
  let out = ''
  const adds = crowd(line.y.length)
  for (let i = 0; i < line.y.length; i++) {
    const [x, y, error] = [line.x[i]!, line.y[i]!, line.base?.[i] ?? Number.NaN]
    if (!Number.isFinite(y)) continue
    if (!adds(place.x(x), place.y(y))) continue
    const [px, py] = [n(place.x(x)), n(place.y(y))]
    out += line.marker
      ? markerPath(line.marker, Number(px), Number(py))
      : `M${n(place.x(x) - 2.5)} ${py}a2.5 2.5 0 1 0 5 0a2.5 2.5 0 1 0 -5 0`
    if (error > 0) out += `M${n(place.x(x))} ${n(place.y(y - error))}V${n(place.y(y + error))}`
  }
  return out
}

function lineElement(line: Line, place: Place): string {
  const opacity = line.opacity < 1 ? ` opacity="${line.opacity}"` : ''
  if (line.kind === 'area') {
    return `<path d="${areaData(line, place)}" fill="${escapeXml(line.colour)}" stroke="none"${opacity}/>`
  }
  const d = line.kind === 'points' ? pointsData(line, place) : pathData(line, place)
  const dash = line.dash.length > 0 ? ` stroke-dasharray="${line.dash.join(' ')}"` : ''
  return `<path d="${d}" fill="none" stroke="${escapeXml(line.colour)}" stroke-width="${line.width}"${dash}${opacity}/>`
}

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

const labelled = (panel: Panel): { line: Line; i: number }[] =>
  panel.lines
    .map((line) => ({ line, i: lastPoint(line, panel) }))
    .filter(({ line, i }) => line.label !== '' && i >= 0)

/** Whether a label finds room right of the plot; where there are too many, none does. */
const fits = (line: Line, ends: number, box: Box, room: number): boolean =>
  textWidth(line.label) <= room - 6 && ends * 13 <= box.height

function endLabels(panel: Panel, box: Box, place: Place, room: number): string {
  const all = labelled(panel)
  const ends = all.filter(({ line }) => fits(line, all.length, box, room))
  const wanted = ends.map(({ line, i }) => place.y(labelHeight(line, i)) - box.top)
  const rows = spread(wanted, 13, box.height)
  return ends
    .map(({ line, i }, k) => {
      const x = Math.min(place.x(line.x[i]!) + 5, box.left + box.width + 5)
      return text(x, box.top + rows[k]! + 4, line.label, `fill="${escapeXml(line.colour)}" ${halo}`)
    })
    .join('')
}

/** Words over lines stay readable. */
const halo = `paint-order="stroke" stroke="${paperColours.panel}" stroke-width="3" stroke-linejoin="round"`

/** Labels of areas stand at mid-height. */
export const labelHeight = (line: Line, i: number): number =>
  line.kind === 'area' ? 0.5 * (line.y[i]! + (line.base?.[i] ?? 0)) : line.y[i]!

const markElement = (panel: Panel, place: Place, colours: PlotColours): string =>
  panel.marks
    .map(({ x, y, label, below }) => {
      const anchor = x > panel.xMin + 0.6 * (panel.xMax - panel.xMin) ? 'end' : 'start'
      const shift = anchor === 'end' ? -6 : 6
      return (
        `<circle cx="${n(place.x(x))}" cy="${n(place.y(y))}" r="3" fill="${colours.panel}" stroke="${colours.ink}"/>` +
        text(place.x(x) + shift, place.y(y) + (below ? 16 : -6), label, `text-anchor="${anchor}" ${halo}`)
      )
    })
    .join('')

export interface PictureOptions {
  title: string
  /** Small print under the title: which drop, which moment. */
  subtitle: string
  width?: number
  /** Height of a panel of weight 1; a single panel is taller by itself. */
  panelHeight?: number
  /** Without title and room for long labels, to be set into a page. */
  bare?: boolean
  /** Room for labels right of the plots, px; longer ones go under the plot. */
  room?: number
  /** All labels under the plot. */
  legend?: boolean
}

/** The panels stacked over one x axis. Colours of lines as given, the rest for paper. */
export function svgText(panels: readonly Panel[], options: PictureOptions): string {
  const { title, subtitle, width = 760, panelHeight = panels.length > 1 ? 120 : 240, bare = false } = options
  const { legend: under = false, room = under ? 24 : bare ? 30 : 120 } = options
  const colours = paperColours
  const parts: string[] = []
  const homeless: Line[] = []
  let top = (bare ? 12 : 56) + (panels.length > 1 ? 16 : 0)
  panels.forEach((panel, k) => {
    const box = { left: 66, top, width: width - 66 - room, height: panelHeight * panel.weight }
    const place = placesOf(panel, box)
    const clip = `clip${k}`
    parts.push(
      `<clipPath id="${clip}"><rect x="${box.left}" y="${n(box.top)}" width="${box.width}" height="${n(box.height)}"/></clipPath>`,
      yAxis(panel, box, place, colours),
      `<g clip-path="url(#${clip})">${panel.lines.map((line) => lineElement(line, place)).join('')}</g>`,
      `<rect x="${box.left}" y="${n(box.top)}" width="${box.width}" height="${n(box.height)}" fill="none" stroke="${colours.faint}"/>`,
      panels.length > 1 ? text(box.left, box.top - 5, panel.title, 'font-weight="600"') : '',
      under ? '' : endLabels(panel, box, place, room),
      markElement(panel, place, colours),
    )
    if (panel.showX) parts.push(xAxis(panel, box, place))
    const all = labelled(panel)
    homeless.push(
      ...all.map(({ line }) => line).filter((line) => under || !fits(line, all.length, box, room)),
    )
    top += box.height + (panel.showX ? 60 : 24)
  })
  const legend = svgLegend(homeless, 66, width - 10, top - 12)
  parts.push(legend.text)
  top += Math.max(0, legend.height - 6)
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${n(top)}" viewBox="0 0 ${width} ${n(top)}" ` +
    `font-family="system-ui, sans-serif" font-size="12" fill="${colours.ink}" color="${colours.ink}">` +
    `<title>${escapeXml(title)}</title><rect width="100%" height="100%" fill="${colours.panel}"/>` +
    (bare
      ? ''
      : text(12, 22, cutText(title, 0.78 * (width - 24)), 'font-size="15" font-weight="600"') +
        text(12, 40, cutText(subtitle, width - 24), `fill="${colours.faint}"`)) +
    `${parts.join('')}</svg>`
  )
}
