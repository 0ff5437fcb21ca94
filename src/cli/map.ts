/** The command `map`: outcomes and outputs of a drop over two of its inputs, refined where something changes. */
import { parseArgs } from 'node:util'
import { keyOf } from '../life/keys.ts'
import type { LifeRunner } from '../life/lives.ts'
import { typedNumber } from '../numerics/typedNumber.ts'
import { figure } from '../plan/figures.ts'
import { axisOver, type MapAxis } from '../plan/mapAxes.ts'
import { AGREES, type MapWish, OPEN, type OutcomeMap, RUN } from '../plan/mapGrid.ts'
import { mapColumns, mapCsv, mapParquet } from '../plan/mapTable.ts'
import { outcomeMap } from '../plan/outcomeMap.ts'
import { OUTPUTS } from '../plan/outputs.ts'
import {
  answer,
  changeOf,
  demand,
  mayWrite,
  type Output,
  onePreset,
  TERMINAL,
  Wrong,
  WrongInput,
  write,
} from './command.ts'
import { LIQUID_OPTION, loadPreset } from './load.ts'
import { wholeBetween } from './optionValues.ts'
import { withThreads } from './threads.ts'
import { WORKERS_OPTION, workersHelp, workersOf } from './workersOption.ts'

const HELP = `Outcomes and outputs of a drop over two of its inputs. A coarse grid of lives first, then only where something changes.

  npm run -s map -- PRESET.json --across KEY=FROM..TO --up KEY=FROM..TO [options]
  npm run -s map -- presets/harbour-lane-bursts.json --across drop.alcoholMassFraction=0.2..1 --up drop.volume_uL=1..50 --csv map.csv

  --across KEY=FROM..TO, --up KEY=FROM..TO   the axes; steps in powers where they suit the key
  --fine N          points across, 5 to 401 (65); three quarters as many up
  --by OUTPUT       refines where this output bends as well: ${OUTPUTS.map(({ id }) => id).join(', ')}
  --every           runs every point instead
  --set KEY=VALUE   changes one value of the preset (as often as needed)
  --liquid FILE     a liquid of your own (mixture or oil) in the place of the preset's; see README
${workersHelp(20)}
  --csv FILE        writes the table, one row a point, to FILE as well
  --parquet FILE    the same as Apache Parquet, with all digits
  --json            one JSON object instead of the text: the columns of the table
  --help            this text

Each life is computed with the quick mesh. In the table "run" tells which points were run; the outcome of the others is that of their neighbours, and they have no outputs.
Exit code 0: done. 2: something is wrong with the input, or the output cannot be written.
`

const OPTIONS = {
  across: { type: 'string' },
  up: { type: 'string' },
  fine: { type: 'string', default: '65' },
  by: { type: 'string' },
  every: { type: 'boolean', default: false },
  set: { type: 'string', multiple: true, default: [] as string[] },
  liquid: LIQUID_OPTION,
  workers: WORKERS_OPTION,
  csv: { type: 'string' },
  parquet: { type: 'string' },
  json: { type: 'boolean', default: false },
  help: { type: 'boolean', short: 'h', default: false },
} as const

/** An axis as it is written on the command line. @throws Wrong */
function axisOf(name: 'across' | 'up', text: string | undefined, count: number): MapAxis {
  const form = `write it as --${name} KEY=FROM..TO, e.g. --${name} drop.volume_uL=1..50`
  if (text === undefined) throw new Wrong(`Which --${name}? ${form[0]!.toUpperCase()}${form.slice(1)}`)
  const [, path, from, to] = /^([^=]+)=(.+?)\.\.(.+)$/.exec(text) ?? []
  const ends = [from, to].map((end) => typedNumber(end ?? ''))
  if (path === undefined || !ends.every((end) => Number.isFinite(end)))
    throw new Wrong(`--${name} is ${JSON.stringify(text.slice(0, 80))}: ${form}`)
  const key = path.trim()
  if (keyOf(key)?.kind !== 'number')
    throw new Wrong(`--${name}: ${JSON.stringify(key.slice(0, 60))} is not a number of a preset`)
  return axisOver(key, ends[0]!, ends[1]!, count)
}

