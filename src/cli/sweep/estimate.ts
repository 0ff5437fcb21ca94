/** What a sweep will take, from a few of its lives. */
import { runHere } from '../../life/hands.ts'
import { attempt } from '../../life/lives.ts'
import { pointsOf } from '../../plan/sweep/points.ts'
import { columnsOf, presetOfRow, type Row, refusedRow, rowOf } from '../../plan/sweep/rows.ts'
import type { SweepPlan } from '../../plan/sweep/types.ts'
import { rowLine } from './journal.ts'
import { durationWords } from './progress.ts'
import { machineWords } from './runs.ts'

/** Lives tried, and the time after which no other is begun, ms. */
const TRIED = 12
const LONGEST = 10_000

/** Rows spread evenly over the plan, both ends included. */
const spreadOver = (count: number, most: number): number[] => {
  const tried = Math.min(count, most)
  return Array.from({ length: tried }, (_, i) => Math.round((i * (count - 1)) / Math.max(1, tried - 1)))
}

interface Tried {
  rows: { row: number; values: Row }[]
  /** Mean time of a row, s. */
  each: number
}

async function tryRows(plan: SweepPlan): Promise<Tried> {
  const points = pointsOf(plan)
  const compute = async (row: number): Promise<Row> => {
    const made = presetOfRow(plan, points(row))
    return made.ok
      ? rowOf(plan, await attempt(runHere, made.preset, { bare: true }))
      : refusedRow(plan, made.problems)
  }
  const chosen = spreadOver(plan.count, TRIED)
  // The first life of a process is slow.
  await compute(chosen[0]!)
  const began = performance.now()
  const rows: Tried['rows'] = []
  for (const row of chosen) {
    rows.push({ row, values: await compute(row) })
    if (performance.now() - began > LONGEST) break
  }
  return { rows, each: (performance.now() - began) / rows.length / 1000 }
}

const sizeWords = (bytes: number): string =>
  bytes < 1e6
    ? `${Math.ceil(bytes / 1e3)} kB`
    : bytes < 1e9
      ? `${(bytes / 1e6).toPrecision(3)} MB`
      : `${(bytes / 1e9).toPrecision(3)} GB`

/** Number of lives, time and size, in words. @param rows those that are still to be computed */
export async function estimateText(plan: SweepPlan, rows: number, workers: number): Promise<string> {
  const tried = await tryRows(plan)
  const columns = columnsOf(plan)
  const line =
    tried.rows.reduce((sum, { row, values }) => sum + rowLine(row, values).length, 0) / tried.rows.length
  const table = line + plan.inputs.length * 18
  const packed = 8 * columns.length
  const varied = plan.inputs.map(({ key }) => key).join(', ')
  const rest = rows < plan.count ? `, of which ${rows} are still to be computed` : ''
  return [
    `${plan.count} lives (${plan.design} over ${varied}), ${plan.outputs.length} outputs each${rest}.`,
    `About ${durationWords((rows * tried.each) / workers)} with ${workers} ${workers === 1 ? 'worker' : 'workers'}, if each is as fast as one alone: ${tried.rows.length} of the lives took ${(1000 * tried.each).toPrecision(3)} ms each.`,
    `About ${sizeWords(plan.count * (line + table + packed))} on the disk: ${sizeWords(plan.count * line)} of lives, ${sizeWords(plan.count * table)} results.csv, ${sizeWords(plan.count * packed)} results.parquet.`,
    `On ${machineWords()}.`,
    '',
  ].join('\n')
}
