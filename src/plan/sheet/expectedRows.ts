/** Rows of the lab sheet on what the drop will do. */

import { alcoholShares } from '../../life/alcoholShares.ts'
import { bathWarnings } from '../../life/bathFlow.ts'
import { drawnToPoint } from '../../life/mechanisms.ts'
import type { Life, OutcomeName } from '../../life/types.ts'
import { MOST_WAVES } from '../../rim/scope.ts'
import { type BeadFacts, bandWords, basisWords, tensionWords } from '../beads.ts'
import { chanceList } from '../chanceWords.ts'
import { figure } from '../figures.ts'
import { thresholdOf } from '../threshold.ts'
import { uncertainOf } from '../uncertain.ts'
import { row, type SheetFigures, type SheetRow, type SheetWish } from './types.ts'

const OUTCOMES: Record<OutcomeName, string> = {
  lens: 'stays a lens',
  spreads: 'spreads; what comes after was not computed',
  recedes: 'spreads, then draws back',
  sheds: 'spreads and sheds child drops',
  dries: 'spreads and dries where it lies',
  'reaches-wall': 'reaches the wall of the dish',
  failed: 'not known',
}

const aboutCount = (n: number): string =>
  n < 1e6 ? `about ${figure(n, 2)}` : `about ${figure(n / 1e6, 2)} million`

/** The beads of the rim: how many, how far apart, from when on, and what that is worth. */
function beadRow(facts: BeadFacts | null): SheetRow[] {
  if (!facts) return []
  const { verdict, count, spacing, from, atLargest } = facts
  if (verdict === 'none') return [row('Beads on the rim', 'none expected', '', basisWords(facts))]
  if (verdict === 'depends') return [row('Beads on the rim', 'not certain', '', `that ${tensionWords}`)]
  const most = atLargest
    ? `${aboutCount(atLargest.count)}, ${figure(1e3 * atLargest.spacing, 2)} mm apart, when largest`
    : 'faded when largest'
  const band = bandWords(facts)
  const basis = `${basisWords(facts)}${band && `; ${band}`}`
  if (verdict === 'late') return [row('Beads on the rim', 'weak', '', `${most}; ${basis}`)]
  // The quick estimate has them far too early: it is trusted at the largest radius only.
  if (facts.by === 'life' && atLargest) {
    const apart = `${figure(1e3 * atLargest.spacing, 2)} mm apart when largest`
    return [row('Beads on the rim', aboutCount(atLargest.count), '', `${apart}; ${basis}`)]
  }
  const first = `${figure(1e3 * spacing, 2)} mm apart from ${figure(from, 2)} s on`
  return [
    row(
      'Beads on the rim',
      count >= MOST_WAVES ? 'at least 1000' : aboutCount(count),
      '',
      `${first}; ${most}; ${basis}`,
    ),
  ]
}

/** What the oil takes of the alcohol; nothing where it takes none. */
function uptakeRow({ series, preset, facts }: Life): SheetRow[] {
  const shares = alcoholShares(series)
  if (!(shares && shares.oil > 0)) return []
  const own =
    preset.bath.solubility === undefined
      ? `known to within a factor of ${figure(facts.uptake.factor, 2)}`
      : ''
  return [row('Taken up by the oil', figure(100 * shares.oil, 2), '% of the alcohol', own)]
}

export function expectedRows({ life, band, nearest }: SheetWish, f: SheetFigures): SheetRow[] {
  const { summary, preset } = life
  const { low, central, high } = f.maxRadius_mm
  const others = (band?.outcomes ?? []).filter((name) => name !== summary.outcome)
  const id = band?.reach.maxRadius.most
  const most = id && uncertainOf(id)
  const [from, to] = summary.maxRadiusBand
  const range = high - low > 0.005 * central ? `${figure(low)} to ${figure(high)} mm` : ''
  const why = most ? `, changed most by the ${most.label} (${most.amount(most.width(preset))})` : ''
  return [
    row(
      'Outcome',
      drawnToPoint(life) ? 'is drawn together to a point' : OUTCOMES[summary.outcome],
      '',
      others.length > 0 ? `with the uncertain inputs drawn from their widths: ${chanceList(band!.sure)}` : '',
    ),
    row(
      'Largest radius',
      central,
      'mm',
      range && `${range} in 68 of 100 drops with the uncertain inputs drawn from their widths${why}`,
    ),
    ...(summary.outcome === 'lens'
      ? []
      : [row('Largest at', f.maxRadiusTime_s, 's', `within 1 % from ${figure(from)} to ${figure(to)} s`)]),
    ...(Number.isFinite(f.collapseTime_s) ? [row('Collapse', f.collapseTime_s, 's')] : []),
    row('Followed to', f.lifeEnd_s, 's'),
    ...(summary.thinnest.thickness > 0
      ? [
          row(
            'Thinnest film',
            1e6 * summary.thinnest.thickness,
            'µm',
            `at ${figure(summary.thinnest.time)} s, ${figure(1e3 * summary.thinnest.radius)} mm from the centre`,
          ),
        ]
      : []),
    ...uptakeRow(life),
    ...beadRow(f.beads),
    ...(summary.childDrops.count > 0
      ? [
          row(
            'Child drops',
            aboutCount(summary.childDrops.count),
            '',
            `an estimate; half of their volume is in drops below ${figure(1e6 * summary.childDrops.medianRadius, 2)} µm radius`,
          ),
        ]
      : []),
    row('Threshold', thresholdOf(life.preset, life.facts).words),
    ...(nearest?.kind === 'stronger' ? [row('To make it spread', nearest.words)] : []),
    ...bathWarnings(life.series, life.facts).map((words) => row('Note', words)),
  ]
}
