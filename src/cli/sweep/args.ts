/** Arguments of `sweep` → what to do. */
import { parseArgs } from 'node:util'
import { Wrong } from '../command.ts'
import { WORKERS_OPTION, workersHelp, workersOf } from '../workersOption.ts'
import type { Shard } from './folder.ts'
import { shardOf } from './shard.ts'

const HELP = `Computes thousands to millions of lives that differ in some inputs, and writes a table of what becomes of them.

  npm run -s sweep -- PLAN.json --out DIR [options]
  npm run -s sweep -- --collect DIR

  --out DIR         folder of the results, made where it is missing: results.parquet, results.csv (a row a life),
                    failures.csv, plan.json (as understood), program.json, runs.json (machines and times)
  --dry             computes a few lives only, and tells how long all will take and how large they will be
  --shard I/N       every N-th row only, for work in parts; a task of a Slurm array knows its part by itself
  --collect DIR     writes the results of parts that have been computed into DIR
${workersHelp(20)}
  --csv FILE        results.csv to FILE as well
  --help            this text

PLAN.json: { "format": "rimtide-sweep", "version": 1, "preset": "a.json",
             "inputs": { "drop.alcoholMassFraction": { "from": 0.4, "to": 0.8 }, "drop.alcohol": { "values": ["ethanol", "2-propanol"] } },
             "design": "sobol", "count": 1000 }
  preset            path seen from the plan, or a preset; "liquid": file of a liquid of your own, or a list
  inputs            any key of a preset (npm run -s simulate -- --keys): from and to, by ratio with "logarithmic": true, or values
  design            "grid" (from and to need a "count" each), "list" (equally many values, or "rows"), "latin", "sobol"
  count, seed       number of lives, and what chance begins with ("latin", "sobol")
  accuracy          "quick" (unless given), "normal", "fine"; outputs: names of columns (all, unless given)

Ctrl-C stops; the same call goes on where it was. Nothing that was computed is lost.
Exit code 0: done (failed lives are rows with their cause). 2: something is wrong with the input, rows are missing, or the output cannot be written.
130, 143: stopped.
`

const OPTIONS = {
  out: { type: 'string' },
  collect: { type: 'string' },
  shard: { type: 'string' },
  dry: { type: 'boolean', default: false },
  workers: WORKERS_OPTION,
  csv: { type: 'string' },
  help: { type: 'boolean', short: 'h', default: false },
} as const

export type SweepCommand =
  | { kind: 'collect'; folder: string; csv: string | undefined }
  | { kind: 'dry'; plan: string; folder: string | undefined; workers: number; shard: Shard | undefined }
  | {
      kind: 'compute'
      plan: string
      folder: string
      workers: number
      shard: Shard | undefined
      csv: string | undefined
    }

/** What is to be done, or the text that was asked for. @throws Wrong, or what parseArgs throws */
export function readSweep(argv: string[]): SweepCommand | string {
  const { values, positionals } = parseArgs({ args: argv, options: OPTIONS, allowPositionals: true })
  if (values.help) return HELP
  const { collect, out, csv } = values
  const workers = workersOf(values.workers)
  const shard = values.shard === undefined ? undefined : shardOf(values.shard)
  if (collect !== undefined) {
    const other = (['out', 'shard', 'dry', 'workers'] as const).find((name) => values[name])
    if (other) throw new Wrong(`--collect and --${other} exclude each other`)
    if (positionals.length > 0) throw new Wrong('--collect takes no plan: the folder has its own')
    if (collect === '') throw new Wrong('--collect is empty: give the folder of a sweep')
    return { kind: 'collect', folder: collect, csv }
  }
  const [plan, ...more] = positionals
  if (plan === undefined) throw new Wrong('Which lives? Give the file of a plan, e.g. plan.json')
  if (more.length > 0) throw new Wrong(`One plan at a time; ${JSON.stringify(more[0])} is one too many`)
  if (out === '') throw new Wrong('--out is empty: give the folder of the results')
  if (values.dry) return { kind: 'dry', plan, folder: out, workers, shard }
  if (out === undefined) throw new Wrong('Where to? Give the folder of the results: --out DIR')
  if (shard && shard.of > 1 && csv !== undefined)
    throw new Wrong('--shard makes no table of its own: give --csv with --collect')
  return { kind: 'compute', plan, folder: out, workers, shard, csv }
}
