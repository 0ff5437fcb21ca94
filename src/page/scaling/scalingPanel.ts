/** Scaling: do the series fall on one curve, how does the largest radius grow, by which scale? */
import { COLLAPSE_RULES, collapseRuleLabel, collapseRuleName } from '../../measured/scaling.ts'
import { type ScalingReport, type ScalingWish, scalingReport } from '../../plan/scalingReport.ts'
import { inputsTable, meansTable, ratiosTable } from '../../plan/scalingTables.ts'
import {
  FILM_RATIO_WORDS,
  GROUPING_WORDS,
  spreadWords,
  TREND_QUESTION,
  trendWords,
} from '../../plan/scalingWords.ts'
import './scaling.css'
import { el, oncePerFrame } from '../dom.ts'
import { plain, withError } from '../format.ts'
import { createInvitation } from '../invitation.ts'
import { followNearness } from '../near.ts'
import { plotColours, type Saved } from '../plots/figure.ts'
import type { Panel } from '../plots/plotData.ts'
import { paperColours } from '../plots/seriesColours.ts'
import type { Store, View } from '../store.ts'
import { tableView } from '../tableView.ts'
import { createChooser } from './chooser.ts'
import { collapsePanel, lineAt, trendPanel } from './models.ts'
import { createPlotView } from './plotView.ts'
import { offerScalingParts } from './reportParts.ts'
import { createRows } from './rows.ts'
import { noteError, type ShownSeries, seriesOf } from './series.ts'

/** Values of the lines of the collapse plot at x. */
function collapseValues(panel: Panel, x: number): { short: string; full: string } {
  const mean = panel.lines.find(({ key }) => key === 'mean')
  const band = panel.lines.find(({ key }) => key === 'band')
  const at = `at ${plain(x)} t_collapse`
  const value = mean ? lineAt(mean, x) : Number.NaN
  const top = band ? lineAt(band, x) : Number.NaN
  const middle = Number.isNaN(value) ? '' : `mean ${withError(value, top - value, '')}`.trim()
  const each = panel.lines
    .filter(({ key }) => key !== 'mean' && key !== 'band')
    .map((line) => [line.label, lineAt(line, x)] as const)
    .filter(([, y]) => !Number.isNaN(y))
    .map(([label, y]) => `${label} ${plain(y)}`)
  return { short: `${at}: ${middle}`, full: [`${at}: ${middle || 'no mean'}`, ...each].join(', ') }
}

/** Values of the lines of the trend plot at x. */
function trendValues(panel: Panel, x: number): { short: string; full: string } {
  const at = `at ${plain(x)} %`
  const of = (key: string) => {
    const found = panel.lines.find((line) => line.key === key)
    const y = found ? lineAt(found, x) : Number.NaN
    return Number.isNaN(y) ? '' : `${plain(y)} mm`
  }
  const told = (words: string, value: string) => (value ? [`${words} ${value}`] : [])
  const measured = told('measured line', of('line measured'))
  const curve = told('curve', of('row'))
  const simulated = told('simulated line', of('line simulated'))
  const short = [...curve, ...measured, ...(curve.length === 0 ? simulated : [])].join(', ')
  const full = [...curve, ...simulated, ...measured].join(', ')
  return { short: short && `${at}: ${short}`, full: `${at}: ${full || 'nothing'}` }
}

function rulesSelect(changed: () => void): HTMLSelectElement {
  const select = el('select', { id: 'scaling-rule', onchange: changed })
  for (const rule of COLLAPSE_RULES) select.add(new Option(collapseRuleLabel(rule), collapseRuleName(rule)))
  return select
}

function basisSelect(changed: () => void): HTMLSelectElement {
  const select = el('select', { id: 'scaling-by', onchange: changed })
  select.add(new Option('% by mass', 'mass'))
  select.add(new Option('% by volume at 20 °C', 'volume'))
  return select
}

