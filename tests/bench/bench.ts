/**
 * `npm run bench`: steps, refusals, factorisations, median ms, ns per cell and attempt, errors against the finest lives
 * that the engine runs, cost against the number of cells, lives per second on all cores, cold start; with `--scipy` (and
 * Python with SciPy at hand) the ratio to its BDF on the same equations; with `--browser` (and a built page) the times in
 * Chromium's worker. Appends to history.json with date and machine. Figures of one run belong together: the machines are
 * shared.
 */
import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { availableParallelism, cpus } from 'node:os'
import { fileURLToPath } from 'node:url'
import { accuracyOf } from '../../src/life/accuracy.ts'
import { setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import { seriesAt } from '../../src/life/sample.ts'
import type { Life, Preset } from '../../src/life/types.ts'
import { type BrowserRow, measureInBrowser } from './chromium.mjs'
import { type BenchLife, benchLives, CHECK_TIMES } from './lives.ts'
import { livesPerSecond } from './pool.ts'
import { compareWithScipy } from './scipy.ts'

const REPEATS = 20
const here = (file: string) => fileURLToPath(new URL(file, import.meta.url))
const round = (value: number, digits = 3) => Number(value.toPrecision(digits))

const median = (values: number[]): number => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!

function changed(preset: Preset, changes: [string, string | number][]): Preset {
  const result = setKeys(preset, changes)
  if (!result.ok) throw new Error(result.problems[0]!.message)
  return result.preset
}

function lifeOf(preset: Preset): Life {
  const result = runLifeSync(preset)
  if (!result.ok) throw new Error(result.problems[0]?.message ?? 'no life')
  return result.life
}

interface Converged {
  maxRadius: number
  radii: number[]
}

const radiiOf = (life: Life): number[] => CHECK_TIMES.map((t) => seriesAt(life.series, t).R)

/** The finest lives, stored beside this file; computed anew when `--converge` is given. */
function convergedLives(lives: BenchLife[]): Record<string, Converged> {
  const file = here('converged.json')
  if (existsSync(file) && !process.argv.includes('--converge')) return JSON.parse(readFileSync(file, 'utf8'))
  const table: Record<string, Converged> = {}
  for (const { name, preset } of lives) {
    const life = lifeOf(
      changed(preset, [
        ['model.accuracy', 'fine'],
        ['model.innerCells', 360],
        ['model.outerCells', 60],
      ]),
    )
    table[name] = { maxRadius: life.summary.maxRadius, radii: radiiOf(life) }
  }
  writeFileSync(file, `${JSON.stringify(table, null, 2)}\n`)
  return table
}

function measure({ name, preset }: BenchLife, accuracy: 'quick' | 'normal', truth: Converged) {
  const chosen = changed(preset, [['model.accuracy', accuracy]])
  const times: number[] = []
  let life = lifeOf(chosen)
  for (let k = 0; k < REPEATS; k++) {
    life = lifeOf(chosen)
    times.push(life.summary.wall_ms)
  }
  const { summary } = life
  const ms = median(times.slice(5))
  const cells = accuracyOf(chosen).inner
  const errors = radiiOf(life).map((R, k) => Math.abs(R / truth.radii[k]! - 1))
  return {
    life: name,
    accuracy,
    steps: summary.steps,
    rejected: summary.rejected,
    factorisations: summary.factorisations,
    median_ms: round(ms),
    ns_per_cell_attempt: round((ms * 1e6) / (cells * summary.factorisations)),
    error_R_percent: round(100 * Math.max(...errors), 2),
    error_Rmax_percent: round(100 * Math.abs(summary.maxRadius / truth.maxRadius - 1), 2),
  }
}

/** Median ms of the reference life for several numbers of cells, and the exponent of the cost. */
function costOfCells(preset: Preset) {
  const rows = [40, 80, 160].map((inner) => {
    const chosen = changed(preset, [['model.innerCells', inner]])
    const times = Array.from({ length: 7 }, () => lifeOf(chosen).summary.wall_ms)
    return { inner, median_ms: round(median(times.slice(2))) }
  })
  const exponent = Math.log(rows[2]!.median_ms / rows[0]!.median_ms) / Math.log(4)
  return { rows, exponent: round(exponent, 2) }
}

/** Wall time of the first life in a fresh process, ms (start of the process left out). */
function coldStart(): number {
  const script = `import(${JSON.stringify(here('cold.ts'))})`
  const result = spawnSync(process.execPath, ['--import', 'tsx', '--input-type=module', '-e', script], {
    encoding: 'utf8',
    cwd: here('../..'),
  })
  return Number(result.stdout)
}

/** Times of the reference life in the page's worker in Chromium. */
function inBrowser(reference: Preset): Promise<BrowserRow[]> {
  const at = (level: string) => changed(reference, [['model.accuracy', level]])
  return measureInBrowser({ 'reference 0.50, quick': at('quick'), 'reference 0.50, normal': at('normal') })
}

async function main(): Promise<void> {
  const lives = benchLives()
  const truth = convergedLives(lives)
  const rows = lives.flatMap((life) =>
    (['quick', 'normal'] as const).map((accuracy) => measure(life, accuracy, truth[life.name]!)),
  )
  console.table(rows)
  const reference = lives[1]!.preset
  const cells = costOfCells(reference)
  console.log('cost against cells', JSON.stringify(cells))
  const quick = changed(reference, [['model.accuracy', 'quick']])
  const pool = await livesPerSecond(quick, 4)
  console.log(`quick lives per second on ${pool.cores} cores: ${round(pool.rate)}`)
  const cold = coldStart()
  console.log(`first life in a fresh process: ${round(cold)} ms`)
  const scipy = process.argv.includes('--scipy') ? compareWithScipy(quick) : null
  if (scipy) {
    console.table(scipy.runs)
    console.log(
      `BDF of SciPy ${scipy.scipy} on the same equations (rates differ by ${round(scipy.rates_differ, 2)}): ` +
        `${scipy.ratio === null ? 'never as accurate' : `${round(scipy.ratio)} times the engine’s time`} ` +
        `at the engine’s error of ${round(scipy.engine_error_R_percent, 2)} % (${round(scipy.engine_ms)} ms)`,
    )
  }
  const browser = process.argv.includes('--browser') ? await inBrowser(reference) : null
  if (browser) console.table(browser)
  const file = here('history.json')
  const history = existsSync(file) ? JSON.parse(readFileSync(file, 'utf8')) : []
  const machine = `${cpus()[0]?.model.trim()}, ${availableParallelism()} cores, Node ${process.versions.node}`
  history.push({
    date: new Date().toISOString(),
    machine,
    rows,
    cells,
    lives_per_second: round(pool.rate),
    cold_ms: round(cold),
    ...(scipy ? { scipy } : {}),
    ...(browser ? { browser } : {}),
  })
  writeFileSync(file, `${JSON.stringify(history, null, 1)}\n`)
  console.log(`${new Date().toISOString()}  ${machine}`)
}

await main()
