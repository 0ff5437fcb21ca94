/** Sensitivities as sentences, tables and one object: what page and command line show. Pure. */
import type { Index } from '../numerics/sampling/sensitivity.ts'
import { figure, withError } from './figures.ts'
import type { OutputShares, Sensitivity } from './sensitivity.ts'
import { type Column, column, type Table } from './table.ts'

/** An input of one output with its shares. */
export interface Ranked extends Index {
  id: string
  label: string
  amount: string
}

/** The inputs of an output, the one that makes most of the spread first; empty where no index is told. */
export function ranked({ inputs }: Pick<Sensitivity, 'inputs'>, { indices }: OutputShares): Ranked[] {
  if (!indices) return []
  return inputs.map((input, k) => ({ ...input, ...indices[k]! })).sort((a, b) => b.first - a.first)
}

const share = (value: number, error: number): string => withError(100 * value, 100 * error, '%')

/** Shares that differ by less than this many standard errors are not told apart. */
const APART = 1
/** What all inputs together leave of the spread alone, from which on it is told. */
const TOGETHER = 0.1

/** Why nothing is told of an output. */
function silence({ label, used, left, spread }: OutputShares): string {
  if (used > 0 && spread === 0) return `The ${label} is the same in all lives.`
  const some = left > 0 ? ` (${left} more hold lives that have none)` : ''
  return `Too few lives tell of the ${label}: ${used} base points${some}.`
}

/**
 * "What matters most for the largest radius is the evaporation: knowing it would take 72 ± 5 % of the spread away."
 * Spread: the variance. Where two cannot be told apart it names both.
 */
export function mattersMost(so: Sensitivity, output: OutputShares): string {
  const [most, next] = ranked(so, output)
  if (!most) return silence(output)
  const [one, other] = [most, next].map((input) => input && `the ${input.label} (${input.amount})`)
  const known = (input: Ranked): string => share(input.first, input.firstError)
  const near = next && most.first - next.first < APART * Math.hypot(most.firstError, next.firstError)
  const first = near
    ? `What matters most for the ${output.label} is ${one} or ${other}: knowing the one would take ${known(most)} of the spread away, knowing the other ${known(next)}.`
    : `What matters most for the ${output.label} is ${one}: knowing it would take ${known(most)} of the spread away.`
  const alone = ranked(so, output).reduce((sum, { first: part }) => sum + part, 0)
  const error = Math.hypot(...ranked(so, output).map(({ firstError }) => firstError))
  // Where inputs act together the totals count that for each of them: they come to more than all.
  const totals = ranked(so, output).reduce((sum, { total }) => sum + total, 0)
  const together =
    1 - alone > TOGETHER && 1 - alone > 2 * error && totals > 1
      ? ` ${figure(100 * (1 - alone), 2)} % come from inputs only in company with others.`
      : ''
  return `${first}${together}`
}

/** "largest radius 20.1 ± 2.2 mm in these lives". */
export const spreadWords = ({ label, mean, spread, unit }: OutputShares): string =>
  Number.isFinite(mean) && spread >= 0 ? `${label} ${withError(mean, spread, unit)} in these lives` : ''

/** Why the inputs that are left out are left out; '' where none is. */
export const leftWords = ({ left }: Sensitivity): string =>
  left.length > 0 ? `Left out: ${left.map(({ label, reason }) => `${label} (${reason})`).join('; ')}.` : ''

/** Lives that failed; '' where none did. */
export const failedWords = ({ failed, failures }: Sensitivity): string =>
  failed > 0
    ? `${failed} lives failed and are left out with the others of their base point: ${failures.join(' ')}`
    : ''

const COLUMNS: readonly Column[] = [
  column('output', 'of'),
  column('input', 'input'),
  column('width', 'known within'),
  { ...column('first_percent', 'alone', '%'), digits: 2 },
  { ...column('first_error_percent', '± 1 σ', '%'), digits: 2 },
  { ...column('total_percent', 'with others', '%'), digits: 2 },
  { ...column('total_error_percent', '± 1 σ', '%'), digits: 2 },
]

/** All shares of some outputs, the largest first. */
export function sharesTable(so: Sensitivity, outputs: readonly OutputShares[] = so.outputs): Table {
  return {
    title: 'Where the spread comes from',
    columns: COLUMNS,
    rows: outputs.flatMap((output) =>
      ranked(so, output).map((input) => [
        output.label,
        input.label,
        input.amount,
        100 * input.first,
        100 * input.firstError,
        100 * input.total,
        100 * input.totalError,
      ]),
    ),
  }
}

const known = (value: number): number | null => (Number.isFinite(value) ? value : null)

/** One object, shares as fractions of the variance; null where there is none. */
export function sensitivityObject(so: Sensitivity): Record<string, unknown> {
  return {
    status: so.status,
    basePoints: so.done,
    basePointsWanted: so.base,
    lives: so.lives,
    failed: so.failed,
    failures: so.failures,
    inputs: so.inputs,
    leftOut: so.left,
    outputs: so.outputs.map((output) => ({
      id: output.id,
      label: output.label,
      unit: output.unit,
      mean: known(output.mean),
      standardDeviation: known(output.spread),
      basePointsUsed: output.used,
      basePointsLeftOut: output.left,
      words: mattersMost(so, output),
      shares:
        output.indices &&
        ranked(so, output).map(({ id, first, firstError, total, totalError }) => ({
          input: id,
          first: known(first),
          firstError: known(firstError),
          total: known(total),
          totalError: known(totalError),
        })),
    })),
  }
}

const BAR = 30
const bar = (part: number): string => '#'.repeat(Math.round(BAR * Math.min(1, Math.max(0, part))))

function outputLines(so: Sensitivity, output: OutputShares): string[] {
  const rows = ranked(so, output).map(({ label, amount, first, firstError, total, totalError }) =>
    `  ${label.padEnd(32)}${amount.padEnd(26)}${share(first, firstError).padStart(15)}${share(total, totalError).padStart(15)}  ${bar(total)}`.trimEnd(),
  )
  const head = `  ${'input'.padEnd(32)}${'known within (1 σ)'.padEnd(26)}${'alone'.padStart(15)}${'with others'.padStart(15)}`
  const left = output.left > 0 ? [`  ${output.left} base points hold lives without it and are left out.`] : []
  return [
    mattersMost(so, output),
    ...(rows.length > 0 ? [`  ${spreadWords(output)}`, head, ...rows] : []),
    ...left,
    '',
  ]
}

/** The report as text. */
export function sensitivityText(title: string, so: Sensitivity): string {
  return [
    ...(title ? [title] : []),
    `${so.lives} lives at ${so.done} base points, quick mesh. Alone: the part of the spread (variance) that goes when this input is known;`,
    'with others: the part that stays if all but this are known. ± is one standard error (bootstrap).',
    '',
    ...so.outputs.flatMap((output) => outputLines(so, output)),
    ...[leftWords(so), failedWords(so)].filter(Boolean),
    '',
  ].join('\n')
}
