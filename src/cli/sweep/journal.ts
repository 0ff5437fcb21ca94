/**
 * The lives that are done, in the order in which they ended: a file to which lines are added, each with its checksum. Whatever
 * happens while one is written, those before it stay.
 */
import { closeSync, fstatSync, fsyncSync, ftruncateSync, openSync, readSync, writeSync } from 'node:fs'
import { crc32 } from 'node:zlib'
import type { Row } from '../../plan/sweep/rows.ts'

/** The first line: whose lives these are. */
export interface JournalHead {
  format: 'rimtide-sweep-lives'
  /** `nameOfPlan`. */
  plan: string
  program: string
  part: number
  of: number
}

const CHUNK = 1 << 20
const LINE_END = 10

const checksum = (text: Buffer): string => crc32(text).toString(16).padStart(8, '0')

/** A line: eight digits of checksum (CRC-32 of the rest), a space, JSON. */
function lineOf(value: unknown): Buffer {
  const text = Buffer.from(JSON.stringify(value))
  return Buffer.concat([Buffer.from(`${checksum(text)} `), text, Buffer.from('\n')])
}

/** @param row from 0 */
export const rowLine = (row: number, { outputs, outcome, cause }: Row): Buffer =>
  lineOf([row, outputs, outcome, cause])

/** What a line holds, without its end; undefined where it is not whole. */
function contentOf(line: Buffer): unknown {
  if (line.length < 10 || line[8] !== 32) return undefined
  const text = line.subarray(9)
  if (line.toString('latin1', 0, 8) !== checksum(text)) return undefined
  try {
    return JSON.parse(text.toString())
  } catch {
    return undefined
  }
}

/** The row of a line (without its end). */
export function rowOfLine(line: Buffer): { row: number; values: Row } | undefined {
  const value = contentOf(line)
  if (!Array.isArray(value)) return undefined
  const [row, outputs, outcome, cause] = value
  return { row, values: { outputs, outcome, cause } }
}

/** Calls `see` with every line that has an end; gives the length of all of them in bytes. Held in memory: one line and a part. */
function eachLine(file: number, see: (line: Buffer, offset: number) => void): number {
  const part = Buffer.alloc(CHUNK)
  let rest = Buffer.alloc(0)
  let start = 0
  for (let at = 0; ; ) {
    const count = readSync(file, part, 0, CHUNK, at)
    if (count === 0) return start
    at += count
    const held = rest.length > 0 ? Buffer.concat([rest, part.subarray(0, count)]) : part.subarray(0, count)
    let from = 0
    for (let end = held.indexOf(LINE_END); end >= 0; end = held.indexOf(LINE_END, from)) {
      see(held.subarray(from, end), start)
      start += end + 1 - from
      from = end + 1
    }
    rest = Buffer.from(held.subarray(from))
  }
}

export interface Scan {
  /** Undefined where the first line is torn or damaged. */
  head: JournalHead | undefined
  /** Bytes up to the end of the last line that has one. */
  length: number
  /** Lines that are not what was written (without the torn one at the end). */
  damaged: number
}

/** Reads a journal; `see` is told of each row, in the order of the file, with place and length of its line. @throws the error of the system */
export function scanJournal(
  path: string,
  see: (row: number, offset: number, length: number, values: Row) => void,
): Scan {
  const file = openSync(path, 'r')
  let head: JournalHead | undefined
  let damaged = 0
  try {
    const length = eachLine(file, (line, offset) => {
      if (offset === 0) {
        head = contentOf(line) as JournalHead | undefined
        return
      }
      const found = rowOfLine(line)
      if (found) see(found.row, offset, line.length, found.values)
      else damaged++
    })
    return { head, length, damaged }
  } finally {
    closeSync(file)
  }
}

/** Writes all of it. @throws the error of the system */
function writeAll(file: number, bytes: Buffer): void {
  for (let done = 0; done < bytes.length; ) done += writeSync(file, bytes, done)
}

/** Rows that wait at most before they are written, and for how long, ms. */
const MOST_WAITING = 200
const LONGEST_WAIT = 300
/** Time between two calls that bring what is written onto the disk itself, ms: what a power cut may cost. */
const SYNC = 5000

/** A journal that grows. Only one process may have it (`lock.ts`). */
export class Journal {
  private readonly file: number
  private length: number
  private waiting: Buffer[] = []
  /** Rows written since it was opened. */
  kept = 0
  private timer: ReturnType<typeof setTimeout> | undefined
  private synced = performance.now()
  /** The error of the system after which nothing more is written. */
  trouble: unknown

  /** Goes on after the last whole line of a file, or begins one. @throws the error of the system */
  constructor(path: string, head: JournalHead, length: number) {
    this.file = openSync(path, 'a')
    this.length = length
    try {
      // A line that was torn goes.
      if (fstatSync(this.file).size > length) ftruncateSync(this.file, length)
      if (length === 0) this.write([lineOf(head)])
    } catch (error) {
      closeSync(this.file)
      throw error
    }
  }

  /** Takes a row; it is on its way to the disk within a third of a second. */
  add(row: number, values: Row): void {
    if (this.trouble) return
    this.waiting.push(rowLine(row, values))
    if (this.waiting.length >= MOST_WAITING) this.flush()
    else this.timer ??= setTimeout(() => this.flush(), LONGEST_WAIT)
  }

  flush(): void {
    clearTimeout(this.timer)
    this.timer = undefined
    if (this.trouble || this.waiting.length === 0) return
    try {
      this.write(this.waiting)
      this.kept += this.waiting.length
      this.waiting = []
      if (performance.now() - this.synced > SYNC) this.sync()
    } catch (error) {
      this.trouble = error
    }
  }

  private write(lines: readonly Buffer[]): void {
    const bytes = Buffer.concat(lines)
    try {
      writeAll(this.file, bytes)
    } catch (error) {
      // What was written of it goes again, so that whole lines stay.
      ftruncateSync(this.file, this.length)
      throw error
    }
    this.length += bytes.length
  }

  private sync(): void {
    fsyncSync(this.file)
    this.synced = performance.now()
  }

  /** Writes what waits and lets go of the file; `trouble` tells whether all of it is there. */
  close(): void {
    this.flush()
    try {
      this.sync()
    } catch (error) {
      this.trouble ??= error
    }
    closeSync(this.file)
  }
}
