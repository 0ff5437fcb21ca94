/**
 * The long soak: `npm run soak -- --count 10000 --seed 1`. Random lives over the whole permitted range, on all cores;
 * prints what became of them, and writes each breach, shrunk to a minimal preset, into tests/regressions.
 */
import { type ChildProcess, fork } from 'node:child_process'
import { availableParallelism } from 'node:os'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { presetsOf, settingsOf } from './fixtures/randomPresets.ts'
import { print, report, type Verdict } from './fixtures/soakReport.ts'
import { type SoakOptions, selectionOf, shrunk, writeRegression } from './fixtures/soakShrink.ts'
import { runLongTests } from './fixtures/soakTests.ts'

const HELP = `npm run soak -- [--count N] [--seed N] [--from N] [--accuracy quick|normal|fine] [--cells]
                 [--processes N] [--limit SECONDS] [--no-shrink] [--shrink-failed]
npm run soak -- --tests

  --count N         number of lives (1000)      --seed N     seed of the presets (1)
  --from N          first life of the seed (0)  --cells      own cell numbers in one preset of ten
  --accuracy NAME   one accuracy for all; otherwise quick and normal, few fine
  --limit SECONDS   a life that takes longer counts as hung (120)
  --shrink-failed   lives that end as "failed" are shrunk and written too, not only breaches
  --tests           instead of lives: the tests that take a few of their cases in npm test, with all of them
`

interface Job extends SoakOptions {
  count: number
  from: number
  processes: number
  limit: number
  shrink: boolean
  shrinkFailed: boolean
}

function jobOf(argv: string[]): Job | 'help' | 'tests' {
  const { values } = parseArgs({
    args: argv,
    options: {
      count: { type: 'string', default: '1000' },
      seed: { type: 'string', default: '1' },
      from: { type: 'string', default: '0' },
      accuracy: { type: 'string' },
      cells: { type: 'boolean', default: false },
      processes: { type: 'string', default: String(availableParallelism()) },
      limit: { type: 'string', default: '120' },
      'no-shrink': { type: 'boolean', default: false },
      'shrink-failed': { type: 'boolean', default: false },
      tests: { type: 'boolean', default: false },
      help: { type: 'boolean', default: false },
    },
  })
  if (values.help) return 'help'
  if (values.tests) return 'tests'
  return {
    count: Number(values.count),
    seed: Number(values.seed),
    from: Number(values.from),
    accuracy: values.accuracy,
    cells: values.cells,
    processes: Number(values.processes),
    limit: Number(values.limit),
    shrink: !values['no-shrink'],
    shrinkFailed: values['shrink-failed'],
  }
}

/** Runs the lives in child processes, each asking for the next; a process that hangs or dies is replaced. */
class Crew {
  readonly verdicts: Verdict[] = []
  private next: number
  private readonly end: number
  private settled = 0

  constructor(
    private readonly job: Job,
    private readonly done: (verdicts: Verdict[]) => void,
  ) {
    this.next = job.from
    this.end = job.from + job.count
    for (let k = 0; k < job.processes; k++) this.hire()
  }

  private hire(): void {
    const { job } = this
    const worker = fileURLToPath(new URL('./fixtures/soakWorker.ts', import.meta.url))
    const child = fork(worker, [JSON.stringify({ ...job, count: this.end })])
    let current = -1
    let timer: NodeJS.Timeout | undefined
    const give = () => {
      clearTimeout(timer)
      current = this.next < this.end ? this.next++ : -1
      if (current < 0) {
        child.disconnect()
        return
      }
      child.send(current)
      timer = setTimeout(() => child.kill('SIGKILL'), job.limit * 1000)
    }
    child.on('message', (message: Verdict | 'ready') => {
      if (message !== 'ready') this.book(message)
      give()
    })
    child.on('exit', (code, signal) => this.left(child, current, code, signal, timer))
  }

  private left(
    _child: ChildProcess,
    current: number,
    code: number | null,
    signal: string | null,
    timer: NodeJS.Timeout | undefined,
  ): void {
    clearTimeout(timer)
    if (current < 0) return
    const why =
      signal === 'SIGKILL' ? `hung for ${this.job.limit} s` : `the process ended with ${code ?? signal}`
    this.book({ index: current, outcome: 'none', cause: why, breaches: [why], wall: this.job.limit * 1000 })
    this.hire()
  }

  private book(verdict: Verdict): void {
    this.verdicts.push(verdict)
    this.settled++
    if (verdict.breaches.length > 0) print(`  life ${verdict.index}: ${verdict.breaches.join('; ')}`)
    if (this.settled % 500 === 0) print(`  ${this.settled} lives`)
    if (this.settled === this.job.count) this.done(this.verdicts)
  }
}

function finish(job: Job, verdicts: Verdict[]): void {
  const presets = presetsOf(job.from + job.count, job.seed, selectionOf(job))
  report(verdicts, (index) => settingsOf(presets[index]!))
  const bad = verdicts.filter((v) => v.breaches.length > 0)
  const failed = verdicts.filter((v) => v.outcome === 'failed' && v.breaches.length === 0)
  const toShrink = job.shrink ? (job.shrinkFailed ? [...bad, ...failed] : bad) : []
  for (const verdict of toShrink) {
    // What hung or killed its process cannot be tried again in this one.
    const preset = verdict.outcome === 'none' ? presets[verdict.index]! : shrunk(job, verdict)
    print(`  written: ${writeRegression(preset, job, verdict)}`)
  }
  process.exitCode = bad.length > 0 || failed.length >= 0.002 * job.count ? 1 : 0
}

const job = jobOf(process.argv.slice(2))
if (job === 'help') process.stdout.write(HELP)
else if (job === 'tests') process.exitCode = runLongTests()
else {
  print(`${job.count} lives from ${job.from}, seed ${job.seed}, in ${job.processes} processes`)
  new Crew(job, (verdicts) => finish(job, verdicts))
}
