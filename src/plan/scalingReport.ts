/** Do series fall on one curve, how does the largest radius grow with the alcohol, and by which scale? Pure. */
import {
  type CollapseRule,
  collapseRuleText,
  type ScaledSeries,
  type Scatter,
  type Spread,
  scaleSeries,
  scatterOf,
  spreadAbout,
} from '../measured/scaling.ts'
import { type Scales, scales } from '../model/scales.ts'
import { type StraightLine, straightLine } from '../numerics/statistics.ts'
import type { ScalingItem } from './scalingItem.ts'

/** What the alcohol is counted by: % by mass, or % by volume at 20 °C. */
export type StrengthBasis = 'mass' | 'volume'

export interface ScalingWish {
  rule: CollapseRule
  by: StrengthBasis
}

/** A series that is not used somewhere, and why. */
export interface LeftOut {
  id: string
  name: string
  reason: string
}

export interface ScaledItem extends ScaledSeries {
  id: string
  kind: ScalingItem['kind']
}

export interface TrendPoint {
  id: string
  name: string
  kind: ScalingItem['kind']
  inRow: boolean
  /** Alcohol, %, by the chosen basis, and by both. */
  x: number
  strength: ScalingItem['strength']
  /** Largest radius and its error, m; the error is NaN where it is not known. */
  radius: number
  error: number
}

/** R_max = intercept + slope × alcohol; SI per 1 % of alcohol. */
export interface Trend {
  points: TrendPoint[]
  left: LeftOut[]
  /** Straight lines, all points alike (no weights); null for fewer than two strengths. */
  line: Record<ScalingItem['kind'], StraightLine | null>
}

export interface ScaleRow {
  item: ScalingItem
  /** s after contact; NaN where it is not shown. */
  collapse: number
  /** Its standard error, s; NaN where not known. */
  collapseError: number
  scales: Scales
  /** R_max/R*, t_collapse/t* by the bath grouping, and by the film grouping. */
  bath: { radius: number; time: number }
  film: { radius: number; time: number }
}

/** Mean and scatter of a ratio by the kind of series. */
export type RatioScatter = Record<ScalingItem['kind'] | 'all', Scatter>

export interface ScalingReport {
  wish: ScalingWish
  ruleText: string
  collapse: { series: ScaledItem[]; left: LeftOut[]; spread: Spread | null }
  trend: Trend
  groups: { rows: ScaleRow[]; left: LeftOut[]; bath: RatioScatter; film: RatioScatter }
}

/** R_max/R* of the film grouping as it is told at the bench: common practice, no source. */
export const FILM_RATIO_OF_PRACTICE = 0.28

function collapseOf(items: readonly ScalingItem[], rule: CollapseRule): ScalingReport['collapse'] {
  const series: ScaledItem[] = []
  const left: LeftOut[] = []
  for (const { id, name, kind, series: own, lens } of items) {
    const result = scaleSeries(own, rule)
    if (lens) left.push({ id, name, reason: 'it stays a lens and never spreads' })
    else if (result.ok) series.push({ ...result.series, id, kind })
    else left.push({ id, name, reason: result.reason })
  }
  return { series, left, spread: spreadAbout(series) }
}

function trendReason({ maxRadius, strength, lens }: ScalingItem, by: StrengthBasis): string {
  if (!(maxRadius > 0)) return 'it holds no radius above 0'
  if (lens) return 'it stays a lens, which is as large as it was set down'
  if (!Number.isNaN(strength[by])) return ''
  return by === 'volume' && !Number.isNaN(strength.mass)
    ? 'its fraction by volume is not known: its alcohol is none that the liquids know'
    : 'its alcohol fraction is not known'
}

