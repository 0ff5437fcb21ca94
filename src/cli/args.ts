/** Arguments of `simulate` → what to do. Pure. */
import { parseArgs } from 'node:util'
import { argumentWords } from './argumentWords.ts'
import { type Change, changeOf, LIQUID_OPTION, NO_CSV_NAME, NOT_A_CHANGE } from './load.ts'

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
}
export type Parsed =
  | { kind: 'run'; command: SimulateCommand }
  | { kind: 'help' | 'keys' }
  | { kind: 'wrong'; message: string }

export const HELP = `Computes the whole life of a drop of water and alcohol on a bath of oil.

  npm run -s simulate -- PRESET.json [options]

  --set KEY=VALUE   changes one value of the preset, e.g. --set drop.volume_uL=20
                    (as often as needed; KEY=null means the default)
  --liquid FILE     a liquid of your own (mixture or oil) in the place of the preset's; see README
  --json            one JSON object instead of the table
  --every SECONDS   interval of the output (0.25)
  --until SECONDS   stops the life there at the latest (model.horizon_s)
  --accuracy NAME   quick, normal or fine (model.accuracy)
  --csv FILE        writes the series to FILE as well; an existing FILE is replaced
  --repeat N        runs the life N times and gives the median computing time
  --keys            lists every key with unit, permitted range and default
  --help            this text

Exit code 0: done. 1: the run failed, with its cause. 2: something is wrong with the input.
`

const OPTIONS = {
  liquid: LIQUID_OPTION,
  set: { type: 'string', multiple: true },
  json: { type: 'boolean' },
  every: { type: 'string' },
  until: { type: 'string' },
  accuracy: { type: 'string' },
  csv: { type: 'string' },
  repeat: { type: 'string' },
  keys: { type: 'boolean' },
  help: { type: 'boolean', short: 'h' },
} as const

class Wrong extends Error {}

function numberOption(
  name: string,
  text: string | undefined,
  min: number,
  max: number,
  fallback: number,
): number {
  if (text === undefined) return fallback
  const value = text.trim() === '' ? Number.NaN : Number(text)
  if (value >= min && value <= max) return value
  throw new Wrong(`--${name} is ${JSON.stringify(text)}. Permitted: ${min} to ${max}.`)
}

function wholeOption(
  name: string,
  text: string | undefined,
  min: number,
  max: number,
  fallback: number,
): number {
  const value = numberOption(name, text, min, max, fallback)
  if (Number.isInteger(value)) return value
  throw new Wrong(`--${name} is ${JSON.stringify(text)}. Permitted: whole numbers from ${min} to ${max}.`)
}

function change(text: string): Change {
  const made = changeOf(text)
  if (!made) throw new Wrong(NOT_A_CHANGE(text))
  return made
}

function read(argv: string[]): Parsed {
  const { values, positionals } = parseArgs({ args: argv, options: OPTIONS, allowPositionals: true })
  if (values.help) return { kind: 'help' }
  if (values.keys) return { kind: 'keys' }
  const [preset, ...more] = positionals
  if (preset === undefined) throw new Wrong('Which drop? Give a preset file, e.g. presets/reference.json.')
  if (more.length > 0)
    throw new Wrong(`One preset file at a time; ${JSON.stringify(more[0])} is one too many.`)
  if (values.csv === '') throw new Wrong(NO_CSV_NAME)
  const changes = (values.set ?? []).map(change)
  const add = (path: string, option: string, text: string | undefined) => {
    if (text !== undefined) changes.push({ path, text, from: `--${option} ${text}` })
  }
  add('model.accuracy', 'accuracy', values.accuracy)
  add('model.horizon_s', 'until', values.until)
  const command: SimulateCommand = {
    preset,
    changes,
    liquids: values.liquid,
    json: values.json ?? false,
    repeat: wholeOption('repeat', values.repeat, 1, 1000, 1),
    every: numberOption('every', values.every, 0.001, 3600, 0.25),
    csv: values.csv,
  }
  return { kind: 'run', command }
}

/** Reads the arguments; anything wrong comes back as a message. */
export function readArguments(argv: string[]): Parsed {
  try {
    return read(argv)
  } catch (error) {
    const words = error instanceof Wrong ? error.message : argumentWords(error)
    if (words === undefined) throw error
    return { kind: 'wrong', message: `${words.replace(/\.?$/, '.')} --help shows what there is.` }
  }
}
