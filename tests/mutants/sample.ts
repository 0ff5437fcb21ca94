/** All mutants of some files or folders, and a random sample of them. */
import { readdirSync, readFileSync, statSync } from 'node:fs'
import { join } from 'node:path'
import type { Mutant } from '@stryker-mutator/api/core'
import type { Logger } from '@stryker-mutator/api/logging'
import { Instrumenter, type InstrumenterOptions } from '@stryker-mutator/instrumenter'

const silent = (): void => {}
const no = (): boolean => false
const QUIET: Logger = {
  isTraceEnabled: no,
  isDebugEnabled: no,
  isInfoEnabled: no,
  isWarnEnabled: no,
  isErrorEnabled: no,
  isFatalEnabled: no,
  trace: silent,
  debug: silent,
  info: silent,
  warn: silent,
  error: silent,
  fatal: silent,
}

const OPTIONS: InstrumenterOptions = { plugins: null, excludedMutations: [], ignorers: [], noHeader: true }

/** TypeScript files of a file or folder, in order of their names. */
export function filesOf(part: string): string[] {
  if (statSync(part).isFile()) return [part]
  return readdirSync(part)
    .sort()
    .flatMap((name) => filesOf(join(part, name)))
    .filter((path) => path.endsWith('.ts') && !path.endsWith('.d.ts'))
}

export async function mutantsOf(files: readonly string[]): Promise<readonly Mutant[]> {
  const sources = files.map((name) => ({ name, content: readFileSync(name, 'utf8'), mutate: true }))
  const { mutants } = await new Instrumenter(QUIET).instrument(sources, OPTIONS)
  return mutants
}

/** Numbers from 0 to 1 by a seed: mulberry32 (T. Ettinger, public domain, from memory). */
function chance(seed: number): () => number {
  let state = seed | 0
  return () => {
    state = (state + 0x6d2b79f5) | 0
    let x = Math.imul(state ^ (state >>> 15), 1 | state)
    x = (x + Math.imul(x ^ (x >>> 7), 61 | x)) ^ x
    return ((x ^ (x >>> 14)) >>> 0) / 2 ** 32
  }
}

/** `size` of them, each as likely as any other (Fisher and Yates); all if there are no more. The same seed gives the same. */
export function sampleOf<T>(all: readonly T[], size: number, seed: number): T[] {
  const rest = [...all]
  const next = chance(seed)
  const taken: T[] = []
  while (taken.length < size && rest.length > 0) {
    const at = Math.floor(next() * rest.length)
    taken.push(rest[at]!)
    rest[at] = rest.at(-1)!
    rest.pop()
  }
  return taken
}
