/** The choice of series: which take part, each with its sample and its figures. */

import type { ScalingReport } from '../../plan/scalingReport.ts'
import { el, svg } from '../dom.ts'
import { duration, length, withError } from '../format.ts'
import { sampleOf } from '../plots/svgLegend.ts'
import type { ShownSeries } from './series.ts'

/** A sample of how a series is drawn. */
function sample({ item, colour, dash, marker }: ShownSeries, life: string): SVGElement {
  const picture = svg('svg', {
    class: 'swatch',
    viewBox: '0 0 26 12',
    width: 26,
    height: 12,
    'aria-hidden': 'true',
  })
  const measured = item.kind === 'measured'
  picture.innerHTML = sampleOf(
    {
      key: '',
      label: '',
      column: '',
      colour: colour ?? life,
      dash,
      width: measured ? 1.3 : 2,
      kind: measured ? 'points' : 'line',
      marker,
      x: [],
      y: [],
      opacity: 1,
    },
    0,
    6,
  )
  return picture
}

function figures({ item }: ShownSeries, report: ScalingReport): string {
  const scaled = report.collapse.series.find(({ id }) => id === item.id)
  const most =
    item.maxRadius > 0
      ? `R_max ${withError(1e3 * item.maxRadius, 1e3 * item.maxRadiusError, 'mm')}`
      : `R_max ${length(item.maxRadius)}`
  return scaled ? `${most}, t_collapse ${duration(scaled.collapse)}` : most
}

export interface Chooser {
  root: HTMLElement
  isOn(series: ShownSeries): boolean
  show(series: readonly ShownSeries[], report: ScalingReport, life: string): void
}

export function createChooser(changed: () => void): Chooser {
  const chosen = new Map<string, boolean>()
  const list = el('ul', { class: 'list scaling-list' })
  const isOn = ({ item, first }: ShownSeries) => chosen.get(item.id) ?? first
  const row = (series: ShownSeries, report: ScalingReport, life: string): HTMLElement => {
    const box = el('input', { type: 'checkbox', checked: isOn(series) })
    box.addEventListener('change', () => {
      chosen.set(series.item.id, box.checked)
      changed()
    })
    return el(
      'li',
      { 'data-series': series.item.id },
      el(
        'label',
        { class: 'scaling-series' },
        box,
        sample(series, life),
        el('span', { class: 'name' }, series.item.name),
      ),
      el('span', { class: 'figures' }, figures(series, report)),
    )
  }
  return {
    root: el('fieldset', { class: 'choice-frame' }, el('legend', {}, 'Series that take part'), list),
    isOn,
    show(series, report, life) {
      const focused = (document.activeElement as HTMLElement | null)?.closest<HTMLElement>('[data-series]')
      const of = focused && list.contains(focused) ? focused.dataset.series : undefined
      list.replaceChildren(...series.map((one) => row(one, report, life)))
      if (of === undefined) return
      const again = [...list.children].find((entry) => (entry as HTMLElement).dataset.series === of)
      again?.querySelector('input')?.focus()
    },
  }
}
