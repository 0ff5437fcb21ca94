/** The command `sweep`: many lives of one preset → a table. */
import type { EventEmitter } from 'node:events'
import { existsSync } from 'node:fs'
import type { LifeRunner } from '../life/lives.ts'
import type { SweepPlan } from '../plan/sweep/types.ts'
import { answer, demand, mayWrite, type Output, TERMINAL, tell, WrongInput } from './command.ts'
import { userPath } from './files.ts'
import { readSweep, type SweepCommand } from './sweep/args.ts'
import { doneIn, missingWords, rowsOf } from './sweep/done.ts'
import { estimateText } from './sweep/estimate.ts'
import {
  folderAt,
  nameOfPlan,
  openFolder,
  type Shard,
  type SweepFolder,
  WHOLE,
  writing,
} from './sweep/folder.ts'
import { withLock } from './sweep/lock.ts'
import { computePart } from './sweep/part.ts'
import { loadPlan } from './sweep/planFile.ts'
import { type Outcomes, writeResults } from './sweep/results.ts'
import { writeRuns } from './sweep/runs.ts'
import { arrayOf, shardOfTask } from './sweep/shard.ts'
import { Stop } from './sweep/stop.ts'
import { withThreads } from './threads.ts'
import { copyWhole } from './writing.ts'

/** What lies around the command; replaced in tests. */
export interface Surroundings {
  /** Whoever computes the lives, instead of threads. */
  run?: LifeRunner
  /** Where SIGINT and SIGTERM come from. */
  signals: EventEmitter
  /** Whether a line of progress may be written over. */
  terminal: boolean
  env: NodeJS.ProcessEnv
}

const REAL: Surroundings = { signals: process, terminal: process.stderr.isTTY === true, env: process.env }

function summaryText(plan: SweepPlan, folder: SweepFolder, { counts, failed, refused }: Outcomes): string {
  const outcomes = [...counts].sort(([a], [b]) => (a < b ? -1 : 1)).map(([name, count]) => `${name} ${count}`)
  const bad = failed + refused > 0 ? [`With their causes: ${folder.told}/failures.csv.`] : []
  return `${[`${plan.count} lives in ${folder.told}: results.parquet, results.csv.`, `Outcomes: ${outcomes.join(', ')}.`, ...bad].join('\n')}\n`
}

/** Writes the results of a folder in which all rows are done; gives the exit code. */
async function collect(
  plan: SweepPlan,
  folder: SweepFolder,
  csv: string | undefined,
  to: Output,
  stop: Stop,
): Promise<number> {
  return withLock(folder, 'results', `${folder.told} (results)`, to, async () => {
    const done = writing(`${folder.told} could not be read`, () =>
      doneIn(folder, nameOfPlan(plan), plan.count),
    )
    if (done.damaged > 0)
      tell(to, [`${folder.told}: ${done.damaged} damaged lines of lives are passed over.`])
    if (done.count < plan.count) throw new WrongInput([`${folder.told}: ${missingWords(done).join(' ')}`])
    const outcomes = await writeResults(plan, folder, done, () => stop.code !== 0)
    if (!outcomes) return stop.code
    writing(`${folder.told}/runs.json could not be written`, () => writeRuns(folder))
    if (csv !== undefined)
      writing(`--csv ${csv} could not be written`, () => copyWhole(folder.csv, userPath(csv)))
    to.out(summaryText(plan, folder, outcomes))
    return 0
  })
}

/** Where lives of a plan already stand: how many are still to be computed. */
function stillToDo(plan: SweepPlan, folder: SweepFolder | undefined, shard: Shard): number {
  const done = folder && existsSync(folder.lives) ? doneIn(folder, nameOfPlan(plan), plan.count) : undefined
  let count = 0
  for (const row of rowsOf(shard, plan.count)) if (!done?.has(row)) count++
  return count
}

async function compute(
  asked: SweepCommand & { kind: 'compute' },
  to: Output,
  around: Surroundings,
  stop: Stop,
): Promise<number> {
  const { plan, notes, files } = demand(loadPlan(asked.plan))
  tell(to, notes)
  const folder = folderAt(asked.folder)
  mayWrite(asked.csv, [asked.plan, ...files, folder.plan, folder.parquet])
  openFolder(plan, folder)
  const task = asked.shard ? undefined : arrayOf(around.env)
  const shard = asked.shard ?? (task ? shardOfTask(task, folder) : WHOLE)
  const code = await withThreads(asked.workers, around.run, (run) =>
    computePart({ plan, folder, shard, workers: asked.workers, run, to, stop, terminal: around.terminal }),
  )
  if (code !== 0) return code
  if (shard.of === 1) return collect(plan, folder, asked.csv, to, stop)
  to.out(
    `Shard ${shard.part}/${shard.of} is done. When all are, sweep --collect ${folder.told} writes the results.\n`,
  )
  return 0
}

async function work(asked: SweepCommand, to: Output, around: Surroundings): Promise<number> {
  if (asked.kind === 'dry') {
    const { plan, notes } = demand(loadPlan(asked.plan))
    tell(to, notes)
    const folder = asked.folder === undefined ? undefined : folderAt(asked.folder)
    to.out(await estimateText(plan, stillToDo(plan, folder, asked.shard ?? WHOLE), asked.workers))
    return 0
  }
  const stop = new Stop(around.signals)
  try {
    if (asked.kind === 'compute') return await compute(asked, to, around, stop)
    const folder = folderAt(asked.folder)
    if (!existsSync(folder.plan))
      throw new WrongInput([`--collect ${asked.folder}: this is no folder of a sweep (it has no plan.json).`])
    const { plan } = demand(loadPlan(folder.plan))
    mayWrite(asked.csv, [folder.plan, folder.parquet])
    openFolder(plan, folder)
    return await collect(plan, folder, asked.csv, to, stop)
  } finally {
    stop.end()
  }
}

/** Runs the command; gives the exit code (0 done, 2 wrong input or output, 130 and 143 stopped). */
export function main(
  argv: string[],
  to: Output = TERMINAL,
  around: Partial<Surroundings> = {},
): Promise<number> {
  return answer(
    to,
    () => readSweep(argv),
    (asked) => work(asked, to, { ...REAL, ...around }),
  )
}
