/** The figures of the report that come from the scaling section. */
import type { ScalingReport } from '../../plan/scalingReport.ts'
import { inputsTable, meansTable, ratiosTable, trendTable } from '../../plan/scalingTables.ts'
import {
  FILM_RATIO_WORDS,
  GROUPING_WORDS,
  spreadWords,
  TREND_QUESTION,
  trendWords,
} from '../../plan/scalingWords.ts'
import { paperColours } from '../plots/seriesColours.ts'
import { panelsFigure } from '../report/panelsFigure.ts'
import { offerPart, type ReportFigure } from '../report/parts.ts'
import { collapsePanel, trendPanel } from './models.ts'
import type { ShownSeries } from './series.ts'

interface Scaling {
  report: ScalingReport
  series: readonly ShownSeries[]
}

const leftWords = (left: readonly { name: string; reason: string }[]): string =>
  left.length > 0 ? ` Not in it: ${left.map(({ name, reason }) => `${name} (${reason})`).join('; ')}.` : ''

function collapseFigure({ report, series }: Scaling): ReportFigure {
  const caption = `${spreadWords(report)} Shaded: mean ± standard deviation.${leftWords(report.collapse.left)}`
  return panelsFigure(
    'Scaled radius against scaled time',
    caption,
    [collapsePanel(report, series, paperColours)],
    { legend: true },
  )
}

function trendFigure({ report }: Scaling): ReportFigure {
  const lines = trendWords(report).map((text) => `${text}. `)
  const caption = `${lines.join('')}${TREND_QUESTION}${leftWords(report.trend.left)}`
  const figure = panelsFigure('Largest radius against alcohol', caption, [trendPanel(report, paperColours)], {
    legend: true,
  })
  return { ...figure, table: trendTable(report) }
}

function scaleFigures({ report }: Scaling): ReportFigure[] {
  return [
    { title: 'Scales', caption: GROUPING_WORDS, table: inputsTable(report) },
    { title: 'Ratios', caption: FILM_RATIO_WORDS, table: ratiosTable(report) },
    { title: 'Means of the ratio', caption: leftWords(report.groups.left).trim(), table: meansTable(report) },
  ]
}

/** Offers them; `get` works the scaling out anew. Gives back the function that takes them away. */
export function offerScalingParts(get: () => Scaling): () => void {
  const ends = [
    offerPart({
      id: 'collapse',
      label: 'Scaled radius against scaled time',
      order: 50,
      first: true,
      lacks: () =>
        get().report.collapse.series.length > 1 ? '' : 'fewer than two series show their collapse',
      make: () => [collapseFigure(get())],
    }),
    offerPart({
      id: 'trend',
      label: 'Largest radius against alcohol',
      order: 51,
      first: true,
      lacks: () => (get().report.trend.points.length > 1 ? '' : 'fewer than two series have a strength'),
      make: () => [trendFigure(get())],
    }),
    offerPart({
      id: 'scales',
      label: 'Scales R* and t* with their inputs',
      order: 52,
      first: false,
      lacks: () => (get().report.groups.rows.length > 0 ? '' : 'no series has scales'),
      make: () => scaleFigures(get()),
    }),
  ]
  return () => {
    for (const end of ends) end()
  }
}
