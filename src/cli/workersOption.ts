/** `--workers N` of the commands that compute many lives. */
import { wholeBetween } from './optionValues.ts'
import { usualThreads } from './threads.ts'

export const WORKERS_OPTION = { type: 'string' } as const

/** Help of the option, with its text beginning at a column. */
export const workersHelp = (column: number): string =>
  [
    `${'  --workers N'.padEnd(column)}threads that compute lives (here ${usualThreads()}: all cores but one, of two both);`,
    `${' '.repeat(column)}the results are the same for any number`,
  ].join('\n')

/** More than any machine at hand has. */
const MOST = 256

/** Number of threads. @throws Wrong */
export const workersOf = (text: string | undefined): number =>
  text === undefined ? usualThreads() : wholeBetween('workers', text, 1, MOST)
