/** The folder of a sweep: its files, and what is written there once and for all. */
import { createHash } from 'node:crypto'
import {
  accessSync,
  constants,
  linkSync,
  mkdirSync,
  readdirSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { join } from 'node:path'
import { jsonText } from '../../life/presetText.ts'
import { planObject } from '../../plan/sweep/checkPlan.ts'
import { planDifferences } from '../../plan/sweep/differences.ts'
import type { SweepPlan } from '../../plan/sweep/types.ts'
import { WrongInput } from '../command.ts'
import { readText, userPath } from '../files.ts'
import { whyUnwritten } from '../writing.ts'
import { PROGRAM } from './program.ts'

/** Longest plan that is read: a list of ten million rows is larger and wants a design. */
export const PLAN_BYTES = 200_000_000

/** What belongs to all rows (part 1 of 1) or to every n-th. */
export interface Shard {
  /** 1 … of. */
  part: number
  of: number
}

export const WHOLE: Shard = { part: 1, of: 1 }

export const shardName = ({ part, of }: Shard): string => (of === 1 ? 'all' : `${part}-of-${of}`)

/** Paths in a sweep's folder; `told` is the folder as the user named it. */
export interface SweepFolder {
  told: string
  plan: string
  program: string
  runs: string
  parquet: string
  csv: string
  failures: string
  /** Folder of journals and locks. */
  lives: string
}

export function folderAt(told: string): SweepFolder {
  const root = userPath(told)
  return {
    told,
    plan: join(root, 'plan.json'),
    program: join(root, 'program.json'),
    runs: join(root, 'runs.json'),
    parquet: join(root, 'results.parquet'),
    csv: join(root, 'results.csv'),
    failures: join(root, 'failures.csv'),
    lives: join(root, 'lives'),
  }
}

export const journalsIn = ({ lives }: SweepFolder, ending = '.journal'): string[] =>
  readdirSync(lives)
    .filter((name) => name.endsWith(ending))
    .sort(new Intl.Collator('en', { numeric: true }).compare)
    .map((name) => join(lives, name))

/** Does something that writes into the folder; a refusal of the system becomes a message. @throws WrongInput */
export function writing<T>(what: string, work: () => T, after = ''): T {
  try {
    return work()
  } catch (error) {
    throw new WrongInput([`${what}: ${whyFolder(error)}.${after}`])
  }
}

const whyFolder = (error: unknown): string =>
  ['EEXIST', 'ENOTDIR'].includes((error as NodeJS.ErrnoException).code ?? '')
    ? 'something in this path is a file, not a folder'
    : whyUnwritten(error)

/** A text that is written once: whoever comes first. It is whole or not there. */
export function writeOnce(path: string, text: string): void {
  if (statSync(path, { throwIfNoEntry: false })) return
  const beside = `${path}.${process.pid}.tmp`
  try {
    writeFileSync(beside, text)
    linkSync(beside, path)
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    // Some disks know no links.
    if (code === 'EPERM' || code === 'ENOTSUP') writeFileSync(path, text, { flag: 'wx' })
    else if (code !== 'EEXIST') throw error
  } finally {
    rmSync(beside, { force: true })
  }
}

export const planText = (plan: SweepPlan): string => jsonText(planObject(plan))

/** Names a plan; journals carry it. */
export const nameOfPlan = (plan: SweepPlan): string =>
  createHash('sha256')
    .update(JSON.stringify(planObject(plan)))
    .digest('hex')
    .slice(0, 32)

/** What a JSON file of the folder holds. @throws WrongInput */
function storedJson(path: string, told: string): unknown {
  const read = readText(path, PLAN_BYTES)
  if (!read.ok) throw new WrongInput([`${told}: ${read.message}.`])
  try {
    return JSON.parse(read.text)
  } catch {
    throw new WrongInput([`${told}: this is not JSON any more. Take another folder, or put the file right.`])
  }
}

function refuseOtherVersion(folder: SweepFolder): void {
  const told = `${folder.told}/program.json`
  const { version } = storedJson(folder.program, told) as { version?: unknown }
  if (version === PROGRAM) return
  throw new WrongInput([
    `${folder.told}: these lives were begun by version ${String(version)} of the program; this is ${PROGRAM}. One table is of one version: take another folder.`,
  ])
}

function refuseOtherPlan(plan: SweepPlan, folder: SweepFolder): void {
  const was = storedJson(folder.plan, `${folder.told}/plan.json`)
  const differences = planDifferences(was, JSON.parse(planText(plan)))
  if (differences.length === 0) return
  throw new WrongInput([
    `${folder.told} holds lives of another plan. Take another folder, or the plan that is there (plan.json).`,
    ...differences.map((difference) => `  ${difference}`),
  ])
}

/** Makes the folder where it is missing and puts plan and version there, or sees that they are those. @throws WrongInput */
export function openFolder(plan: SweepPlan, folder: SweepFolder): void {
  writing(`--out ${folder.told} cannot be used`, () => {
    mkdirSync(folder.lives, { recursive: true })
    accessSync(folder.lives, constants.W_OK)
  })
  writing(`${folder.told}/plan.json could not be written`, () => writeOnce(folder.plan, planText(plan)))
  refuseOtherPlan(plan, folder)
  writing(`${folder.told}/program.json could not be written`, () =>
    writeOnce(folder.program, jsonText({ program: 'rimtide', version: PROGRAM })),
  )
  refuseOtherVersion(folder)
}
