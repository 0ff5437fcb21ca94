/** The plots of the scaling section as data. Pure. */

import type { StraightLine } from '../../numerics/statistics.ts'
import type { ScalingReport, StrengthBasis } from '../../plan/scalingReport.ts'
import { roundRange } from '../plots/axis.ts'
import type { Line, Panel } from '../plots/plotData.ts'
import { roundUp } from '../spans.ts'
import type { ShownSeries } from './series.ts'

export interface ScalingColours {
  ink: string
  life: string
}

const line = (part: Omit<Line, 'width' | 'kind' | 'opacity' | 'dash'> & Partial<Line>): Line => ({
  width: 1.6,
  kind: 'line',
  opacity: 1,
  dash: [],
  ...part,
})

/** Right end of the scaled time axis: little happens after the collapse, much after the maximum. */
function endOf({ wish, collapse }: ScalingReport): number {
  const most = Math.max(1, ...collapse.series.map(({ x }) => x.at(-1) ?? 0))
  return Math.min(wish.rule.kind === 'maximum' ? 3 : 1.2, roundUp(most, 6))
}

/** R/R_max against t/t_collapse, with the mean curve and the band of one deviation about it. */
export function collapsePanel(
  report: ScalingReport,
  shown: readonly ShownSeries[],
  { ink, life }: ScalingColours,
): Panel {
  const { series, spread } = report.collapse
  const lines = series.map(({ id, kind, name, x, y }) => {
    const style = shown.find(({ item }) => item.id === id)
    return line({
      key: id,
      label: name,
      column: `R_per_R_max (${name})`,
      colour: style?.colour ?? life,
      dash: style?.dash ?? [],
      kind: kind === 'measured' ? 'points' : 'line',
      ...(kind === 'measured' ? { marker: style?.marker ?? 'circle', width: 1 } : {}),
      x,
      y,
    })
  })
  const about: Line[] = spread
    ? [
        line({
          key: 'band',
          label: 'mean ± standard deviation',
          column: 'band_width',
          colour: ink,
          kind: 'area',
          opacity: 0.18,
          x: spread.x,
          y: spread.mean.map((value, i) => value + spread.deviation[i]!),
          base: spread.mean.map((value, i) => value - spread.deviation[i]!),
        }),
        line({
          key: 'mean',
          label: 'mean',
          column: 'mean',
          colour: ink,
          width: 2.6,
          x: spread.x,
          y: spread.mean,
        }),
      ]
    : []
  return {
    id: 'collapse',
    title: 'Scaled radius',
    xLabel: 'scaled time t/t_collapse, –',
    yLabel: 'R/R_max, –',
    xColumn: 't_per_t_collapse',
    xMin: 0,
    xMax: endOf(report),
    yMin: 0,
    yMax: 1.2,
    logarithmic: false,
    lines: [...about.slice(0, 1), ...lines, ...about.slice(1)],
    marks: [],
    weight: 1,
    showX: true,
  }
}

const measuredColour = '#d55e00'

const strengthLabel = (by: StrengthBasis): string =>
  by === 'mass' ? 'alcohol, % by mass' : 'alcohol, % by volume at 20 °C'

type Point = ScalingReport['trend']['points'][number]

const pointsLine = (kind: Point['kind'], points: readonly Point[], colour: string): Line =>
  line({
    key: `${kind} points`,
    label: kind,
    column: `R_max_mm (${kind})`,
    colour,
    kind: 'points',
    marker: kind === 'measured' ? 'circle' : 'square',
    width: 1.3,
    x: points.map(({ x }) => x),
    y: points.map(({ radius }) => 1e3 * radius),
    base: points.map(({ error }) => 1e3 * error),
  })

/** The curve through a row of lives with its numerical error. */
function rowLines(points: readonly Point[], colour: string): Line[] {
  const row = points.filter(({ inRow }) => inRow).sort((a, b) => a.x - b.x)
  if (row.length < 2) return []
  const x = row.map((point) => point.x)
  const error = row.map((point) => (point.error > 0 ? 1e3 * point.error : 0))
  const y = row.map(({ radius }) => 1e3 * radius)
  return [
    line({
      key: 'row error',
      label: 'numerical error',
      column: 'numerical_error_width_mm',
      colour,
      kind: 'area',
      opacity: 0.25,
      x,
      y: y.map((value, i) => value + error[i]!),
      base: y.map((value, i) => value - error[i]!),
    }),
    line({ key: 'row', label: 'simulated, joined', column: 'R_max_mm (row)', colour, width: 1.8, x, y }),
  ]
}

function straight(
  kind: Point['kind'],
  fit: StraightLine | null,
  [from, to]: [number, number],
  colour: string,
): Line[] {
  if (!fit) return []
  const at = (x: number) => 1e3 * (fit.intercept + fit.slope * x)
  const dash = kind === 'measured' ? [7, 3] : [2, 3]
  const label = `straight line, ${kind}`
  const column = `line_mm (${kind})`
  return [line({ key: `line ${kind}`, label, column, colour, dash, x: [from, to], y: [at(from), at(to)] })]
}

/** R_max against the alcohol: points, straight lines, and the curve of a row of lives. */
export function trendPanel({ trend, wish }: ScalingReport, { life }: ScalingColours): Panel {
  const of = (kind: Point['kind']) => trend.points.filter((point) => point.kind === kind)
  const [measured, simulated] = [of('measured'), of('simulated')]
  const x = trend.points.map((point) => point.x)
  const [least, most] = x.length > 0 ? [Math.min(...x), Math.max(...x)] : [40, 80]
  const range = {
    min: Math.max(0, 5 * Math.floor((least - 1) / 5)),
    max: Math.min(100, 5 * Math.ceil((most + 1) / 5)),
  }
  const straights = [
    ...straight('simulated', trend.line.simulated, [least, most], life),
    ...straight('measured', trend.line.measured, [least, most], measuredColour),
  ]
  const tops = trend.points.map(({ radius, error }) => 1e3 * (radius + (error || 0)))
  const highest = Math.max(1, ...tops, ...straights.flatMap(({ y }) => Array.from(y)))
  return {
    id: 'trend',
    title: 'Largest radius',
    xLabel: strengthLabel(wish.by),
    yLabel: 'R_max, mm',
    xColumn: wish.by === 'mass' ? 'alcohol_percent_mass' : 'alcohol_percent_volume',
    xMin: range.min,
    xMax: range.max,
    yMin: 0,
    yMax: roundRange(0, 1.05 * highest, true, 4).max,
    logarithmic: false,
    lines: [
      ...rowLines(simulated, life),
      ...straights,
      ...(simulated.length > 0 ? [pointsLine('simulated', simulated, life)] : []),
      ...(measured.length > 0 ? [pointsLine('measured', measured, measuredColour)] : []),
    ],
    marks: [],
    weight: 1,
    showX: true,
  }
}

/** Value of a line at x by straight pieces between its points; NaN outside them. */
export function lineAt({ x, y }: Pick<Line, 'x' | 'y'>, at: number): number {
  for (let i = 1; i < x.length; i++) {
    if (!(x[i - 1]! <= at && at <= x[i]!) || x[i] === x[i - 1]) continue
    return y[i - 1]! + ((at - x[i - 1]!) / (x[i]! - x[i - 1]!)) * (y[i]! - y[i - 1]!)
  }
  return Number.NaN
}
