/** Computes the rows of a shard that are not done yet, and keeps each as soon as it is. */
import { join } from 'node:path'
import type { LifeRunner } from '../../life/lives.ts'
import type { SweepPlan } from '../../plan/sweep/types.ts'
import { type Output, tell, WrongInput } from '../command.ts'
import { whyUnwritten } from '../writing.ts'
import { computeRows } from './computing.ts'
import { DoneRows, rowsOf } from './done.ts'
import { journalsIn, nameOfPlan, type Shard, type SweepFolder, shardName, writing } from './folder.ts'
import { Journal } from './journal.ts'
import { type Lock, withLock } from './lock.ts'
import { PROGRAM } from './program.ts'
import { Progress } from './progress.ts'
import { noteRun } from './runs.ts'
import type { Stop } from './stop.ts'

export interface Part {
  plan: SweepPlan
  folder: SweepFolder
  shard: Shard
  workers: number
  run: LifeRunner
  to: Output
  stop: Stop
  terminal: boolean
}

/** The rows that are done, and the journal to go on with. */
function begin({ plan, folder, shard, to }: Part): { done: DoneRows; journal: Journal } {
  const path = join(folder.lives, `${shardName(shard)}.journal`)
  const done = new DoneRows(plan.count)
  const name = nameOfPlan(plan)
  const own = `${folder.told}/lives/${shardName(shard)}.journal`
  return writing(`${own} could not be opened`, () => {
    let length = 0
    for (const one of journalsIn(folder)) {
      const scan = done.scan(one, name, folder.told)
      if (one === path) length = scan.length
    }
    if (done.damaged > 0)
      tell(to, [`${folder.told}: ${done.damaged} damaged lines; these lives are computed again.`])
    const head = { format: 'rimtide-sweep-lives' as const, plan: name, program: PROGRAM, ...shard }
    return { done, journal: new Journal(path, head, length) }
  })
}

const countMissing = (done: DoneRows, shard: Shard): { all: number; missing: number } => {
  let [all, missing] = [0, 0]
  for (const row of rowsOf(shard, done.rows)) {
    all++
    if (!done.has(row)) missing++
  }
  return { all, missing }
}

function* missingRows(done: DoneRows, shard: Shard): Generator<number> {
  for (const row of rowsOf(shard, done.rows)) if (!done.has(row)) yield row
}

/** What ended the work before it was done. @throws WrongInput */
function refuseTrouble(journal: Journal, lock: Lock, folder: SweepFolder, kept: number, all: number): void {
  const go = `${kept} of ${all} lives are kept; the same call goes on with the rest`
  if (journal.trouble)
    throw new WrongInput([
      `${folder.told}: lives could not be written: ${whyUnwritten(journal.trouble)}. ${go} once that is put right.`,
    ])
  if (lock.lost)
    throw new WrongInput([
      `${folder.told} was taken over by another process, or its lock was removed. ${go}.`,
    ])
}

async function work(part: Part, lock: Lock): Promise<number> {
  const { plan, folder, shard, run, to, stop, terminal } = part
  const { done, journal } = begin(part)
  const { all, missing } = countMissing(done, shard)
  if (missing === 0) {
    journal.close()
    return 0
  }
  if (missing < all) tell(to, [`${all - missing} of ${all} lives are there already.`])
  const progress = new Progress(all - missing, all, to.err, terminal)
  const ended = noteRun(folder, shard, part.workers)
  let computed = 0
  try {
    await computeRows(plan, missingRows(done, shard), run, {
      take(row, values) {
        journal.add(row, values)
        progress.add()
        computed++
      },
      stopped: () => stop.code !== 0 || journal.trouble !== undefined || lock.lost,
    })
  } finally {
    progress.end()
    journal.close()
    ended(journal.kept)
  }
  const kept = all - missing + journal.kept
  refuseTrouble(journal, lock, folder, kept, all)
  if (computed === missing) return 0
  tell(to, [`Stopped. ${kept} of ${all} lives are kept; the same call goes on with the rest.`])
  return stop.code
}

/** Gives the exit code: 0, or that of a stop. @throws WrongInput */
export function computePart(part: Part): Promise<number> {
  const { folder, shard, to } = part
  const what = shard.of === 1 ? folder.told : `${folder.told} (shard ${shard.part}/${shard.of})`
  return withLock(folder, shardName(shard), what, to, (lock) => work(part, lock))
}
