/**
 * `npm run -s planted [WORDS]`: plants each known error (with WORDS in its name) in a copy of the project and runs the tests
 * that must notice it. Exit code 1 if one is not caught, if its line is gone, or if the tests fail without any error.
 */
import { spawnSync } from 'node:child_process'
import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { PLANTED, type Planted } from './planted.ts'

const root = join(import.meta.dirname, '../..')
const PARTS = [
  ...['src', 'tests', 'presets', 'workers', 'package.json', 'package-lock.json', 'tsconfig.json'],
  ...['vite.config.ts', 'vitest.config.ts'],
]

/** A copy of the project that may be spoilt; packages are shared. */
function copyOf(): string {
  const folder = mkdtempSync(join(tmpdir(), 'rimtide-planted-'))
  for (const part of PARTS) cpSync(join(root, part), join(folder, part), { recursive: true })
  symlinkSync(join(root, 'node_modules'), join(folder, 'node_modules'))
  return folder
}

const passes = (folder: string, tests: readonly string[]): boolean =>
  spawnSync(
    process.execPath,
    ['node_modules/vitest/vitest.mjs', 'run', '--bail=1', '--maxWorkers=1', ...tests],
    { cwd: folder, stdio: 'ignore' },
  ).status === 0

/** '' if a test noticed the error, else what is wrong. */
function outcome(folder: string, { file, line, error, tests }: Planted): string {
  const path = join(folder, file)
  const text = readFileSync(path, 'utf8')
  const found = text.split(line).length - 1
  if (found !== 1) return `the line stands ${found} times in ${file}: ${line}`
  writeFileSync(
    path,
    text.replace(line, () => error),
  )
  const missed = passes(folder, tests)
  writeFileSync(path, text)
  return missed ? `NOT CAUGHT by ${tests.join(', ')}` : ''
}

function main(words: string): number {
  const wanted = PLANTED.filter(({ name }) => name.includes(words))
  const folder = copyOf()
  let missed = 0
  try {
    const files = [...new Set(wanted.flatMap(({ tests }) => tests))]
    if (!passes(folder, files)) {
      console.log(`The tests fail without any error: ${files.join(', ')}`)
      return 1
    }
    for (const one of wanted) {
      const wrong = outcome(folder, one)
      console.log(`${wrong ? '✗' : '✓'} ${one.name}${wrong ? `: ${wrong}` : ''}`)
      if (wrong) missed++
    }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
  console.log(`${wanted.length - missed} of ${wanted.length} caught`)
  return missed > 0 || wanted.length === 0 ? 1 : 0
}

process.exitCode = main(process.argv.slice(2).join(' '))