export function createScaling(root: HTMLElement, store: Store): View {
  const ask = oncePerFrame(draw)
  const rule = rulesSelect(ask)
  const by = basisSelect(ask)
  const rows = createRows(store, ask)
  const chooser = createChooser(ask)
  const spread = el('p', { class: 'lead', id: 'scaling-spread', 'aria-live': 'polite' })
  const lines = el('div', { class: 'lead', id: 'scaling-lines' })
  const tables = el('div', { class: 'scaling-tables' })
  let series: ShownSeries[] = []
  let report: ScalingReport = scalingReport([], { rule: COLLAPSE_RULES[0]!, by: 'mass' })
  const paper = { ink: paperColours.ink, life: paperColours.life }
  const saved = (make: () => Panel, title: string, subtitle: () => string, name: string) => (): Saved => ({
    panels: [make()],
    title,
    subtitle: subtitle(),
    name,
  })
  const collapse = createPlotView({
    label: 'Scaled time along the scaled radius',
    start: 0.5,
    resized: ask,
    saved: saved(
      () => collapsePanel(report, series, paper),
      'Scaled radius against scaled time',
      () => spreadWords(report),
      'scaling',
    ),
    values: collapseValues,
  })
  const trend = createPlotView({
    label: 'Alcohol along the largest radius',
    start: 0.5,
    resized: ask,
    saved: saved(
      () => trendPanel(report, paper),
      'Largest radius against alcohol',
      () => trendWords(report).join('. '),
      'largest radius',
    ),
    values: trendValues,
  })
  const empty = createInvitation(
    store,
    'Two series are needed: measured curves, pinned lives, or the present drop run at other strengths. Then you see here whether they fall on one curve, and how the largest radius grows with the alcohol.',
  )
  const together = el(
    'div',
    { class: 'scaling-results' },
    el('h3', {}, 'One curve?'),
    spread,
    collapse.root,
    el('h3', {}, 'Largest radius against alcohol'),
    lines,
    trend.root,
    el('p', { class: 'note' }, TREND_QUESTION),
  )
  const results = el(
    'div',
    { class: 'scaling-results' },
    together,
    el('h3', {}, 'Scales R* and t*'),
    el('p', { class: 'note' }, GROUPING_WORDS),
    tables,
    el('p', { class: 'note' }, FILM_RATIO_WORDS),
  )
  root.append(
    el('h2', { id: 'scaling-title', tabindex: -1 }, 'Scaling'),
    el(
      'p',
      {},
      'Does every drop live the same life, only larger or longer? Measured series and lives, each scaled by its own largest radius and collapse time.',
    ),
    chooser.root,
    rows.root,
    el(
      'div',
      { class: 'form' },
      el('label', { for: rule.id }, 't_collapse', rule),
      el('label', { for: by.id }, 'Alcohol', by),
    ),
    empty,
    results,
  )

  const wished = (): ScalingWish => ({
    rule: COLLAPSE_RULES.find((one) => collapseRuleName(one) === rule.value) ?? COLLAPSE_RULES[0]!,
    by: by.value === 'volume' ? 'volume' : 'mass',
  })

  /** Renews the figures from the state. */
  function work(): void {
    series = seriesOf(store.getState(), rows.rows)
    report = scalingReport(
      series.filter(chooser.isOn).map(({ item }) => item),
      wished(),
    )
  }

  function draw(): void {
    if (!nearness.near) return
    work()
    const colours = plotColours(store.getState().dark)
    rows.follow()
    // A plot without anything in it looks broken, and one series tells nothing of several.
    empty.hidden = series.length > 1
    together.hidden = series.length < 2
    results.hidden = series.length === 0
    chooser.root.hidden = series.length === 0
    chooser.show(series, report, colours.life)
    spread.textContent = spreadWords(report)
    collapse.show(collapsePanel(report, series, colours), colours, report.collapse.left)
    lines.replaceChildren(...trendWords(report).map((text) => el('p', {}, `${text}.`)))
    trend.show(trendPanel(report, colours), colours, report.trend.left)
    const without = report.groups.left.map(({ name, reason }) => el('li', {}, `${name}: ${reason}.`))
    tables.replaceChildren(
      ...[inputsTable(report), ratiosTable(report), meansTable(report)]
        .filter((table) => table.rows.length > 0)
        .map((table) => tableView(table, 'rimtide-scaling')),
      ...(without.length > 0
        ? [
            el('p', { class: 'note' }, 'Without scales:'),
            el('ul', { class: 'scaling-left note' }, ...without),
          ]
        : []),
    )
  }

  const endParts = offerScalingParts(() => {
    work()
    return { report, series }
  })
  const nearness = followNearness(root, ask)
  const unsubscribe = store.subscribe((state, before) => {
    noteError(state)
    const names = ['life', 'stale', 'pins', 'measured', 'hidden', 'preset', 'neighbours', 'dark'] as const
    if (names.some((name) => state[name] !== before[name])) ask()
  })
  return {
    destroy() {
      unsubscribe()
      endParts()
      nearness.destroy()
      rows.destroy()
      collapse.destroy()
      trend.destroy()
      root.replaceChildren()
    },
  }
}
