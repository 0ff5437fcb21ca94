/** A choice of drops as readable text and as an object. Pure. */
import type { Preset } from '../life/types.ts'
import { commonWords, plannedRuns } from '../plan/choose/runPlan.ts'
import type { Choice, Cost } from '../plan/choose/types.ts'
import { dropWords, expectedWords, measuringWords } from '../plan/choose/words.ts'
import { figure } from '../plan/figures.ts'

/** Cells in columns; the first to the left, the others to the right. */
function table(rows: readonly string[][]): string[] {
  const widths = rows[0]!.map((_, i) => Math.max(...rows.map((row) => row[i]!.length)))
  return rows.map(
    (row) =>
      `  ${row.map((text, i) => (i === 0 ? text.padEnd(widths[0]!) : text.padStart(widths[i]!))).join('  ')}`,
  )
}

const percent = (share: number): string => `${figure(100 * share, 2)} %`

export const costText = ({ kinds, combinations, draws, lives }: Cost): string =>
  `${kinds === combinations ? `${kinds} kinds of drops` : `${kinds} of ${combinations} kinds of drops`} at ${draws} ${draws === 1 ? 'value' : 'values'} of the unknowns: ${lives} quick lives, and a finer one of each kind.\n`

function errorLines({ unknowns, errors, even }: Choice): string[] {
  return table([
    ['unknown', 'beforehand', 'with these drops', 'from … to', 'spread evenly'],
    ...unknowns.map((one, j) => [
      one.label,
      expectedWords(one, one.sigma / one.value),
      expectedWords(one, errors[j]!.middle),
      `${percent(errors[j]!.least)} … ${percent(errors[j]!.most)}`,
      percent(even.errors[j]!),
    ]),
  ])
}

function correlationLines({ unknowns, correlation }: Choice): string[] {
  const k = unknowns.length
  return unknowns.flatMap((one, a) =>
    unknowns.slice(a + 1).map((other, i) => {
      const rho = correlation[a * k + a + 1 + i]!
      return `  ${one.label} with ${other.label}: ${figure(rho, 2)}`
    }),
  )
}

/** The whole text. */
export function chooseText(choice: Choice, preset: Preset): string {
  const { vary, drops, seen, unknowns, curve, warnings, notes, optimal, seed, lives } = choice
  const words = (candidate: number) => dropWords(vary, seen[candidate]!.values, preset)
  const count = drops.reduce((sum, { times }) => sum + times, 0)
  const runs = plannedRuns(choice, preset)
  const correlations = correlationLines(choice)
  const lines = [
    ...(preset.title ? [preset.title, ''] : []),
    `${count} ${count === 1 ? 'drop' : 'drops'} of ${seen.length} kinds (${optimal}-optimal, seed ${seed}, ${lives} lives)`,
    ...drops.map(({ candidate, times }) => `  ${times} × ${words(candidate)}  (${seen[candidate]!.outcome})`),
    '',
    'Expected errors (1 σ)',
    ...errorLines(choice),
    ...(correlations.length > 0 ? ['', 'Correlations', ...correlations] : []),
    '',
    'With more or fewer drops: error of each unknown, chosen (spread evenly)',
    ...table([
      ['drops', ...unknowns.map(({ label }) => label)],
      ...curve.map(({ drops: n, chosen, even }) => [
        String(n),
        ...chosen.map((error, j) => `${percent(error)} (${percent(even[j]!)})`),
      ]),
    ]),
    '',
    `Runs in random order (seed ${seed})`,
    `  ${commonWords(choice, preset)}`,
    ...runs.map(({ run, words: of }) => `  ${String(run).padStart(2)}  ${of}`),
    '',
    ...warnings.map((warning) => `warning: ${warning}`),
    `note: ${measuringWords(choice.measuring)}`,
    ...notes.map((note) => `note: ${note}`),
  ]
  return `${lines.join('\n')}\n`
}

/** The object of --json. */
export function chooseObject(choice: Choice, preset: Preset): Record<string, unknown> {
  const { unknowns, vary, errors, correlation, even, seen, curve } = choice
  const k = unknowns.length
  const values = (candidate: number) =>
    Object.fromEntries(vary.map(({ key }, j) => [key, seen[candidate]!.values[j]!]))
  const drop = ({ candidate, times }: Choice['drops'][number]) => ({
    ...values(candidate),
    times,
    outcome: seen[candidate]!.outcome,
    remark: seen[candidate]!.remark,
  })
  const byPath = (list: readonly number[]) =>
    Object.fromEntries(unknowns.map(({ path }, j) => [path, list[j]]))
  return {
    title: preset.title,
    optimal: choice.optimal,
    seed: choice.seed,
    measuring: choice.measuring,
    kinds: seen.length,
    combinations: choice.combinations,
    forbidden: choice.forbidden,
    lives: choice.lives,
    drops: choice.drops.map(drop),
    runs: plannedRuns(choice, preset).map(({ run, candidate }) => ({ run, ...values(candidate) })),
    unknowns: unknowns.map((one, j) => ({
      ...one,
      relativeError: errors[j]!.middle,
      relativeErrorRange: [errors[j]!.least, errors[j]!.most],
      relativeErrorEven: even.errors[j]!,
    })),
    correlation: Array.from({ length: k }, (_, a) => Array.from(correlation.subarray(a * k, (a + 1) * k))),
    even: even.drops.map(drop),
    byNumber: curve.map(({ drops, chosen, even: spread }) => ({
      drops,
      relativeError: byPath(chosen),
      relativeErrorEven: byPath(spread),
    })),
    warnings: choice.warnings,
    notes: choice.notes,
  }
}
