/** The command `sensitivity`: which uncertain input the spread of a drop's numbers comes from. */
import { parseArgs } from 'node:util'
import type { LifeRunner } from '../life/lives.ts'
import { OUTPUTS } from '../plan/outputs.ts'
import {
  LEAST_BASE,
  livesOf,
  MOST_BASE,
  sensitivityOf,
  USUAL_BASE,
  USUAL_OUTPUTS,
} from '../plan/sensitivity.ts'
import { variationOf } from '../plan/sensitivityInputs.ts'
import { sensitivityObject, sensitivityText, sharesTable } from '../plan/sensitivityWords.ts'
import { tableCsv } from '../plan/table.ts'
import { UNCERTAIN } from '../plan/uncertain.ts'
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
  WrongInput,
  write,
} from './command.ts'
import { LIQUID_OPTION } from './load.ts'
import { wholeBetween } from './optionValues.ts'
import { loadSensitivity } from './sensitivityPlan.ts'
import { withThreads } from './threads.ts'
import { WORKERS_OPTION, workersHelp, workersOf } from './workersOption.ts'

const HELP = `Which uncertain input matters most: first-order and total shares of the spread of a drop's numbers.

  npm run -s sensitivity -- PRESET.json [options]
  npm run -s sensitivity -- PLAN.json [options]

  A plan: { "preset": "drop.json", "inputs": { "volume": { "width": 0.02 }, "decay": true,
            "bath.dishRadius_mm": { "from": 40, "to": 70 } }, "outputs": ["maxRadius_mm"], "base": 128 }
  Without "inputs" all of the table are drawn from their stated widths (one standard deviation):
  ${UNCERTAIN.map(({ id }) => id).join(', ')}.
  A width is in the measure in which the table tells it, parts of the value for a "± 5 %"; a key with a
  number takes "from" and "to", every value as likely, or "width" in its unit.

  --base N          base points: N times (inputs + 2) lives (${USUAL_BASE}; a power of 2 is best)
  --outputs LIST    what is asked about (${USUAL_OUTPUTS.join(',')})
                    There are: ${OUTPUTS.map(({ id }) => id).join(', ')}
  --set KEY=VALUE   changes one value of the preset (as often as needed)
  --liquid FILE     a liquid of your own (mixture or oil) in the place of the preset's; see README
${workersHelp(20)}
  --csv FILE        writes the table of shares to FILE as well
  --json            one JSON object instead of the text
  --help            this text

Exit code 0: done. 1: lives failed, with their cause. 2: something is wrong with the input, or the output cannot be written.
`

const OPTIONS = {
  base: { type: 'string' },
  outputs: { type: 'string' },
  set: { type: 'string', multiple: true, default: [] as string[] },
  liquid: LIQUID_OPTION,
  workers: WORKERS_OPTION,
  csv: { type: 'string' },
  json: { type: 'boolean', default: false },
  help: { type: 'boolean', short: 'h', default: false },
} as const

/** Ids of outputs, each once. @throws Wrong */
function outputsIn(ids: readonly string[], from: string): string[] {
  const wrong = ids.find((id) => !OUTPUTS.some((output) => output.id === id))
  if (wrong !== undefined || ids.length === 0)
    throw new Wrong(
      `${from} names ${JSON.stringify(wrong ?? '')}, which is no output. There are: ${OUTPUTS.map(({ id }) => id).join(', ')}`,
    )
  return [...new Set(ids)]
}

function read(argv: string[]) {
  const { values, positionals } = parseArgs({ args: argv, options: OPTIONS, allowPositionals: true })
  if (values.help) return HELP
  const { base, outputs } = values
  return {
    ...values,
    file: onePreset(positionals, 'presets/harbour-lane-spreads.json'),
    base: base === undefined ? undefined : wholeBetween('base', base, LEAST_BASE, MOST_BASE),
    outputs:
      outputs === undefined ? undefined : outputsIn(outputs.split(/[,;\s]+/).filter(Boolean), '--outputs'),
    workers: workersOf(values.workers),
    changes: values.set.map(changeOf),
  }
}

async function work(
  asked: Exclude<ReturnType<typeof read>, string>,
  to: Output,
  run: LifeRunner,
): Promise<number> {
  const { plan } = demand(loadSensitivity(asked.file, asked.changes, asked.liquid))
  mayWrite(asked.csv, [...plan.files, ...asked.liquid])
  const varied = variationOf(plan.preset, plan.inputs)
  if (!varied.ok) throw new WrongInput(varied.problems.map(({ message }) => `${asked.file}: ${message}`))
  const base = asked.base ?? wholeBetween('base', String(plan.base ?? USUAL_BASE), LEAST_BASE, MOST_BASE)
  const outputs =
    asked.outputs ?? (plan.outputs ? outputsIn(plan.outputs, `${asked.file}: "outputs"`) : USUAL_OUTPUTS)
  const lives = livesOf(varied.inputs.length, base)
  if (lives > 1000) tell(to, [`${lives} lives are computed; --base makes them fewer.`])
  const so = await sensitivityOf(plan.preset, run, { ...varied, base, outputs })
  write(asked.csv, () => tableCsv(sharesTable(so)))
  to.out(asked.json ? `${JSON.stringify(sensitivityObject(so))}\n` : sensitivityText(plan.preset.title, so))
  tell(
    to,
    so.failures.map((failure) => `lives failed: ${failure}`),
  )
  return so.failed > 0 ? 1 : 0
}

/** Runs the command; gives the exit code (0 done, 1 lives failed, 2 wrong input). */
export function main(argv: string[], to: Output = TERMINAL, run?: LifeRunner): Promise<number> {
  return answer(
    to,
    () => read(argv),
    (asked) => withThreads(asked.workers, run, (lives) => work(asked, to, lives)),
  )
}
