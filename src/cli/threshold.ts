/** The command `threshold`: from which strength on a mixture spreads on an oil, and how sure that is. */
import { parseArgs } from 'node:util'
import type { LifeRunner } from '../life/lives.ts'
import { setKeys } from '../life/preset.ts'
import type { Preset } from '../life/types.ts'
import { mixtures, oils } from '../liquids/registry.ts'
import { type Band, bandOf } from '../plan/neighbours.ts'
import {
  curveCsv,
  pairLine,
  thresholdObject,
  thresholdReport,
  thresholdText,
} from '../plan/thresholdReport.ts'
import {
  answer,
  changeOf,
  demand,
  mayWrite,
  type Output,
  onePreset,
  TERMINAL,
  tell,
  Wrong,
  write,
} from './command.ts'
import { LIQUID_OPTION, loadPreset } from './load.ts'
import { withThreads } from './threads.ts'
import { WORKERS_OPTION, workersHelp, workersOf } from './workersOption.ts'

const HELP = `From which strength on a drop spreads on its oil: by mass, by volume, in words, with S over the strength.

  npm run -s threshold -- PRESET.json [options]
  npm run -s threshold -- presets/harbour-lane-spreads.json --set bath.liquid=olive-oil

  --set KEY=VALUE   changes one value of the preset (as often as needed)
  --liquid FILE     a liquid of your own (mixture or oil) in the place of the preset's; see README
  --all             instead: every alcohol of the library on every oil, at the preset's temperature
  --brief           runs no lives: no reach of the largest radius
${workersHelp(20)}
  --csv FILE        writes S over the strength to FILE as well
  --json            one JSON object instead of the text
  --help            this text

The tension between drop and oil is assumed: interface.water_mNperM, interface.end_mNperM and interface.decay change it.
Exit code 0: done. 1: a life failed, with its cause. 2: something is wrong with the input, or the output cannot be written.
`

const OPTIONS = {
  set: { type: 'string', multiple: true, default: [] as string[] },
  liquid: LIQUID_OPTION,
  all: { type: 'boolean', default: false },
  brief: { type: 'boolean', default: false },
  workers: WORKERS_OPTION,
  csv: { type: 'string' },
  json: { type: 'boolean', default: false },
  help: { type: 'boolean', short: 'h', default: false },
} as const

function read(argv: string[]) {
  const { values, positionals } = parseArgs({ args: argv, options: OPTIONS, allowPositionals: true })
  if (values.help) return HELP
  const file = onePreset(positionals, 'presets/harbour-lane-spreads.json')
  const other =
    (['json', 'csv'] as const).find((name) => values[name]) ?? values.liquid.map(() => 'liquid')[0]
  if (values.all && other) throw new Wrong(`--all and --${other} exclude each other`)
  return { ...values, workers: workersOf(values.workers), file, changes: values.set.map(changeOf) }
}

/** Every pair of the library at the room of the preset; own numbers of the preset for oil and curve are left out. */
function allPairs(preset: Preset): string {
  const lines = Object.keys(mixtures).flatMap((alcohol) =>
    Object.keys(oils).map((oil) => {
      const made = setKeys({ ...preset, interface: {} }, [
        ['drop.alcohol', alcohol],
        ['bath.liquid', oil],
        ['bath.tension_mNperM', null],
        ['air.mode', 'moving'],
      ])
      if (!made.ok) throw new Wrong(made.problems[0]!.message)
      return pairLine(made.preset)
    }),
  )
  return `${[`From which strength on mixtures spread, at ${preset.air.temperature_C} °C (% by volume at 20 °C):`, ...lines].join('\n')}\n`
}

async function work(
  asked: Exclude<ReturnType<typeof read>, string>,
  to: Output,
  run: LifeRunner,
): Promise<number> {
  const { preset } = demand(loadPreset(asked.file, asked.changes, asked.liquid))
  mayWrite(asked.csv, [asked.file, ...asked.liquid])
  if (asked.all) {
    to.out(allPairs(preset))
    return 0
  }
  let band: Band | undefined
  if (!asked.brief) band = await bandOf(preset, run)
  const report = thresholdReport(preset, band)
  write(asked.csv, () => curveCsv(report))
  to.out(asked.json ? `${JSON.stringify(thresholdObject(report))}\n` : thresholdText(report))
  const failures = band?.failures ?? []
  tell(
    to,
    failures.map((failure) => `a neighbouring life failed: ${failure}`),
  )
  return failures.length > 0 ? 1 : 0
}

/** Runs the command; gives the exit code (0 done, 1 a life failed, 2 wrong input). */
export function main(argv: string[], to: Output = TERMINAL, run?: LifeRunner): Promise<number> {
  return answer(
    to,
    () => read(argv),
    (asked) => withThreads(asked.workers, run, (lives) => work(asked, to, lives)),
  )
}
