/** Fingers counted in a recording and computed for the drop on the page, as one plot. Pure. */
import type { Life } from '../../life/types.ts'
import { type FingerPoint, isCounted } from '../../measured/video/fingerSeries.ts'
import type { FingerVerdict } from '../../measured/video/types.ts'
import { basisWords, beadFacts } from '../../plan/beads.ts'
import type { Fingers } from '../../rim/fingers.ts'
import { beadCount, beadsAt } from '../beads.ts'
import { plain, withError } from '../format.ts'
import { linearTicks } from '../plots/axis.ts'
import type { Column, Panel } from '../plots/plotData.ts'
import type { PlotColours } from '../plots/seriesColours.ts'
import { roundUp } from '../spans.ts'

/** What is computed for a drop: its number of beads over time, and from what. */
export interface Computed {
  time: number[]
  count: number[]
  basis: string
}

/** Beads of a life over time from when they show: by the full calculation where it is known, else by its own estimate. */
export function computedOf(life: Life | null, fingers: Fingers | null): Computed | null {
  const facts = life && beadFacts(life, fingers)
  if (!life || !facts || !(facts.from >= 0)) return null
  const basis = basisWords(facts)
  if (facts.by === 'calculation' && fingers) {
    const { t_s, count } = fingers.table
    const from = t_s.findIndex((t) => t >= facts.from - 1e-9)
    const keep = <T>(list: readonly T[]) => (from < 0 ? [] : list.slice(from))
    return t_s.length > 0 ? { time: keep(t_s), count: keep(count), basis } : null
  }
  const time = [...life.series.t].filter((t) => t >= facts.from)
  return { time, count: time.map((t) => beadsAt(life, t)?.count ?? Number.NaN), basis }
}

const verdicts: Record<FingerVerdict, string> = {
  counted: 'counted',
  none: 'none seen',
  fine: 'closer than 6 px',
  irregular: 'cannot tell',
  'no-rim': 'no closed rim',
}

/** "counted in 23 of 60 frames; none seen in 30, cannot tell in 7". */
export function tallyOf(points: readonly FingerPoint[]): string {
  const counts = new Map<FingerVerdict, number>()
  for (const { reading } of points) counts.set(reading.verdict, (counts.get(reading.verdict) ?? 0) + 1)
  const others = [...counts].filter(([verdict]) => verdict !== 'counted').sort((a, b) => b[1] - a[1])
  const rest = others.map(([verdict, count]) => `${verdicts[verdict]} in ${count}`).join(', ')
  return `counted in ${counts.get('counted') ?? 0} of ${points.length} frames${rest ? `; ${rest}` : ''}`
}

/** Columns for the CSV file, of all frames in which fingers were looked for. Lengths in mm, or in px without a scale. */
function columnsOf(points: readonly FingerPoint[], x: readonly number[], scaled: boolean): Column[] {
  const unit = scaled ? 'mm' : 'px'
  const factor = scaled ? 1e3 : 1
  const column = (name: string, of: (point: FingerPoint) => number) => ({
    column: name,
    x,
    y: points.map(of),
  })
  const length = (of: (point: FingerPoint) => number) => (point: FingerPoint) =>
    of(point) * point.scale * factor
  return [
    column('fingers_error', ({ reading }) => reading.countError),
    column(
      `finger_spacing_${unit}`,
      length(({ reading }) => reading.spacing),
    ),
    column(
      `finger_spacing_error_${unit}`,
      length(({ reading }) => reading.spacingError),
    ),
    column(
      `area_radius_${unit}`,
      length(({ reading }) => reading.areaRadius),
    ),
    column(
      `mean_radius_${unit}`,
      length(({ reading }) => reading.meanRadius),
    ),
    column(
      `tips_radius_${unit}`,
      length(({ reading }) => reading.tipRadius),
    ),
    column(
      `necks_radius_${unit}`,
      length(({ reading }) => reading.neckRadius),
    ),
    column('tips', ({ reading }) => (reading.verdict === 'counted' ? reading.tips : Number.NaN)),
    column('necks', ({ reading }) => (reading.verdict === 'counted' ? reading.necks : Number.NaN)),
  ]
}

/** Times in s since touch-down. `points` holds at least one that is counted. */
export function fingerPanel(
  points: readonly FingerPoint[],
  computed: Computed | null,
  scaled: boolean,
  colours: PlotColours,
): Panel {
  const counted = points.filter(isCounted)
  // One list for all that belongs to the frames: so they share their rows in the table.
  const x = points.map(({ time }) => time)
  const ends = [...counted.map(({ time }) => time), ...(computed?.time ?? [])]
  const tops = [
    ...counted.map(({ reading }) => reading.count + reading.countError),
    ...(computed?.count ?? []).filter(Number.isFinite),
  ]
  const xMax = roundUp(1.02 * Math.max(...ends, 1e-3), 10)
  const yMax = linearTicks(0, 2 * Math.max(...tops), 4, 1).find((tick) => tick >= 1.05 * Math.max(...tops))
  const line = { dash: [], width: 1.5, opacity: 1 }
  return {
    id: 'fingers',
    title: 'Fingers',
    xLabel: 't, s',
    yLabel: 'fingers round the rim',
    xColumn: 't_s',
    xMin: 0,
    xMax,
    yMin: 0,
    yMax: yMax ?? 1.1 * Math.max(...tops),
    logarithmic: false,
    weight: 1,
    showX: true,
    marks: [],
    columns: () => columnsOf(points, x, scaled),
    lines: [
      ...(computed && computed.time.length > 0
        ? [
            {
              ...line,
              key: 'computed',
              label: 'computed',
              column: 'fingers_computed',
              colour: colours.life,
              kind: 'line' as const,
              x: computed.time,
              y: computed.count,
            },
          ]
        : []),
      {
        ...line,
        key: 'counted',
        label: 'counted',
        column: 'fingers_counted',
        colour: colours.ink,
        kind: 'points',
        x,
        y: points.map(({ reading }) => reading.count),
        base: points.map(({ reading }) => reading.countError),
      },
    ],
  }
}

/** "30.0 ± 0.7 fingers, 4.1 mm apart". */
export const countWords = (count: number, error: number, spacing: number, scaled: boolean): string =>
  `${withError(count, error, 'fingers')}, ${plain(spacing * (scaled ? 1e3 : 1), 2)} ${scaled ? 'mm' : 'px'} apart`

/** What is computed at a moment, in two digits; '' where there is none. */
export function computedAt(computed: Computed | null, time: number): string {
  if (!computed || computed.time.length === 0) return ''
  const { time: times, count } = computed
  if (time < times[0]! || time > times.at(-1)!) return ''
  let k = 0
  while (k + 1 < times.length && times[k + 1]! <= time) k++
  return Number.isFinite(count[k]!) ? `about ${beadCount(count[k]!)}` : ''
}
