/** Arguments of `simulate` → what to do. Pure. */
import { parseArgs } from 'node:util'
import { type Change, changeOf, onePreset } from './command.ts'
import { keysText } from './keysText.ts'
import { LIQUID_OPTION } from './load.ts'
import { between, wholeBetween } from './optionValues.ts'

export interface SimulateCommand {
  preset: string
  /** Changes in the order given: key, text, and the argument they came from. */
  changes: Change[]
  /** Liquid files. */
  liquids: string[]
  json: boolean
  repeat: number
  /** Output interval, s. */
  every: number
  csv: string | undefined
  /** Whether the rim's fingers are computed too. */
  fingers: boolean
}

const HELP = `Computes the whole life of a drop of water and alcohol on a bath of oil.

  npm run -s simulate -- PRESET.json [options]

  --set KEY=VALUE   changes one value of the preset, e.g. --set drop.volume_uL=20
                    (as often as needed; KEY=null means the default)
  --liquid FILE     a liquid of your own (mixture or oil) in the place of the preset's; see README
  --json            one JSON object instead of the table
  --every SECONDS   interval of the output (0.25)
  --until SECONDS   stops the life there at the latest (model.horizon_s)
  --accuracy NAME   quick, normal or fine (model.accuracy)
  --csv FILE        writes the series to FILE as well; an existing FILE is replaced
  --fingers         whether and how the rim breaks into beads: when, how many, how large (some seconds more)
  --repeat N        runs the life N times and gives the median computing time
  --keys            lists every key with unit, permitted range and default
  --help            this text

Exit code 0: done. 1: the run failed, with its cause. 2: something is wrong with the input, or the output cannot be written.
`

const OPTIONS = {
  liquid: LIQUID_OPTION,
  set: { type: 'string', multiple: true },
  json: { type: 'boolean' },
  every: { type: 'string', default: '0.25' },
  until: { type: 'string' },
  accuracy: { type: 'string' },
  csv: { type: 'string' },
  fingers: { type: 'boolean' },
  repeat: { type: 'string', default: '1' },
  keys: { type: 'boolean' },
  help: { type: 'boolean', short: 'h' },
} as const

/** What is to be done, or the text that was asked for. @throws Wrong, or what parseArgs throws */
export function readSimulate(argv: string[]): SimulateCommand | string {
  const { values, positionals } = parseArgs({ args: argv, options: OPTIONS, allowPositionals: true })
  if (values.help) return HELP
  if (values.keys) return keysText()
  const preset = onePreset(positionals, 'presets/reference.json')
  const changes = (values.set ?? []).map(changeOf)
  const add = (path: string, option: string, text: string | undefined) => {
    if (text !== undefined) changes.push({ path, text, from: `--${option} ${text}` })
  }
  add('model.accuracy', 'accuracy', values.accuracy)
  add('model.horizon_s', 'until', values.until)
  return {
    preset,
    changes,
    liquids: values.liquid,
    json: values.json ?? false,
    repeat: wholeBetween('repeat', values.repeat, 1, 1000),
    every: between('every', values.every, 0.001, 3600),
    csv: values.csv,
    fingers: values.fingers ?? false,
  }
}
