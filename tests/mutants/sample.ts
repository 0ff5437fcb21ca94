/** All mutants of some files or folders, and a random sample of them. */
import { readdirSync, readFileSync, statSync } from 'node:fs'
import { join } from 'node:path'
import type { Mutant } from '@stryker-mutator/api/core'
import type { Logger } from '@stryker-mutator/api/logging'
import { Instrumenter, type InstrumenterOptions } from '@stryker-mutator/instrumenter'
import { randomStream } from '../../src/numerics/sampling/random.ts'

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
/** Declarations, what is made, and what only the other compiler reads. */
const NO_SOURCE = /\.(d|generated)\.ts$|\/assembly\//

export function filesOf(part: string): string[] {
  if (statSync(part).isFile()) return [part]
  return readdirSync(part)
    .sort()
    .flatMap((name) => filesOf(join(part, name)))
    .filter((path) => path.endsWith('.ts') && !NO_SOURCE.test(path))
}

export async function mutantsOf(files: readonly string[]): Promise<readonly Mutant[]> {
  const sources = files.map((name) => ({ name, content: readFileSync(name, 'utf8'), mutate: true }))
  const { mutants } = await new Instrumenter(QUIET).instrument(sources, OPTIONS)
  return mutants
}

/** `size` of them, each as likely as any other (Fisher and Yates); all if there are no more. The same seed gives the same. */
export function sampleOf<T>(all: readonly T[], size: number, seed: number): T[] {
  const rest = [...all]
  const next = randomStream(seed)
  const taken: T[] = []
  while (taken.length < size && rest.length > 0) {
    const at = Math.floor(next() * rest.length)
    taken.push(rest[at]!)
    rest[at] = rest.at(-1)!
    rest.pop()
  }
  return taken
}
