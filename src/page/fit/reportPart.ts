/** The fit as figures of the report: radii with fitted lives, residuals, table of values. */

import type { LifeFit } from '../../measured/fit/types.ts'
import { chanceText, goodnessText, numberText, reasonText, unknownText } from '../../measured/fit/words.ts'
import type { Table } from '../../plan/table.ts'
import { csvText } from '../plots/dataTable.ts'
import type { Panel } from '../plots/model.ts'
import { paperColours } from '../plots/seriesColours.ts'
import { svgText } from '../plots/svgText.ts'
import { offerPart, type ReportFigure } from '../report/parts.ts'
import { type FitCurve, livesOfFit, radiusPanel, residualPanel, shownUnknown } from './model.ts'

/** Values of the unknowns as a table of text: what is not determined has no number. */
export function valuesTable({ unknowns }: Pick<LifeFit, 'unknowns'>): Table {
  const plain = (name: string, label: string) => ({ name, label, unit: '' })
  return {
    title: 'Fitted values',
    columns: [
      plain('unknown', 'Unknown'),
      plain('value', 'Value ± 1 σ'),
      plain('start', 'Start'),
      plain('remark', 'Remark'),
    ],
    rows: unknowns.map((raw) => {
      const unknown = shownUnknown(raw)
      const start = `${numberText(unknown.start, 3)} ${unknown.unit}`.trimEnd()
      return [unknown.label, unknownText(unknown), start, reasonText(unknown)]
    }),
  }
}

/** A fit to be reported. */
export interface ShownFit {
  fit: LifeFit
  curves: readonly FitCurve[]
  /** What has changed since it was made; '' if nothing. */
  since: string
}

/** The figures; those of a fit of an earlier drop or of other points say so in title, caption and table. */
export function figuresOf({ fit, curves, since }: ShownFit): ReportFigure[] {
  const picture = (panel: Panel) => ({
    svg: svgText([panel], { title: panel.title, subtitle: '', bare: true }),
    csv: csvText([panel]),
  })
  const words = [goodnessText(fit), ...fit.warnings].join(' ')
  const mark = since && ' (stale)'
  const stale = since && `Stale: this fit was made before these changed: ${since}. `
  const values = valuesTable(fit)
  return [
    {
      title: `Measured radii and fitted lives${mark}`,
      caption: `${stale}${words}`,
      ...picture(radiusPanel(curves, livesOfFit(fit))),
      table: {
        ...values,
        title: since ? `${values.title} (stale: made before a change of ${since})` : values.title,
      },
    },
    {
      title: `Residuals of the fit${mark}`,
      caption: `${stale}Measured minus life, with ± 1 σ. ${chanceText(fit)}`,
      ...picture(residualPanel(fit, curves, paperColours.ink)),
    },
  ]
}

/** Offers the fit that is shown to the report. */
export const offerFit = (shown: () => ShownFit | null): (() => void) =>
  offerPart({
    id: 'fit',
    label: 'Fit: values, residuals',
    order: 40,
    first: true,
    lacks: () => (shown() ? '' : 'no fit has been made'),
    make() {
      const now = shown()
      return now ? figuresOf(now) : []
    },
  })
