/**
 * `npm run mutants -- [PARTS] [--sample N] [--seed N]`: small changes are made to the code one at a time (mutants), and the
 * tests that pass there must notice. Whole folders take many hours: `--sample` takes N mutants of each part, each as likely
 * as any other, and tells the score's standard error. Appends to history.json; prints the survivors.
 */
import { execSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import type { LogLevel, Mutant, MutantResult, PartialStrykerOptions } from '@stryker-mutator/api/core'
import { Stryker } from '@stryker-mutator/core'
import { keyOf } from './key.mjs'
import { filesOf, mutantsOf, sampleOf } from './sample.ts'
import { type Score, scoreOf } from './score.ts'

const PARTS = ['src/engine', 'src/model', 'src/numerics', 'src/life', 'src/plan', 'src/measured']
const HISTORY = join(import.meta.dirname, 'history.json')

const HELP = `npm run mutants -- [PARTS] [--sample N] [--seed N] [--processes N]

  PARTS          files or folders (${PARTS.join(', ')})
  --sample N     so many mutants of each part (all)    --seed N       seed of the sample (1)
  --processes N  at a time (1)                         --tests 'A B'  only these test files (globs): quicker, a lower bound
`

/** Lines of the chosen mutants only are changed: the rest of the code runs at its own speed. */
const rangesOf = (chosen: Awaited<ReturnType<typeof mutantsOf>>): string[] =>
  chosen.map(({ fileName, location: { start, end } }) => `${fileName}:${start.line + 1}-${end.line + 1}`)

const optionsOf = (mutate: string[], concurrency: number): PartialStrykerOptions => ({
  mutate,
  concurrency,
  testRunner: 'vitest',
  plugins: ['@stryker-mutator/vitest-runner', join(import.meta.dirname, 'plugins.mjs')],
  checkers: ['chosen'],
  coverageAnalysis: 'perTest',
  ignoreStatic: true,
  reporters: ['survivors'],
  logLevel: 'error' as LogLevel,
  tempDirName: '.mutants',
  cleanTempDir: 'always',
  ignorePatterns: ['dist', 'pictures'],
  disableTypeChecks: false,
  // The compiler that this project uses has no programming interface to rewrite its configuration with.
  tsconfigFile: 'none.json',
  timeoutMS: 30_000,
  dryRunTimeoutMinutes: 30,
  ...({ vitest: { configFile: 'tests/mutants/vitest.config.ts', related: true } } as object),
})

/** Results count lines and columns from 1, mutants from 0. */
const fromNought = ({ location: { start, end } }: MutantResult): Mutant['location'] => ({
  start: { line: start.line - 1, column: start.column - 1 },
  end: { line: end.line - 1, column: end.column - 1 },
})

interface Entry extends Score {
  date: string
  version: string
  part: string
  sample: { size: number; of: number; seed: number }
  /** Only these tests were run, if not all but the long ones. */
  tests?: string
}

function write(entry: Entry): void {
  const history = JSON.parse(readFileSync(HISTORY, 'utf8')) as Entry[]
  writeFileSync(HISTORY, `${JSON.stringify([...history, entry], null, 1)}\n`)
}

const versionOf = (): string => {
  const { version } = JSON.parse(readFileSync('package.json', 'utf8')) as { version: string }
  return `${version} ${execSync('git rev-parse --short HEAD', { encoding: 'utf8' }).trim()}`
}

async function runPart(
  part: string,
  size: number,
  seed: number,
  processes: number,
  tests = '',
): Promise<void> {
  const all = await mutantsOf(filesOf(part))
  const chosen = sampleOf(all, size, seed)
  const scratch = mkdtempSync(join(tmpdir(), 'rimtide-mutants-'))
  const list = join(scratch, 'chosen.json')
  writeFileSync(list, JSON.stringify(chosen.map(keyOf)))
  Object.assign(process.env, { RIMTIDE_MUTANTS: list, RIMTIDE_PART: part, RIMTIDE_TESTS: tests })
  const results = await new Stryker(optionsOf(rangesOf(chosen), processes)).runMutationTest()
  rmSync(scratch, { recursive: true })
  const wanted = new Set(chosen.map(keyOf))
  const run = results.filter((result) => wanted.has(keyOf({ ...result, location: fromNought(result) })))
  const score = scoreOf(run, all.length)
  const sample = { size: run.length, of: all.length, seed }
  write({
    date: new Date().toISOString(),
    version: versionOf(),
    part,
    ...score,
    sample,
    ...(tests && { tests }),
  })
  console.log(`${part}: ${score.score} ± ${score.error} % of ${run.length} out of ${all.length}`, score)
}

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    sample: { type: 'string', default: 'Infinity' },
    seed: { type: 'string', default: '1' },
    processes: { type: 'string', default: '1' },
    tests: { type: 'string', default: '' },
    help: { type: 'boolean', default: false },
  },
})
if (values.help) console.log(HELP)
else
  for (const part of positionals.length > 0 ? positionals : PARTS)
    await runPart(part, Number(values.sample), Number(values.seed), Number(values.processes), values.tests)