function trendOf(items: readonly ScalingItem[], by: StrengthBasis): Trend {
  const points: TrendPoint[] = []
  const left: LeftOut[] = []
  for (const item of items) {
    const { id, name, kind, inRow, strength, maxRadius, maxRadiusError } = item
    const reason = trendReason(item, by)
    if (reason) left.push({ id, name, reason })
    else
      points.push({
        id,
        name,
        kind,
        inRow,
        x: strength[by],
        strength,
        radius: maxRadius,
        error: maxRadiusError,
      })
  }
  const lineOf = (kind: ScalingItem['kind']) => {
    const own = points.filter((point) => point.kind === kind)
    return straightLine(
      own.map(({ x }) => x),
      own.map(({ radius }) => radius),
    )
  }
  return { points, left, line: { measured: lineOf('measured'), simulated: lineOf('simulated') } }
}

const scatters = (rows: readonly ScaleRow[], of: (row: ScaleRow) => number): RatioScatter => {
  const among = (kind?: ScalingItem['kind']) =>
    scatterOf(rows.filter(({ item }) => !kind || item.kind === kind).map(of))
  return { measured: among('measured'), simulated: among('simulated'), all: among() }
}

function groupsReason({ inputs, note, lens }: ScalingItem): string {
  if (lens) return 'it stays a lens and never spreads'
  if (!inputs) return note || 'what its scales are made of is not known'
  return inputs.spreading > 0 ? '' : 'its spreading parameter at the start is not above 0: no scale'
}

function groupsOf(
  items: readonly ScalingItem[],
  collapse: ScalingReport['collapse'],
): ScalingReport['groups'] {
  const rows: ScaleRow[] = []
  const left: LeftOut[] = []
  for (const item of items) {
    const reason = groupsReason(item)
    if (reason || !item.inputs) {
      left.push({ id: item.id, name: item.name, reason })
      continue
    }
    const own = scales(item.inputs)
    const found = collapse.series.find(({ id }) => id === item.id)
    const time = found?.collapse ?? Number.NaN
    rows.push({
      item,
      collapse: time,
      collapseError: found?.collapseError ?? Number.NaN,
      scales: own,
      bath: { radius: item.maxRadius / own.radius, time: time / own.time },
      film: { radius: item.maxRadius / own.filmRadius, time: time / own.filmTime },
    })
  }
  return {
    rows,
    left,
    bath: scatters(rows, ({ bath }) => bath.radius),
    film: scatters(rows, ({ film }) => film.radius),
  }
}

/** Each life once, the first of its name; what repeats it is left out everywhere. */
function onceEach(items: readonly ScalingItem[]): { items: ScalingItem[]; left: LeftOut[] } {
  const first = new Map<string, ScalingItem>()
  const left: LeftOut[] = []
  const kept = items.filter((item) => {
    const { id, name, drop } = item
    const same = drop === undefined ? undefined : first.get(drop)
    if (drop !== undefined && !same) first.set(drop, item)
    if (same) left.push({ id, name, reason: `its life is that of ${same.name}, which counts once` })
    return !same
  })
  // A life out of a row stands in it wherever else it was asked for.
  const inRow = new Set(items.flatMap((item) => (item.inRow && item.drop !== undefined ? [item.drop] : [])))
  const whole = kept.map((item) =>
    item.drop !== undefined && inRow.has(item.drop) ? { ...item, inRow: true } : item,
  )
  return { items: whole, left }
}

/** Everything about a choice of series. Series that cannot be used somewhere are listed there with the reason. */
export function scalingReport(chosen: readonly ScalingItem[], wish: ScalingWish): ScalingReport {
  const { items, left } = onceEach(chosen)
  const collapse = collapseOf(items, wish.rule)
  const trend = trendOf(items, wish.by)
  const groups = groupsOf(items, collapse)
  const withLeft = <T extends { left: LeftOut[] }>(part: T): T => ({ ...part, left: [...part.left, ...left] })
  return {
    wish,
    ruleText: collapseRuleText(wish.rule),
    collapse: withLeft(collapse),
    trend: withLeft(trend),
    groups: withLeft(groups),
  }
}
