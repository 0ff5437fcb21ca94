/** A life as the command line shows it: JSON object, table, CSV. Units in the names. Pure. */
import { csvFormatRows } from 'd3-dsv'
import { alcoholShares } from '../life/alcoholShares.ts'
import { beadsOf } from '../life/beads.ts'
import { offNames, offNotice } from '../life/mechanisms.ts'
import { sampleSeries } from '../life/sample.ts'
import type { Life, LifeSeries, Summary } from '../life/types.ts'
import { figure } from '../plan/figures.ts'

interface Column {
  name: string
  field: keyof LifeSeries
  /** Output unit per SI unit. */
  scale: number
}

const column = (name: string, field: keyof LifeSeries, scale: number): Column => ({ name, field, scale })

const COLUMNS: readonly Column[] = [
  column('t_s', 't', 1),
  column('R_mm', 'R', 1e3),
  column('centre_um', 'centre', 1e6),
  column('thin_um', 'thin', 1e6),
  column('thinRadius_mm', 'thinRadius', 1e3),
  column('ring_um', 'ringHeight', 1e6),
  column('volume_uL', 'volume', 1e9),
  column('alcohol_uL', 'alcohol', 1e9),
  column('inOil_uL', 'inOil', 1e9),
]

/** null where the engine has no number; JSON knows neither NaN nor infinities. */
const known = (value: number): number | null => (Number.isFinite(value) ? value : null)

/** Columns of the series at even intervals (s), in output units. */
function seriesColumns(life: Pick<Life, 'series'>, every: number): Record<string, (number | null)[]> {
  const sampled = sampleSeries(life, every)
  return Object.fromEntries(
    COLUMNS.map(({ name, field, scale }) => [
      name,
      Array.from(sampled[field], (value) => known(value * scale)),
    ]),
  )
}

/** The beads of the rim as the life itself estimates them; null if they do not show before the largest radius. */
function beadsObject(life: Life): Record<string, number | null> | null {
  const beads = beadsOf(life)
  return (
    beads && {
      count: known(beads.count),
      spacing_mm: known(beads.spacing * 1e3),
      from_s: known(beads.from),
      dropRadius_um: known(beads.dropRadius * 1e6),
      countAtLargest: known(beads.atLargest.count),
      spacingAtLargest_mm: known(beads.atLargest.spacing * 1e3),
    }
  )
}

function summaryObject(s: Summary, wall: number): Record<string, unknown> {
  return {
    outcome: s.outcome,
    cause: s.cause,
    maxRadius_mm: known(s.maxRadius * 1e3),
    maxRadiusTime_s: known(s.maxRadiusTime),
    maxRadiusBand_s: s.maxRadiusBand.map(known),
    maxRadiusError_mm: known(s.maxRadiusError * 1e3),
    collapseTime_s: known(s.collapseTime),
    collapseTimeError_s: known(s.collapseTimeError),
    lifeEnd_s: known(s.lifeEnd),
    cut: s.cut,
    otherOutcome: s.otherOutcome || null,
    scale: {
      radius_mm: known(s.scale.radius * 1e3),
      time_s: known(s.scale.time),
      ratio: known(s.scale.ratio),
    },
    volumeClosure: known(s.volumeClosure),
    alcoholClosure: known(s.alcoholClosure),
    childDrops: {
      count: known(s.childDrops.count),
      volume_uL: known(s.childDrops.volume * 1e9),
      medianRadius_um: known(s.childDrops.medianRadius * 1e6),
    },
    firstBreakUp_s: known(s.firstBreakUp),
    thinnest: {
      thickness_um: known(s.thinnest.thickness * 1e6),
      radius_mm: known(s.thinnest.radius * 1e3),
      time_s: known(s.thinnest.time),
    },
    steps: s.steps,
    wall_ms: known(wall),
  }
}

/** The object of --json; `every` in s, `wall` in ms. */
export function jsonObject(life: Life, every: number, wall: number): Record<string, unknown> {
  const { title } = life.preset
  const head = summaryObject(life.summary, wall)
  return {
    title,
    ...head,
    beads: beadsObject(life),
    switchedOff: offNames(life.preset),
    warnings: life.facts.warnings,
    series: seriesColumns(life, every),
  }
}

type Columns = Record<string, (number | null)[]>

