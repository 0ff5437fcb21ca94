/** A scaling as one object for JSON. Pure. */
import { collapseRuleName, type Scatter } from '../measured/scaling.ts'
import type { StraightLine } from '../numerics/statistics.ts'
import type { ScalingItem } from './scalingItem.ts'
import type { ScalingReport } from './scalingReport.ts'

const known = (value: number): number | null => (Number.isFinite(value) ? value : null)

const lineObject = (line: StraightLine | null) =>
  line && {
    slope_mmPerPercent: known(1e3 * line.slope),
    slopeError_mmPerPercent: known(1e3 * line.slopeError),
    intercept_mm: known(1e3 * line.intercept),
    interceptError_mm: known(1e3 * line.interceptError),
    count: line.count,
  }

const scatterObject = ({ count, mean, deviation, meanError }: Scatter) => ({
  count,
  mean: known(mean),
  scatter: known(deviation),
  standardError: known(meanError),
})

function seriesObject(item: ScalingItem, { collapse, groups }: ScalingReport) {
  const scaled = collapse.series.find(({ id }) => id === item.id)
  const row = groups.rows.find((one) => one.item === item)
  return {
    name: item.name,
    kind: item.kind,
    alcohol_percentMass: known(item.strength.mass),
    alcohol_percentVolume: known(item.strength.volume),
    maxRadius_mm: known(1e3 * item.maxRadius),
    maxRadiusError_mm: known(1e3 * item.maxRadiusError),
    collapseTime_s: scaled ? known(scaled.collapse) : null,
    collapseTimeError_s: scaled ? known(scaled.collapseError) : null,
    leftOut: collapse.left.find(({ id }) => id === item.id)?.reason ?? null,
    scales: row
      ? {
          radius_mm: known(1e3 * row.scales.radius),
          time_s: known(row.scales.time),
          ratio: known(row.bath.radius),
          filmRadius_mm: known(1e3 * row.scales.filmRadius),
          filmTime_s: known(row.scales.filmTime),
          filmRatio: known(row.film.radius),
        }
      : null,
  }
}

const mapped = <T, U>(record: Record<string, T>, of: (value: T) => U): Record<string, U> =>
  Object.fromEntries(Object.entries(record).map(([name, value]) => [name, of(value)]))

/** The whole scaling as one object for JSON; units in the names, null where there is no number. */
export function scalingObject(items: readonly ScalingItem[], report: ScalingReport): Record<string, unknown> {
  const { wish, ruleText, collapse, trend, groups } = report
  const { spread } = collapse
  return {
    rule: { name: collapseRuleName(wish.rule), text: ruleText },
    spread: spread && {
      value: spread.spread,
      count: spread.count,
      from: spread.x[0],
      to: spread.x.at(-1),
    },
    trend: { by: wish.by, ...mapped(trend.line, lineObject), left: trend.left },
    ratio: { bath: mapped(groups.bath, scatterObject), film: mapped(groups.film, scatterObject) },
    series: items.map((item) => seriesObject(item, report)),
  }
}
