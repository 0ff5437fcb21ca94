/** `npm test`: all checks, one after the other. The last line is "N passed, N failed, N skipped". */
import { spawn } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { ensureEngine } from '../src/cli/engineBuild.mjs'
import { installProblem, ROOT } from '../src/cli/install.mjs'
import { ensureBrowser } from './findBrowser.mjs'
import { add, countsInReport, countsInText, honest, lineOf, NOTHING, single } from './reporter.mjs'

/** No phase may take longer, minutes; the browser is slow where two cores also draw its pictures. */
const LIMIT = 30
const BROWSER_LIMIT = 40

const scratch = mkdtempSync(join(tmpdir(), 'rimtide-test-'))
const report = join(scratch, 'unit.json')
const script = (path, ...args) => [process.execPath, join(ROOT, path), ...args]

const { FORCE_COLOR: _, ...environment } = process.env
const plainEnvironment = { ...environment, NO_COLOR: '1' }

/** Runs a program in the project's folder for so many minutes at most, shows and returns its output. */
function run([program, ...args], env = {}, limit = LIMIT) {
  return new Promise((resolve) => {
    const child = spawn(program, args, {
      cwd: ROOT,
      env: { ...plainEnvironment, ...env },
      stdio: ['ignore', 'pipe', 2],
    })
    let text = ''
    const timer = setTimeout(() => {
      process.stdout.write(`Ended after ${limit} minutes: ${args.join(' ')}\n`)
      child.kill()
    }, limit * 60_000)
    child.stdout.on('data', (chunk) => {
      text += chunk
      process.stdout.write(chunk)
    })
    const end = (ok) => {
      clearTimeout(timer)
      resolve({ ok, text })
    }
    child.on('error', () => end(false))
    child.on('close', (code) => end(code === 0))
  })
}

const whole = async (command) => single((await run(command)).ok)

async function unit() {
  const reporters = ['--reporter=dot', '--reporter=json', `--outputFile.json=${report}`]
  const { ok } = await run(script('node_modules/vitest/vitest.mjs', 'run', ...reporters))
  return honest(countsInReport(report), ok)
}

async function browser() {
  const { path, message } = ensureBrowser()
  if (!path) {
    process.stdout.write(`${message}\n`)
    return single(false)
  }
  const { ok, text } = await run(script('tests/browser/run.mjs'), { RIMTIDE_BROWSER: path }, BROWSER_LIMIT)
  return honest(countsInText(text), ok)
}

const biome = (...args) => whole(script('node_modules/@biomejs/biome/bin/biome', ...args))

const PHASES = {
  install: async () => {
    const problem = installProblem()
    if (problem) process.stdout.write(`${problem}\n`)
    else await ensureEngine()
    return single(!problem)
  },
  format: () => biome('format', '.'),
  types: () => whole(script('node_modules/typescript/bin/tsc', '-b', 'tsconfig.strict.json')),
  lint: () => biome('lint', '--error-on-warnings', '--diagnostic-level=warn', '.'),
  unused: () => whole(script('node_modules/knip/bin/knip.js', '--no-progress')),
  unit,
  build: () => whole(script('node_modules/vite/bin/vite.js', 'build', '--logLevel', 'warn')),
  browser,
}

/** Runs the phases; without packages or without a built page the ones that need them are left out and counted as failed. */
async function all() {
  let total = NOTHING
  const done = {}
  for (const [name, phase] of Object.entries(PHASES)) {
    const start = performance.now()
    const blocked = done.install?.failed || (name === 'browser' && done.build?.failed)
    process.stdout.write(`\n== ${name}\n`)
    const counts = blocked ? single(false) : await phase()
    const seconds = ((performance.now() - start) / 1000).toFixed(1)
    process.stdout.write(`== ${name}: ${blocked ? 'not run, ' : ''}${lineOf(counts)} (${seconds} s)\n`)
    done[name] = counts
    total = add(total, counts)
  }
  return total
}

const total = await all().catch((error) => {
  process.stdout.write(`${error.stack}\n`)
  return single(false)
})
rmSync(scratch, { recursive: true, force: true })
process.exitCode = total.failed > 0 || total.passed === 0 ? 1 : 0
process.stdout.write(`\n${lineOf(total)}\n`)
