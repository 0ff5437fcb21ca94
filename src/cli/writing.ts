/** Writing: an input is never overwritten, a file is whole or stays as it was, what falls short is told. */
import {
  accessSync,
  closeSync,
  constants,
  fchmodSync,
  fchownSync,
  fstatSync,
  fsyncSync,
  openSync,
  readlinkSync,
  readSync,
  realpathSync,
  renameSync,
  rmSync,
  type Stats,
  statSync,
  writeFileSync,
  writeSync,
} from 'node:fs'
import { basename, dirname, join, resolve } from 'node:path'
import { isatty } from 'node:tty'

const WHY: Record<string, string> = {
  ENOSPC: 'the disk is full',
  EDQUOT: 'no more space is granted on this disk',
  EFBIG: 'the file would be larger than is permitted here',
  EROFS: 'nothing can be written there (read-only)',
  EACCES: 'writing there is not permitted',
  EPERM: 'writing there is not permitted',
  ENOENT: 'its folder does not exist',
  ENOTDIR: 'its folder does not exist',
  EISDIR: 'this is a folder',
  ELOOP: 'this is a link that leads back to itself',
  ENAMETOOLONG: 'the name is too long',
  EIO: 'the disk or terminal does not take it',
  ENXIO: 'nothing can be written there',
}

/** Why a file or the output could not be written, in words. */
export const whyUnwritten = (error: unknown): string =>
  WHY[(error as NodeJS.ErrnoException).code ?? ''] ?? (error as Error).message

/** What a path leads to; undefined where there is nothing. */
const found = (path: string): Stats | undefined => statSync(path, { throwIfNoEntry: false })

/** Where a file is or will be, links followed, also one that leads to a file still to be made. */
function placeOf(path: string, links = 0): string {
  if (found(path)) return realpathSync(path)
  const link = links < 40 ? linkOf(path) : undefined
  return link === undefined
    ? join(realpathSync(dirname(path)), basename(path))
    : placeOf(resolve(dirname(path), link), links + 1)
}

function linkOf(path: string): string | undefined {
  try {
    return readlinkSync(path)
  } catch {
    return undefined
  }
}

/** True if both lead to one file, whatever their names: hard links and symbolic ones, other spellings. */
function isSame(one: string, other: string): boolean {
  const [a, b] = [one, other].map((path) => statSync(path, { throwIfNoEntry: false, bigint: true }))
  return a && b ? a.dev === b.dev && a.ino === b.ino : one === other
}

/** Why `target` must not be written (it is an input, a folder, cannot be written); undefined if it may. */
export function whyNotWrite(target: string, inputs: readonly string[]): string | undefined {
  try {
    if (inputs.some((input) => isSame(target, input)))
      return 'this is one of the inputs; it is not overwritten'
    const before = found(target)
    if (before?.isDirectory()) return 'this is a folder'
    if (before) accessSync(target, constants.W_OK)
    if (before && !before.isFile()) return undefined
    const folder = dirname(placeOf(target))
    if (!found(folder)?.isDirectory()) return 'its folder does not exist'
    accessSync(folder, constants.W_OK)
    return undefined
  } catch (error) {
    return whyUnwritten(error)
  }
}

/** The new file gets the rights of the old one, and its owner where the system lets it. */
function takeAfter(file: number, before: Stats): void {
  try {
    fchownSync(file, before.uid, before.gid)
  } catch {
    // Only the superuser gives files away; the text is what counts.
  }
  fchmodSync(file, before.mode & 0o777)
}

/** Fills a file beside the place and renames it onto that once all is on the disk. @throws the error of the system; nothing is left behind */
function replace(place: string, before: Stats | undefined, fill: (file: number) => void): void {
  const beside = join(dirname(place), `.rimtide-${process.pid}-${Math.random().toString(36).slice(2)}.tmp`)
  const file = openSync(beside, 'wx', before ? 0o600 : 0o666)
  try {
    try {
      fill(file)
      if (before) takeAfter(file, before)
      fsyncSync(file)
    } finally {
      closeSync(file)
    }
    renameSync(beside, place)
  } catch (error) {
    rmSync(beside, { force: true })
    throw error
  }
}

/** True if this is the very file that standard output goes to: a new file in its place would lose what is printed. */
function isOutput(file: Stats): boolean {
  const output = fstatSync(1)
  return file.dev === output.dev && file.ino === output.ino
}

/**
 * Writes a file as a whole: an existing one is replaced only when the new one is on the disk. Pipes and devices cannot
 * be replaced and are written to. @throws the error of the system
 */
export function writeWhole(target: string, text: string | Uint8Array): void {
  const before = found(target)
  if (before && isOutput(before) && typeof text === 'string') printText(text)
  else if (before && (!before.isFile() || isOutput(before))) writeFileSync(target, text)
  else replace(placeOf(target), before, (file) => writeFileSync(file, text))
}

/** Copies what an open file holds onto the end of another, a piece at a time. */
function pour(from: number, onto: number): void {
  const piece = Buffer.alloc(1 << 20)
  for (let size = readSync(from, piece); size > 0; size = readSync(from, piece))
    for (let done = 0; done < size; ) done += writeSync(onto, piece, done, size - done)
}

/** As writeWhole, with what another file holds, of any size. @throws the error of the system */
export function copyWhole(source: string, target: string): void {
  const before = found(target)
  const from = openSync(source, 'r')
  try {
    if (before && isOutput(before)) pour(from, 1)
    else if (before && !before.isFile()) {
      const onto = openSync(target, 'a')
      try {
        pour(from, onto)
      } finally {
        closeSync(onto)
      }
    } else replace(placeOf(target), before, (file) => pour(from, file))
  } finally {
    closeSync(from)
  }
}

/** True if standard output goes to a file (or to a device that is no terminal). */
function outputIsFile(): boolean {
  if (isatty(1)) return false
  const stats = fstatSync(1)
  return stats.isFile() || stats.isCharacterDevice()
}

/**
 * Prints to standard output. A file gets all of it: Node's stream passes over a write that fell short, so that on a full
 * disk half a table would look like success. @throws the error of the system
 */
export function printText(text: string): void {
  if (outputIsFile()) writeFileSync(1, text)
  else process.stdout.write(text)
}

/** Ends the process where the output is gone: quietly where its reader has enough (`| head`), else with a message. */
export function endWithOutput(error: NodeJS.ErrnoException): never {
  if (error.code === 'EPIPE') process.exit(0)
  process.stderr.write(`${unprinted(error)}\n`)
  process.exit(2)
}

export const unprinted = (error: unknown): string => `The output cannot be written: ${whyUnwritten(error)}.`
