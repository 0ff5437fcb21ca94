/** Which test files share a process, and which take a few of many cases: read from their text. */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'

export const ROOT = join(import.meta.dirname, '..')

/** The page's modules and the workers keep state, and what `vi` replaces is replaced for all. */
const KEEPS_STATE = /src\/page\/|\/workers\/|import \{[^}]*\bvi\b[^}]*\} from 'vitest'/

/** `long.ts` says how many cases. */
const MANY_CASES = /'\.\.\/fixtures\/long\.ts'/

const filesWith = (pattern: RegExp): string[] =>
  ['unit', 'verification'].flatMap((folder) =>
    readdirSync(join(ROOT, 'tests', folder))
      .filter((name) => name.endsWith('.test.ts'))
      .map((name) => `tests/${folder}/${name}`)
      .filter((file) => pattern.test(readFileSync(join(ROOT, file), 'utf8'))),
  )

/** Test files that need a process of their own, from the project's folder on. */
export const filesApart = (): string[] => filesWith(KEEPS_STATE)

/** Test files of many cases, from the project's folder on. */
export const filesOfMany = (): string[] => filesWith(MANY_CASES)
