/** On which machine lives were computed, when and how fast: kept apart from the results, which know no clock. */
import { randomBytes } from 'node:crypto'
import { appendFileSync, readFileSync } from 'node:fs'
import { cpus, hostname, release, totalmem, type } from 'node:os'
import { join } from 'node:path'
import { jsonText } from '../../life/presetText.ts'
import { writeWhole } from '../writing.ts'
import { journalsIn, type Shard, type SweepFolder, shardName } from './folder.ts'
import { PROGRAM } from './program.ts'

const ENDING = '.runs.jsonl'

/** "Linux 6.1, AMD EPYC, 2 cores". */
export function machineWords(): string {
  const processors = cpus()
  return `${hostname()}: ${type()} ${release()}, ${processors[0]?.model.trim() || 'unknown processor'}, ${processors.length} cores`
}

/** Notes that a call begins; what it gives notes its end. Nothing hangs on these notes, so that none of them can fail. */
export function noteRun(folder: SweepFolder, shard: Shard, workers: number): (lives: number) => void {
  const path = join(folder.lives, `${shardName(shard)}${ENDING}`)
  const call = randomBytes(4).toString('hex')
  const note = (what: object) => {
    try {
      appendFileSync(path, `${JSON.stringify({ call, ...what })}\n`)
    } catch {
      // A full disk is told where lives are written.
    }
  }
  const began = new Date()
  note({
    shard: shardName(shard),
    machine: machineWords(),
    memory_GB: Math.round(totalmem() / 1e8) / 10,
    node: process.version,
    program: PROGRAM,
    workers,
    began: began.toISOString(),
  })
  return (lives) => {
    const ended = new Date()
    const seconds = (ended.getTime() - began.getTime()) / 1000
    note({ ended: ended.toISOString(), lives, livesPerS: Number((lives / seconds).toPrecision(4)) })
  }
}

/** Joins the notes of all calls into runs.json, a group a call. @throws the error of the system */
export function writeRuns(folder: SweepFolder): void {
  const calls = new Map<string, object>()
  for (const path of journalsIn(folder, ENDING)) {
    for (const line of readFileSync(path, 'utf8').split('\n')) {
      try {
        const { call, ...what } = JSON.parse(line)
        calls.set(call, { ...calls.get(call), ...what })
      } catch {
        // Torn, or the empty one at the end.
      }
    }
  }
  writeWhole(folder.runs, jsonText([...calls.values()]))
}
