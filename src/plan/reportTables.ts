/** Tables of a report: what the life came to, and its numerical errors. Pure. */
import type { Life, OutcomeName } from '../life/types.ts'
import {
  type BeadFacts,
  bandWords,
  basisWords,
  beadFacts,
  type CalculatedBeads,
  tensionWords,
} from './beads.ts'
import { figure, withError } from './figures.ts'
import { reachAbout } from './reach.ts'
import type { SureBand } from './sureness.ts'
import { type Cell, type Column, column, type Table } from './table.ts'
import { thresholdOf } from './threshold.ts'

/** Numerical errors of a life, m and s; NaN where not known. */
export interface LifeUncertainty {
  radius: number
  collapse: number
}

const QUANTITY: readonly Column[] = [
  column('quantity', 'Quantity'),
  column('value', 'Value'),
  column('unit', 'Unit'),
  column('remark', 'Remark'),
]

type Row = readonly [string, Cell, string, string]

const row = (quantity: string, value: Cell, unit = '', remark = ''): Row => [quantity, value, unit, remark]

const known = (rows: readonly Row[]): Row[] =>
  rows.filter(([, value]) => {
    const number = typeof value === 'object' ? value.value : value
    return typeof number === 'string' || Number.isFinite(number)
  })

/** A value with its error, the error being part of what is shown. */
const pair = (value: number, error: number): Cell => ({ value, text: withError(value, error, '') })

/** A number of which two digits are worth telling. */
const short = (value: number): Cell => ({ value, text: figure(value, 2) })

const OUTCOMES: Record<OutcomeName, string> = {
  lens: 'stays a lens',
  spreads: 'spreads; still spread at the end of the computed time',
  recedes: 'spreads and draws back',
  sheds: 'spreads and sheds child drops',
  dries: 'dries where it lies',
  'reaches-wall': 'reaches the wall of the dish',
  failed: 'the calculation failed',
}

/** Collapse as the engine takes it. */
const COLLAPSE = 'radius below 0.3 of the largest, or below 1.2 times that of a resting lens'

function reachWords(band: SureBand | null, central: number): string {
  if (!band) return ''
  const { low, high } = reachAbout(band.reach.maxRadius, central)
  if (!(high > low)) return ''
  return `; ${figure(1e3 * low)} to ${figure(1e3 * high)} mm in 68 of 100 drops with the uncertain inputs drawn from their widths (${band.sure.lives} lives)`
}

function thresholdRow({ preset, facts }: Life): Row {
  const { kind, massFraction, percent } = thresholdOf(preset, facts)
  const name = 'Threshold of spreading'
  if (kind === 'never') return row(name, 'no mixture of this pair spreads')
  if (kind === 'always') return row(name, 'every mixture of this pair spreads')
  if (preset.drop.alcohol === 'reference') return row(name, percent, '% by volume')
  return row(name, 100 * massFraction, '% by mass', `${figure(percent)} % by volume at 20 °C`)
}

/** The beads of the rim; no rows where nothing is told of them. */
function beadRows(facts: BeadFacts | null): Row[] {
  if (!facts) return []
  const basis = basisWords(facts)
  if (facts.verdict === 'none') return [row('Beads on the rim', 'none expected', '', basis)]
  if (facts.verdict === 'depends') return [row('Beads on the rim', 'not certain', '', `that ${tensionWords}`)]
  const { count, spacing, from, dropRadius, atLargest } = facts
  const band = bandWords(facts)
  const both = `${basis}${band && `; ${band}`}`
  const largest = atLargest
    ? [
        row('Beads on the rim at the largest radius', short(atLargest.count), '', basis),
        row('their distance', short(1e3 * atLargest.spacing), 'mm', basis),
      ]
    : [row('Beads on the rim at the largest radius', 'faded', '', basis)]
  if (facts.verdict === 'late')
    return [row('Beads on the rim', 'lower than the rim until the drop is largest', '', both), ...largest]
  // The quick estimate has them far too early: it is trusted at the largest radius only.
  if (facts.by === 'life') return largest
  return [
    row('Beads on the rim from', short(from), 's', both),
    row('Beads round the drop then', short(count), '', basis),
    row('their distance', short(1e3 * spacing), 'mm', basis),
    row('radius of a drop from one of them', short(1e6 * dropRadius), 'µm', basis),
    ...largest,
  ]
}

