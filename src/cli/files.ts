/** Files that the user names: paths, reading, refusing. */
import { existsSync, readFileSync, realpathSync, statSync } from 'node:fs'
import { dirname, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'

const ROOT = fileURLToPath(new URL('../../', import.meta.url))

/** Path relative to where the user stands: npm changes into the project's folder and notes where it came from. */
export function userPath(path: string, env = process.env, cwd = process.cwd()): string {
  const byNpm = env.INIT_CWD && env.npm_lifecycle_event && resolve(cwd) === resolve(ROOT)
  return resolve(byNpm ? env.INIT_CWD! : cwd, path)
}

export type Read = { ok: true; text: string } | { ok: false; message: string }

const WHY: Record<string, string> = {
  ENOENT: 'there is no such file',
  EISDIR: 'this is a folder',
  EACCES: 'reading it is not permitted',
  ENOTDIR: 'there is no such file',
}

/** Reads a UTF-8 text file of at most `limit` bytes; says why not. */
export function readText(path: string, limit: number): Read {
  try {
    const { size } = statSync(path)
    if (size > limit) return { ok: false, message: `the file has ${size} bytes; at most ${limit} are read` }
    return { ok: true, text: new TextDecoder('utf-8', { fatal: true }).decode(readFileSync(path)) }
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? ''
    if (code === 'ERR_ENCODING_INVALID_ENCODED_DATA')
      return { ok: false, message: 'this is not a text in UTF-8' }
    return { ok: false, message: WHY[code] ?? (error as Error).message }
  }
}

export type ReadBytes = { ok: true; bytes: Uint8Array } | { ok: false; message: string }

/** Reads a file of at most `limit` bytes; says why not. */
export function readBytes(path: string, limit: number): ReadBytes {
  try {
    const { size } = statSync(path)
    if (size > limit) return { ok: false, message: `the file has ${size} bytes; at most ${limit} are read` }
    return { ok: true, bytes: readFileSync(path) }
  } catch (error) {
    return {
      ok: false,
      message: WHY[(error as NodeJS.ErrnoException).code ?? ''] ?? (error as Error).message,
    }
  }
}

const real = (path: string): string => (existsSync(path) ? realpathSync(path) : path)

/** Why `target` must not be written (it is an input, a folder, or its folder is missing); undefined if it may. */
export function whyNotWrite(target: string, input: string): string | undefined {
  if (real(target) === real(input)) return 'this is one of the inputs; it is not overwritten'
  if (existsSync(target) && statSync(target).isDirectory()) return 'this is a folder'
  if (!existsSync(dirname(target))) return 'its folder does not exist'
  return undefined
}
