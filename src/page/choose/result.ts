/** What has come out: drops, expected errors, what cannot be told apart. */
import type { Preset } from '../../life/types.ts'
import { geometricMean } from '../../plan/choose/judged.ts'
import type { Choice } from '../../plan/choose/types.ts'
import { cellOf, expectedWords, headOf, measuringWords } from '../../plan/choose/words.ts'
import { column, type Table } from '../../plan/table.ts'
import { outcomeWord } from '../controls/track.ts'
import { el } from '../dom.ts'
import { plain } from '../format.ts'
import { tableView } from '../tableView.ts'

const percent = (share: number): string => `${plain(100 * share, 2)} %`

/** How much larger the errors of an even spread are, over all unknowns. */
function gainWords({ errors, even }: Choice): string {
  const ratio = geometricMean(errors.map(({ middle }, j) => even.errors[j]! / middle))
  if (ratio < 1.03) return 'As many drops spread evenly would tell about as much.'
  return `With as many drops spread evenly the errors would be ${plain(ratio, 2)} times as large (geometric mean).`
}

function dropsTable({ drops, vary, seen }: Choice, preset: Preset): Table {
  return {
    title: 'Drops to put down',
    columns: [
      column('times', 'How often'),
      ...vary.map(({ key }) => {
        const { label, unit } = headOf(key, preset)
        return column(label.toLowerCase(), label, unit)
      }),
      column('outcome', 'What it does'),
    ],
    rows: drops.map(({ candidate, times }) => [
      `${times} ×`,
      ...vary.map(({ key }, j) => cellOf(key, seen[candidate]!.values[j]!, preset)),
      outcomeWord[seen[candidate]!.outcome],
    ]),
  }
}

function errorsTable({ unknowns, errors, even }: Choice): Table {
  return {
    title: 'Expected errors (1 σ)',
    columns: [
      column('unknown', 'Unknown'),
      column('before', 'Beforehand'),
      column('after', 'With these drops'),
      column('range', 'From … to'),
      column('even', 'Spread evenly'),
    ],
    rows: unknowns.map((one, j) => [
      one.label,
      expectedWords(one, one.sigma / one.value),
      expectedWords(one, errors[j]!.middle),
      `${percent(errors[j]!.least)} … ${percent(errors[j]!.most)}`,
      percent(even.errors[j]!),
    ]),
  }
}

function correlationTable({ unknowns, correlation }: Choice): Table {
  const k = unknowns.length
  return {
    title: 'Correlations of the errors',
    columns: [
      column('unknown', 'Unknown'),
      ...unknowns.map(({ label }) => column(label.toLowerCase().replaceAll(' ', '_'), label)),
    ],
    rows: unknowns.map(({ label }, a) => [
      label,
      ...unknowns.map((_, b) => (a === b ? '1' : plain(correlation[a * k + b]!, 2))),
    ]),
  }
}

/** Tables and words of a choice. */
export function resultView(choice: Choice, preset: Preset): HTMLElement[] {
  const { warnings, notes, measuring, unknowns } = choice
  return [
    el('p', { class: 'lead' }, gainWords(choice)),
    ...warnings.map((warning) => el('p', { class: 'problem' }, warning)),
    tableView(dropsTable(choice, preset), 'rimtide-drops'),
    tableView(errorsTable(choice), 'rimtide-expected'),
    ...(unknowns.length > 1 ? [tableView(correlationTable(choice), 'rimtide-correlations')] : []),
    el(
      'ul',
      { class: 'note choose-notes' },
      ...[measuringWords(measuring), ...notes].map((note) => el('li', {}, note)),
    ),
  ]
}