/** What the life came to. */
export function resultTable(
  life: Life,
  error: LifeUncertainty,
  band: SureBand | null,
  fingers: CalculatedBeads | null = null,
): Table {
  const { summary: s, facts } = life
  const spread = s.outcome !== 'lens'
  const [from, to] = s.maxRadiusBand
  const children = s.childDrops.count > 0
  const reach = reachWords(band, s.maxRadius)
  const rows = [
    row('Outcome', OUTCOMES[s.outcome], '', s.cause),
    row(
      'Largest radius R_max',
      pair(1e3 * s.maxRadius, 1e3 * error.radius),
      'mm',
      error.radius > 0 ? `± numerical error${reach}` : reach.replace('; ', ''),
    ),
    row(
      'reached at',
      spread ? s.maxRadiusTime : Number.NaN,
      's',
      `within 1 % of it from ${figure(from)} to ${figure(to)} s`,
    ),
    row('Collapse', pair(s.collapseTime, error.collapse), 's', COLLAPSE),
    row('Life followed to', s.lifeEnd, 's'),
    row(
      'Thinnest film',
      1e6 * s.thinnest.thickness,
      'µm',
      `at ${figure(s.thinnest.time)} s, ${figure(1e3 * s.thinnest.radius)} mm from the centre`,
    ),
    ...beadRows(beadFacts(life, fingers)),
    row('First break-up of the rim', s.firstBreakUp, 's', 'an estimate'),
    row('Child drops, volume', children ? 1e9 * s.childDrops.volume : Number.NaN, 'µL', 'an estimate'),
    row(
      'Child drops, radius',
      children ? 1e6 * s.childDrops.medianRadius : Number.NaN,
      'µm',
      'half of their volume is in smaller ones; an estimate',
    ),
    row('Spreading parameter at the start S', 1e3 * facts.S0, 'mN/m'),
    row('Scale R*', 1e3 * s.scale.radius, 'mm', 'bath grouping'),
    row('Scale t*', s.scale.time, 's', 'bath grouping'),
    row('R_max/R*', s.scale.ratio),
    thresholdRow(life),
  ]
  return { title: 'What came out', columns: QUANTITY, rows: known(rows) }
}

const RAISED = '⁰¹²³⁴⁵⁶⁷⁸⁹'

/** "8.3 × 10⁻¹⁶". */
function powerText(value: number): string {
  if (value === 0) return '0'
  const [lead, exponent] = value.toExponential(1).split('e') as [string, string]
  const raised = [...exponent.replace('+', '')].map((sign) => (sign === '-' ? '⁻' : RAISED[Number(sign)]!))
  return `${lead} × 10${raised.join('')}`
}

/** Errors of the computing. */
export function errorsTable(life: Life, error: LifeUncertainty): Table {
  const { summary: s, frames, preset } = life
  const power = (value: number): Cell => ({ value, text: powerText(value) })
  const rows = [
    row(
      'Largest radius',
      short(1e3 * error.radius),
      'mm',
      'estimated from a coarser calculation of the same drop',
    ),
    row('Collapse', short(error.collapse), 's', 'estimated from a coarser calculation of the same drop'),
    row('Volume that is not accounted for', power(s.volumeClosure), '', 'of the volume at the start'),
    row('Alcohol that is not accounted for', power(s.alcoholClosure), '', 'of the alcohol at the start'),
    row('Cells', `${frames.inner} + ${frames.outer}`, '', 'under the drop and outside it'),
    row('Steps', String(s.steps), '', `accuracy "${preset.model.accuracy}"`),
  ]
  return { title: 'Numerical errors', columns: QUANTITY, rows: known(rows) }
}
