/** One plot of the scaling section: figure, cursor by pointer and keys, legend, series that are left out. */
import type { LeftOut } from '../../plan/scalingReport.ts'
import { el, svg } from '../dom.ts'
import { keyParts } from '../plots/cursorKeys.ts'
import { Figure, type Saved } from '../plots/figure.ts'
import type { Line, Panel } from '../plots/plotData.ts'
import type { PlotColours } from '../plots/seriesColours.ts'
import { legendLines, sampleOf } from '../plots/svgLegend.ts'

export interface PlotViewOptions {
  label: string
  /** Where the cursor stands before anybody has moved it, as a part (0–1) of the axis. */
  start: number
  saved(): Saved | null
  resized(): void
  /** Values at x: short for the head of the plot, in full for those who hear it. */
  values(panel: Panel, x: number): { short: string; full: string }
}

export interface PlotView {
  root: HTMLElement
  show(panel: Panel, colours: PlotColours, left: readonly LeftOut[]): void
  destroy(): void
}

const entry = (line: Line): HTMLElement => {
  const picture = svg('svg', { viewBox: '0 0 26 12', width: 26, height: 12, 'aria-hidden': 'true' })
  picture.innerHTML = sampleOf(line, 0, 6)
  return el('span', { class: 'entry' }, picture, el('span', { class: 'name' }, line.label))
}

const leftOut = (left: readonly LeftOut[]): HTMLElement[] =>
  left.map(({ name, reason }) => el('li', {}, `${name}: ${reason}.`))

export function createPlotView(options: PlotViewOptions): PlotView {
  const holder = el('div', { class: 'plot-holder scaling-plot' })
  const legend = el('div', { class: 'legend' })
  const missing = el('ul', { class: 'scaling-left note' })
  const missingTitle = el('p', { class: 'note' }, 'Not in this plot:')
  let at = options.start
  let panel: Panel | null = null
  const figure = new Figure(holder, {
    label: options.label,
    right: 18,
    top: 34,
    leastHeight: 120,
    saved: options.saved,
    point: (x) => {
      if (panel) moveTo((x - panel.xMin) / (panel.xMax - panel.xMin))
    },
    resized: options.resized,
  })
  figure.area.addEventListener('keydown', (event) => {
    const by = keyParts[event.key]
    if (by === undefined || event.ctrlKey || event.metaKey || event.altKey) return
    event.preventDefault()
    moveTo(at + by * (event.shiftKey ? 5 : 1))
  })
  figure.area.addEventListener('pointermove', (event) => {
    if (event.pointerType === 'mouse' && event.buttons === 0 && panel) moveTo(figure.partAt(event.clientX))
  })

  function moveTo(part: number): void {
    at = Math.min(Math.max(part, 0), 1)
    showCursor()
  }

  function showCursor(): void {
    if (!panel) return
    const x = panel.xMin + at * (panel.xMax - panel.xMin)
    const { short, full } = options.values(panel, x)
    figure.setCursor(x, { [panel.id]: short })
    figure.setWords(panel.xMin, panel.xMax, x, full)
  }

  return {
    root: el('div', { class: 'scaling-view' }, holder, legend, missingTitle, missing),
    show(next, colours, left) {
      panel = next.lines.length > 0 ? next : null
      holder.hidden = panel === null
      legend.replaceChildren(...legendLines(next.lines).map(entry))
      missing.replaceChildren(...leftOut(left))
      missingTitle.hidden = left.length === 0
      if (!panel) return
      // Labels stand in the legend: at the ends of so many lines they would hide one another.
      const bare = { ...next, lines: next.lines.map((line) => ({ ...line, label: '' })) }
      figure.update([bare], colours, false)
      showCursor()
    },
    destroy: () => figure.destroy(),
  }
}