/** The series as CSV, header first, empty where there is no number. `more` gives further columns at its times (s). */
export function csvText(
  life: Life,
  every: number,
  more: (times: readonly (number | null)[]) => Columns = () => ({}),
): string {
  const series: Columns = seriesColumns(life, every)
  const columns: Columns = { ...series, ...more(series.t_s!) }
  const names = Object.keys(columns)
  const rows = columns.t_s!.map((_, i) => names.map((name) => String(columns[name]![i] ?? '')))
  return `${csvFormatRows([names, ...rows])}\n`
}

/** Four digits; a dash where there is no number. */
const digits = (value: number | null): string => {
  if (value === null) return '–'
  const size = Math.abs(value)
  if (size >= 1e4 && size < 1e7) return value.toFixed(0)
  return size > 0 && (size < 1e-4 || size >= 1e7) ? value.toExponential(2) : value.toPrecision(4)
}

const OUTCOMES: Record<Summary['outcome'], string> = {
  lens: 'stays a lens',
  spreads: 'spreads, and is still spread at the end',
  recedes: 'spreads and draws back',
  sheds: 'spreads and sheds drops',
  dries: 'dries without drawing back',
  'reaches-wall': 'reaches the wall of the dish',
  failed: 'the run failed',
}

function beadsText(life: Life): string {
  const beads = beadsOf(life)
  if (!beads) return 'none before the largest radius (quick estimate)'
  const { count, spacing, from, atLargest } = beads
  const two = (value: number) => figure(value, 2)
  return `${two(count)} from ${two(from)} s on, ${two(spacing * 1e3)} mm apart; ${two(atLargest.count)} at the largest radius (quick estimate)`
}

/** Where the alcohol has gone, in parts of what there was. */
function sharesText(life: Life): string {
  const shares = alcoholShares(life.series)
  if (!shares) return 'none'
  const part = (share: number) => `${figure(100 * share, 2)} %`
  const { air, oil, childDrops, drop } = shares
  return `${part(air)} in the air, ${part(oil)} in the oil, ${part(childDrops)} in child drops, ${part(drop)} in the drop`
}

function summaryLines(life: Life, wall: number): string[] {
  const s = life.summary
  const of = (value: number, scale: number, unit: string) =>
    Number.isFinite(value) ? `${digits(known(value * scale))} ${unit}` : '–'
  const pairs: [string, string][] = [
    ['outcome', `${OUTCOMES[s.outcome]}${s.cause ? ` (${s.cause})` : ''}`],
    ...(s.otherOutcome
      ? [['in doubt', `a slightly different calculation: ${OUTCOMES[s.otherOutcome]}`] as [string, string]]
      : []),
    ['largest radius', `${of(s.maxRadius, 1e3, 'mm')} at ${of(s.maxRadiusTime, 1, 's')}`],
    ['within 1 % of it', `${s.maxRadiusBand.map((t) => digits(known(t))).join(' to ')} s`],
    ['collapse', of(s.collapseTime, 1, 's')],
    ['end', of(s.lifeEnd, 1, 's')],
    ['scales R*, t*', `${of(s.scale.radius, 1e3, 'mm')}, ${of(s.scale.time, 1, 's')}`],
    ['beads', beadsText(life)],
    [
      'child drops',
      s.childDrops.volume > 0
        ? `${digits(known(s.childDrops.count))}, ${of(s.childDrops.volume, 1e9, 'µL')} in all`
        : 'none',
    ],
    ['alcohol at end', sharesText(life)],
    [
      'unaccounted for',
      `volume ${s.volumeClosure.toExponential(1)}, alcohol ${s.alcoholClosure.toExponential(1)}`,
    ],
    ['computed in', `${of(wall, 1, 'ms')}, ${s.steps} steps`],
  ]
  return pairs.map(([name, value]) => `${name.padEnd(18)}${value}`)
}

/** The readable table; `every` in s, `wall` in ms. */
export function tableText(life: Life, every: number, wall: number): string {
  const columns = seriesColumns(life, every)
  const names = Object.keys(columns)
  const cells = columns.t_s!.map((_, i) => names.map((name) => digits(columns[name]![i]!)))
  const line = (row: string[]) => row.map((cell) => cell.padStart(14)).join('')
  const title = life.preset.title ? [life.preset.title, ''] : []
  const notice = offNotice(life.preset)
  const warnings = life.facts.warnings.map((warning) => `note: ${warning}`)
  return `${[...title, ...(notice ? [notice, ''] : []), ...summaryLines(life, wall), ...warnings, '', line(names), ...cells.map(line)].join('\n')}\n`
}
