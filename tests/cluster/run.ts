/**
 * `npm run cluster`: a sweep as a job array of a real Slurm on this machine. Two of eight tasks are lost (one process killed,
 * one task cancelled), sent again, collected; the bytes must be those of a run without a cluster. Exit code 0: so it is, or
 * Slurm cannot be had here (which is told); 1: not so.
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { launch, ROOT } from '../fixtures/spawned.ts'
import { SweepPlace, smallPlan } from '../fixtures/sweeps.ts'
import { Slurm, whyNoSlurm } from './slurm.ts'

const COUNT = 400
const TASKS = 8
const SCRIPT = join(ROOT, 'src/cli/cluster/sweep.sh')

const began = performance.now()
const log = (text: string) =>
  console.log(`${((performance.now() - began) / 1000).toFixed(1).padStart(6)} s  ${text}`)

function must(condition: boolean, what: string): void {
  log(`${condition ? 'yes' : 'NO '}  ${what}`)
  if (!condition) process.exitCode = 1
}

const place = new SweepPlace(smallPlan(COUNT))
const journal = (part: number) => place.at('cluster', 'lives', `${part}-of-${TASKS}.journal`)
const rowsIn = (part: number): number =>
  existsSync(journal(part)) ? place.rows('cluster', `${part}-of-${TASKS}`).length : 0

/** Waits until a task is in the midst of its rows. */
async function underWay(part: number): Promise<void> {
  while (rowsIn(part) === 0) await wait(50)
  log(`task ${part} has ${rowsIn(part)} of ${COUNT / TASKS} lives`)
}

async function lose(slurm: Slurm, job: string): Promise<void> {
  await underWay(1)
  const { pid } = JSON.parse(readFileSync(place.at('cluster', 'lives', `1-of-${TASKS}.lock`), 'utf8'))
  process.kill(pid, 'SIGKILL')
  log(`process ${pid} of task 1 killed (kill -9)`)
  await underWay(3)
  slurm.call('scancel', `${job}_3`)
  log('task 3 cancelled (scancel)')
}

async function throughSlurm(slurm: Slurm): Promise<void> {
  const send = (array: string) =>
    slurm.send(place.root, { RIMTIDE: ROOT }, `--array=${array}`, SCRIPT, 'plan.json', 'cluster')
  const job = send(`1-${TASKS}`)
  log(`job ${job}: an array of ${TASKS} tasks`)
  await lose(slurm, job)
  await slurm.done(job)
  const early = await launch(['sweep', '--collect', place.at('cluster')])
  log(`collect: ${early.err.trim().replace(place.root, '…')}`)
  must(
    early.code === 2 && /Shard 1\/8: \d+ rows\. Shard 3\/8: \d+ rows\. Rows/.test(early.err),
    'the two lost parts are missing, and named',
  )
  const kept = [rowsIn(1), rowsIn(3)]
  const again = send('1,3')
  log(`job ${again}: tasks 1 and 3 sent again`)
  await slurm.done(again)
  for (const name of readdirSync(place.root).filter((file) => file.startsWith(`rimtide-sweep-${again}`)))
    log(`${name}: ${place.text(name).trim().split('\n').join(' | ').replaceAll(place.root, '…')}`)
  must(
    rowsIn(1) + rowsIn(3) === (2 * COUNT) / TASKS,
    `tasks 1 and 3 went on after ${kept.join(' and ')} lives`,
  )
  const collected = await launch(['sweep', '--collect', place.at('cluster')])
  log(`collect: ${collected.out.trim().split('\n').join(' | ').replace(place.root, '…')}`)
  must(collected.code === 0, 'all is collected')
}

async function main(): Promise<void> {
  const why = whyNoSlurm()
  if (why) {
    console.log(`Slurm cannot be had here: ${why}. 0 passed, 0 failed, 1 skipped`)
    return
  }
  const alone = await launch(['sweep', place.at('plan.json'), '--out', place.at('alone')])
  must(alone.code === 0, `${COUNT} lives without a cluster`)
  const slurm = await Slurm.begin(place.at())
  log(`Slurm is up: ${slurm.call('sinfo', '-h', '-o', '%n, %c CPUs, %T, Slurm %v').trim()}`)
  try {
    await throughSlurm(slurm)
  } finally {
    await slurm.end()
    log('munged, slurmctld and slurmd have ended')
  }
  const [one, other] = [place.results('alone'), place.results('cluster')]
  for (const name of Object.keys(one)) must(one[name] === other[name], `${name}: the same bytes`)
  console.log(process.exitCode ? '0 passed, 1 failed, 0 skipped' : '1 passed, 0 failed, 0 skipped')
}

try {
  await main()
} finally {
  place.end()
}
