/** Light and thickness over one axis, with cursor, legend and the menu that saves them. */

import { totalSigma } from '../../measured/fringes/types.ts'
import { el, svg } from '../dom.ts'
import { plain } from '../format.ts'
import { keyParts } from '../plots/cursorKeys.ts'
import { Figure, plotColours } from '../plots/figure.ts'
import type { Line } from '../plots/plotData.ts'
import { paperColours } from '../plots/seriesColours.ts'
import { legendLines, sampleOf } from '../plots/svgLegend.ts'
import { baseOf, fringePanels, type Shown } from './panels.ts'

export interface FringePlot {
  root: HTMLElement
  show(shown: Shown, dark: boolean, title: string, subtitle: string): void
  destroy(): void
}

const entry = (line: Line): HTMLElement => {
  const picture = svg('svg', { viewBox: '0 0 26 12', width: 26, height: 12, 'aria-hidden': 'true' })
  picture.innerHTML = sampleOf(line, 0, 6)
  return el('span', { class: 'entry' }, picture, el('span', { class: 'name' }, line.label))
}

/** Values at the radius r (m), in words. */
function valueWords(shown: Shown, r: number): string {
  const { thickness, film } = shown
  const step = thickness.r[1]! - thickness.r[0]!
  const i = Math.min(thickness.r.length - 1, Math.max(0, Math.round((r - thickness.r[0]!) / step)))
  const h = thickness.h[i]!
  const measured = Number.isNaN(h)
    ? 'cannot be told'
    : `${plain(1e6 * h, 4)} ± ${plain(1e6 * totalSigma(thickness, i), 1)} µm`
  const simulated = film ? 1e6 * film.h(r) - baseOf(shown) : Number.NaN
  return `${plain(1e3 * r, 3)} mm: ${measured}${Number.isFinite(simulated) ? `, simulated ${plain(simulated, 3)} µm` : ''}`
}

export function createFringePlot(resized: () => void): FringePlot {
  const holder = el('div', { class: 'plot-holder fringes-plot' })
  const legend = el('div', { class: 'legend' })
  let shown: Shown | null = null
  let words = { title: '', subtitle: '' }
  let at = 0.5
  let end = 1
  const figure = new Figure(holder, {
    label: 'Radius along the thickness from fringes',
    right: 18,
    top: 34,
    leastHeight: 90,
    saved: () =>
      shown ? { panels: fringePanels(shown, paperColours), ...words, name: 'thickness from fringes' } : null,
    point: (x) => moveTo(x / end),
    resized,
  })
  figure.area.addEventListener('keydown', (event) => {
    const by = keyParts[event.key]
    if (by === undefined || event.ctrlKey || event.metaKey || event.altKey) return
    event.preventDefault()
    moveTo(at + by * (event.shiftKey ? 5 : 1))
  })
  figure.area.addEventListener('pointermove', (event) => {
    if (event.pointerType === 'mouse' && event.buttons === 0) moveTo(figure.partAt(event.clientX))
  })

  function moveTo(part: number): void {
    at = Math.min(Math.max(part, 0), 1)
    showCursor()
  }

  function showCursor(): void {
    if (!shown) return
    const x = at * end
    const text = valueWords(shown, 1e-3 * x)
    figure.setCursor(x, { h: text })
    figure.setWords(0, end, x, text)
  }

  return {
    root: el('div', { class: 'fringes-view' }, holder, legend),
    show(next, dark, title, subtitle) {
      shown = next
      words = { title, subtitle }
      const colours = plotColours(dark)
      const panels = fringePanels(next, colours)
      end = panels[0]!.xMax
      legend.replaceChildren(...legendLines(panels.flatMap(({ lines }) => lines)).map(entry))
      const bare = panels.map((panel) => ({
        ...panel,
        lines: panel.lines.map((line) => ({ ...line, label: '' })),
      }))
      figure.update(bare, colours, false)
      showCursor()
    },
    destroy: () => figure.destroy(),
  }
}