/** The first grid: at least eight steps across where there are as many points, a power of two apart, eight at most. */
const coarseFor = (count: number): number => [8, 4, 2].find((step) => (count - 1) / step >= 8) ?? 1

function read(argv: string[]) {
  const { values, positionals } = parseArgs({ args: argv, options: OPTIONS, allowPositionals: true })
  if (values.help) return HELP
  const file = onePreset(positionals, 'presets/harbour-lane-bursts.json')
  const nx = wholeBetween('fine', values.fine, 5, 401)
  const ny = Math.round(0.75 * (nx - 1)) + 1
  if (values.every && values.by !== undefined) throw new Wrong('--every and --by exclude each other')
  const wish: MapWish = {
    x: axisOf('across', values.across, nx),
    y: axisOf('up', values.up, ny),
    refine: values.every ? undefined : { coarse: coarseFor(nx), by: values.by },
  }
  return { ...values, wish, workers: workersOf(values.workers), file, changes: values.set.map(changeOf) }
}

/** JSON knows no NaN: null where there is no number. */
function jsonOf(map: OutcomeMap): string {
  const columns = mapColumns(map).map((one) => [
    one.name,
    'texts' in one ? one.texts : Array.from(one.numbers, (value) => (Number.isFinite(value) ? value : null)),
  ])
  const { done, total, x, y } = map
  const size = { across: x.length, up: y.length, points: total, run: done }
  return `${JSON.stringify({ ...size, columns: Object.fromEntries(columns) })}\n`
}

/** How many points have each outcome, and what they range over. */
function textOf(map: OutcomeMap): string {
  const count = (how: number) => map.run.reduce((n, one) => n + (one === how ? 1 : 0), 0)
  const lines = [
    `${map.x.length} × ${map.y.length} points: ${count(RUN)} run, ${count(AGREES)} not run since their neighbours agree${count(OPEN) > 0 ? `, ${count(OPEN)} open` : ''}.`,
    ...[...new Set(map.outcome)].map((outcome) => {
      const points = map.outcome.filter((one) => one === outcome).length
      return `  ${outcome.padEnd(14)} ${String(points).padStart(6)} points (${figure((100 * points) / map.total, 2)} %)`
    }),
    ...OUTPUTS.map(({ id, label, unit }) => {
      const values = map.values[id]!.filter((value) => Number.isFinite(value))
      const least = values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY)
      const most = values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
      const range = values.length > 0 ? `${figure(least)} to ${figure(most)}${unit && ` ${unit}`}` : 'none'
      return `  ${label}: ${range}`
    }),
  ]
  return `${lines.join('\n')}\n`
}

async function work(
  asked: Exclude<ReturnType<typeof read>, string>,
  to: Output,
  run: LifeRunner,
): Promise<number> {
  const { preset } = demand(loadPreset(asked.file, asked.changes, asked.liquid))
  const inputs = [asked.file, ...asked.liquid]
  mayWrite(asked.csv, inputs)
  mayWrite(asked.parquet, [...inputs, ...(asked.csv === undefined ? [] : [asked.csv])], '--parquet')
  const made = await outcomeMap(preset, asked.wish, run)
  if (!made.ok) throw new WrongInput(made.problems.map(({ message }) => message))
  const { map } = made
  write(asked.csv, () => mapCsv(map))
  if (asked.parquet !== undefined) {
    const bytes = new Uint8Array(await mapParquet(map))
    write(asked.parquet, () => bytes, '--parquet')
  }
  to.out(asked.json ? jsonOf(map) : textOf(map))
  return 0
}

/** Runs the command; gives the exit code (0 done, 2 wrong input). */
export function main(argv: string[], to: Output = TERMINAL, run?: LifeRunner): Promise<number> {
  return answer(
    to,
    () => read(argv),
    (asked) => withThreads(asked.workers, run, (lives) => work(asked, to, lives)),
  )
}
