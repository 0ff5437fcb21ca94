/** The lives of rows, several at the same time; each row is handed on when it is done, in no order. */
import { attempt, type LifeRunner } from '../../life/lives.ts'
import type { LifeResult } from '../../life/types.ts'
import { pointsOf } from '../../plan/sweep/points.ts'
import { presetOfRow, type Row, refusedRow, rowOf } from '../../plan/sweep/rows.ts'
import type { SweepPlan } from '../../plan/sweep/types.ts'
import { breath } from '../breath.ts'

/** Lives under way for each that is computed at the same time: a long one then holds up no others. */
const AHEAD = 4
/** Time without letting messages, timers and signals in, ms. */
const LONGEST = 20

export interface Taking {
  /** A row is done. */
  take(row: number, values: Row): void
  /** True ends it: what is under way is given up. */
  stopped(): boolean
}

/** A life that was stopped is a part of itself, if anything; then nobody knows either why another broke off. */
const isWhole = (result: LifeResult, stopped: boolean): boolean =>
  result.ok ? result.life.status === 'done' : !stopped

/** Computes rows (from 0). Ends when all are taken, or soon after it was stopped. */
export async function computeRows(
  plan: SweepPlan,
  rows: Iterable<number>,
  run: LifeRunner,
  { take, stopped }: Taking,
): Promise<void> {
  const points = pointsOf(plan)
  const most = AHEAD * (run.atOnce ?? 1)
  let open = 0
  let wake: () => void = () => {}
  const troubles: unknown[] = []
  const ended = () =>
    new Promise<void>((resolve) => {
      wake = resolve
    })
  let breathed = performance.now()
  const compute = async (row: number): Promise<void> => {
    const made = presetOfRow(plan, points(row))
    if (!made.ok) return take(row, refusedRow(plan, made.problems))
    const result = await attempt(run, made.preset, { cancelled: stopped, bare: true })
    if (isWhole(result, stopped())) take(row, rowOf(plan, result))
  }
  for (const row of rows) {
    if (stopped() || troubles.length > 0) break
    open++
    void compute(row)
      .catch((error: unknown) => troubles.push(error))
      .finally(() => {
        open--
        wake()
      })
    if (performance.now() - breathed > LONGEST) {
      await breath()
      breathed = performance.now()
    }
    while (open >= most) await ended()
  }
  while (open > 0) await ended()
  if (troubles.length > 0) throw troubles[0]
}
