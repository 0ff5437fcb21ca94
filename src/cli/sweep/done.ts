/** Which rows are done, and where in the journals they stand: 14 bytes a row, however long the rows are. */
import { closeSync, openSync, readSync } from 'node:fs'
import { basename } from 'node:path'
import { firstOf } from '../../life/problemWords.ts'
import type { Row } from '../../plan/sweep/rows.ts'
import { WrongInput } from '../command.ts'
import { journalsIn, type Shard, type SweepFolder, WHOLE } from './folder.ts'
import { rowOfLine, type Scan, scanJournal } from './journal.ts'
import { PROGRAM } from './program.ts'

export class DoneRows {
  private readonly offsets: Float64Array
  private readonly lengths: Uint32Array
  /** Number of the journal from 1; 0: not done. */
  private readonly sources: Uint16Array
  private readonly paths: string[] = []
  private readonly files: number[] = []
  private buffer = Buffer.alloc(4096)
  /** Rows done. */
  count = 0
  /** Lines that are not what was written. */
  damaged = 0
  /** The shards whose journals are there. */
  readonly shards: Shard[] = []

  constructor(readonly rows: number) {
    this.offsets = new Float64Array(rows)
    this.lengths = new Uint32Array(rows)
    this.sources = new Uint16Array(rows)
  }

  has(row: number): boolean {
    return this.sources[row] !== 0
  }

  /** Takes in a journal: rows that are known already count once. @throws WrongInput where it is of another plan */
  scan(path: string, plan: string, told: string): Scan {
    const source = this.paths.push(path)
    const scan = scanJournal(path, (row, offset, length) => {
      if (!(row >= 0 && row < this.rows) || this.has(row)) return
      this.sources[row] = source
      this.offsets[row] = offset
      this.lengths[row] = length
      this.count++
    })
    this.damaged += scan.damaged
    const { head } = scan
    const name = `${told}/lives/${basename(path)}`
    if (!head && scan.length > 0)
      throw new WrongInput([
        `${name}: its first line is damaged, so that nobody knows whose lives these are. Take it out of this folder.`,
      ])
    if (!head) return scan
    if (head.plan !== plan)
      throw new WrongInput([`${name} holds lives of another plan. Take it out of this folder.`])
    if (head.program !== PROGRAM)
      throw new WrongInput([
        `${name} was begun by version ${head.program} of the program, this is ${PROGRAM}. One table is of one version.`,
      ])
    this.shards.push({ part: head.part, of: head.of })
    return scan
  }

  /** What stands in the journal for a row. @throws the error of the system, or WrongInput where it has changed */
  read(row: number): Row {
    const source = this.sources[row]!
    const length = this.lengths[row]!
    this.files[source] ??= openSync(this.paths[source - 1]!, 'r')
    const file = this.files[source]
    if (this.buffer.length < length) this.buffer = Buffer.alloc(2 * length)
    readSync(file, this.buffer, 0, length, this.offsets[row]!)
    const found = rowOfLine(this.buffer.subarray(0, length))
    if (found?.row === row) return found.values
    throw new WrongInput([`${this.paths[source - 1]} was changed while it was read. Call again.`])
  }

  close(): void {
    for (const file of this.files) if (file !== undefined) closeSync(file)
    this.files.length = 0
  }
}

/** All journals of a folder. @throws WrongInput, or the error of the system */
export function doneIn(folder: SweepFolder, plan: string, rows: number): DoneRows {
  const done = new DoneRows(rows)
  for (const path of journalsIn(folder)) done.scan(path, plan, folder.told)
  return done
}

/** The rows of a shard, from 0: every n-th, so that each gets its share of the slow ones. */
export function* rowsOf({ part, of }: Shard, rows: number): Generator<number> {
  for (let row = part - 1; row < rows; row += of) yield row
}

/** The first `most` ranges of rising numbers, counted from 1: "4, 9 to 12 and more". */
function ranges(rows: Iterable<number>, most: number): string {
  const found: { from: number; to: number }[] = []
  for (const row of rows) {
    const last = found.at(-1)
    if (last && row === last.to + 1) last.to = row
    else if (found.push({ from: row, to: row }) > most) break
  }
  const told = found.slice(0, most)
  const words = told.map(({ from, to }) => (from === to ? `${from + 1}` : `${from + 1} to ${to + 1}`))
  return `${words.join(', ')}${found.length > most ? ' and more' : ''}`
}

function* missingOf(done: DoneRows, shard: Shard): Generator<number> {
  for (const row of rowsOf(shard, done.rows)) if (!done.has(row)) yield row
}

const countOf = (things: Iterable<unknown>): number => {
  let count = 0
  for (const _ of things) count++
  return count
}

/** What is missing, in words: by shard where the journals tell into how many the rows were cut. */
export function missingWords(done: DoneRows): string[] {
  const of = Math.max(1, ...done.shards.map((shard) => shard.of))
  const head = `${done.rows - done.count} of ${done.rows} rows are missing.`
  const rows = ranges(missingOf(done, WHOLE), 12)
  if (of === 1) return [head, `Rows ${rows}.`]
  const parts = Array.from({ length: of }, (_, i) => ({ part: i + 1, of }))
    .map((shard) => ({ shard, missing: countOf(missingOf(done, shard)) }))
    .filter(({ missing }) => missing > 0)
    .map(({ shard, missing }) => {
      const begun = done.shards.some(({ part, of }) => part === shard.part && of === shard.of)
      return `Shard ${shard.part}/${of}: ${missing} rows${begun ? '' : ' (not begun)'}.`
    })
  return [head, ...firstOf(parts, 15), `Rows ${rows}.`]
}
