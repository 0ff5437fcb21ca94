/** Files that the user names: paths, and reading. */
import { closeSync, constants, fstatSync, openSync, readSync, type Stats, statSync } from 'node:fs'
import { resolve } from 'node:path'
import { fileURLToPath } from 'node:url'

const ROOT = fileURLToPath(new URL('../../', import.meta.url))

/** Path relative to where the user stands: npm changes into the project's folder and notes where it came from. */
export function userPath(path: string, env = process.env, cwd = process.cwd()): string {
  const byNpm = env.INIT_CWD && env.npm_lifecycle_event && resolve(cwd) === resolve(ROOT)
  return resolve(byNpm ? env.INIT_CWD! : cwd, path)
}

const WHY: Record<string, string> = {
  ENOENT: 'there is no such file',
  EISDIR: 'this is a folder',
  EACCES: 'reading it is not permitted',
  ENOTDIR: 'there is no such file',
  ELOOP: 'this is a link that leads back to itself',
  ENAMETOOLONG: 'there is no such file (the name is too long)',
}

/** Why this is nothing to read; a pipe may never end, a device neither, and nothing tells beforehand. */
function unreadable(stats: Stats): string | undefined {
  if (stats.isFile()) return undefined
  if (stats.isDirectory()) return 'this is a folder'
  if (stats.isFIFO() || stats.isSocket())
    return 'this is a pipe, not a file. Save what comes through it to a file first, and give that file'
  return 'this is a device, not a file'
}

const tooLarge = (size: number | string, limit: number): string =>
  `the file has ${size} bytes; at most ${limit} are read`

export type ReadBytes = { ok: true; bytes: Uint8Array } | { ok: false; message: string }

/** Up to `limit` bytes of an open file, whatever size it claims: it may grow meanwhile. */
function readOpen(file: number, limit: number): ReadBytes {
  const stats = fstatSync(file)
  const why = unreadable(stats) ?? (stats.size > limit ? tooLarge(stats.size, limit) : undefined)
  if (why) return { ok: false, message: why }
  const parts: Uint8Array[] = []
  let size = 0
  while (size <= limit) {
    const part = new Uint8Array(Math.max(65_536, stats.size + 1 - size))
    const count = readSync(file, part)
    if (count === 0) return { ok: true, bytes: Buffer.concat(parts) }
    parts.push(part.subarray(0, count))
    size += count
  }
  return { ok: false, message: tooLarge(`more than ${limit}`, limit) }
}

/** Reads a regular file of at most `limit` bytes; says why not. Never waits for a pipe or a device. */
export function readBytes(path: string, limit: number): ReadBytes {
  try {
    const why = unreadable(statSync(path))
    if (why) return { ok: false, message: why }
    const file = openSync(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0))
    try {
      return readOpen(file, limit)
    } finally {
      closeSync(file)
    }
  } catch (error) {
    return {
      ok: false,
      message: WHY[(error as NodeJS.ErrnoException).code ?? ''] ?? (error as Error).message,
    }
  }
}

export type Read = { ok: true; text: string } | { ok: false; message: string }

/** Reads a UTF-8 text file of at most `limit` bytes; says why not. */
export function readText(path: string, limit: number): Read {
  const read = readBytes(path, limit)
  if (!read.ok) return read
  try {
    return { ok: true, text: new TextDecoder('utf-8', { fatal: true }).decode(read.bytes) }
  } catch {
    return { ok: false, message: 'this is not a text in UTF-8' }
  }
}
