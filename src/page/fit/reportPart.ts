/** The fit as figures of the report: radii with fitted lives, residuals, table of values. */

import type { Profile } from '../../measured/fit/profile.ts'
import type { LifeFit } from '../../measured/fit/types.ts'
import { wideningText } from '../../measured/fit/widened.ts'
import {
  causeTexts,
  chanceText,
  goodnessText,
  numberText,
  priorText,
  profileText,
  pullText,
  reasonText,
  unknownText,
} from '../../measured/fit/words.ts'
import { column, type Table } from '../../plan/table.ts'
import { csvText } from '../plots/dataTable.ts'
import type { Panel } from '../plots/plotData.ts'
import { paperColours } from '../plots/seriesColours.ts'
import { svgText } from '../plots/svgText.ts'
import { offerPart, type ReportFigure } from '../report/parts.ts'
import {
  correlationText,
  type FitCurve,
  livesOfFit,
  radiusPanel,
  residualPanel,
  shownCause,
  shownProfile,
  shownUnknown,
} from './fitViews.ts'

/** Values of the unknowns as a table of text: what is not determined has no number. */
export function valuesTable({ unknowns }: Pick<LifeFit, 'unknowns'>): Table {
  const parted = unknowns.some(({ systematic }) => systematic > 0)
  return {
    title: 'Fitted values',
    columns: [
      column('unknown', 'Unknown'),
      column('value', 'Value ± 1 σ'),
      ...(parted ? [column('statistical', 'Statistical'), column('systematic', 'Systematic')] : []),
      column('start', 'Start'),
      column('remark', 'Remark'),
    ],
    rows: unknowns.map((raw) => {
      const unknown = shownUnknown(raw)
      const inUnit = (value: number, digits: number) =>
        `${numberText(value, digits)} ${unknown.unit}`.trimEnd()
      const part = (value: number) => (unknown.verdict === 'determined' ? `± ${inUnit(value, 2)}` : '–')
      return [
        unknown.label,
        unknownText(unknown),
        ...(parted ? [part(unknown.statistical), part(unknown.systematic)] : []),
        inUnit(unknown.start, 3),
        [reasonText(unknown), priorText(unknown)].filter(Boolean).join('; '),
      ]
    }),
  }
}

/** What each curve leaves over. */
function curvesTable({ curves }: LifeFit): Table {
  const mm = (metres: number) => numberText(1e3 * metres, 2)
  return {
    title: 'Residuals of the curves',
    columns: [
      column('curve', 'Curve'),
      column('points', 'Points'),
      column('chi_squared', 'χ²'),
      column('rms_mm', 'r.m.s., mm'),
      column('bias_mm', 'Mean, mm'),
      column('contact_s', 'Contact, s'),
    ],
    rows: curves.map(({ name, time, chiSquared, rms, bias, startTime }) => [
      name,
      String(time.length),
      Number.isFinite(chiSquared) ? numberText(chiSquared, 3) : '–',
      mm(rms),
      mm(bias),
      numberText(startTime, 3),
    ]),
  }
}

/** Correlation of the values; none for one unknown. */
function correlationFigure({ unknowns, correlation }: LifeFit): ReportFigure[] {
  const n = unknowns.length
  if (n < 2) return []
  return [
    {
      title: 'Correlation of the fitted values',
      caption: 'From −1 to 1; near either end the points fix the two together only.',
      table: {
        title: 'Correlation',
        columns: [column('with', 'with'), ...unknowns.map(({ label }, j) => column(`c${j}`, label))],
        rows: unknowns.map(({ label }, i) => [
          label,
          ...unknowns.map((_, j) => correlationText(correlation[i * n + j]!)),
        ]),
      },
    },
  ]
}

/** What is known beside the points, with pulls; none where nothing is. */
function causesFigure({ causes, unknowns }: LifeFit): ReportFigure[] {
  if (causes.length === 0) return []
  const shown = unknowns.map(shownUnknown)
  return [
    {
      title: 'Known beside the points',
      caption:
        'Pull: how many σ the fit puts it off what is stated. Last columns: by how much the value comes out too large where the cause is really 1 σ above what is stated; together these make the systematic part.',
      table: {
        title: 'Known beside the points',
        columns: [
          column('cause', 'Cause'),
          column('stated', 'Stated'),
          column('found', 'After the fit'),
          column('pull', 'Pull'),
          ...shown.map(({ label, unit }, j) =>
            column(`move${j}`, `1 σ moves ${label}${unit && `, ${unit}`}`),
          ),
        ],
        rows: causes.map((raw) => {
          const cause = shownCause(raw, unknowns)
          const { stated, found } = causeTexts(cause)
          return [
            cause.label,
            stated,
            found,
            pullText(cause.pull),
            ...cause.shifts.map((one) => numberText(one, 2)),
          ]
        }),
      },
    },
  ]
}

/** A fit to be reported. */
export interface ShownFit {
  /** With the errors that are shown. */
  fit: LifeFit
  curves: readonly FitCurve[]
  /** What has changed since it was made; '' if nothing. */
  since: string
  /** The statistical errors are multiplied by √χ²ν. */
  wide?: boolean
  profiles?: readonly Profile[]
}

/** The figures; those of a fit of an earlier drop or of other points say so in title, caption and table. */
export function figuresOf({ fit, curves, since, wide = false, profiles = [] }: ShownFit): ReportFigure[] {
  const picture = (panel: Panel) => ({
    svg: svgText([panel], { title: panel.title, subtitle: '', bare: true }),
    csv: csvText([panel]),
  })
  const intervals = profiles.map((profile) => `Profile: ${profileText(shownProfile(profile))}`)
  const words = [goodnessText(fit), wideningText(fit, wide), ...fit.warnings, ...fit.notes, ...intervals]
  const mark = since && ' (stale)'
  const stale = since && `Stale: this fit was made before these changed: ${since}. `
  const values = valuesTable(fit)
  const marked = (figure: ReportFigure): ReportFigure => ({
    ...figure,
    title: `${figure.title}${mark}`,
    caption: `${stale}${figure.caption}`,
  })
  return [
    {
      title: `Measured radii and fitted lives${mark}`,
      caption: `${stale}${words.filter(Boolean).join(' ')}`,
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
      table: curvesTable(fit),
    },
    ...[...causesFigure(fit), ...correlationFigure(fit)].map(marked),
  ]
}

/** The fitted values in a sentence, and what is doubtful about them. */
function answerOfFit({ fit, since }: ShownFit): { sentences: string[]; doubts: string[] } {
  const values = fit.unknowns.map((raw) => {
    const unknown = shownUnknown(raw)
    return `${unknown.label} ${unknownText(unknown)}`
  })
  const stale = since ? ` (stale: made before these changed: ${since})` : ''
  return {
    sentences: [`Fitted${stale}: ${values.join('; ')}. ${goodnessText(fit)}`],
    doubts: [...fit.warnings],
  }
}

/** Offers the fit that is shown to the report. */
export const offerFit = (shown: () => ShownFit | null): (() => void) =>
  offerPart({
    id: 'fit',
    label: 'Fit: values, residuals',
    order: 40,
    first: true,
    lacks: () => (shown() ? '' : 'no fit has been made'),
    answer() {
      const now = shown()
      return now && answerOfFit(now)
    },
    make() {
      const now = shown()
      return now ? figuresOf(now) : []
    },
  })
