/** Arguments of `compare` → what to do. Pure. */
import { parseArgs } from 'node:util'
import { MOST_UNKNOWNS, type Prior, START_TIME } from '../measured/fit/types.ts'
import { FITTABLE } from '../measured/fit/unknowns.ts'
import type { Choices } from '../measured/types.ts'
import { typedNumber } from '../numerics/typedNumber.ts'
import { type Change, changeOf, Wrong } from './command.ts'
import { LIQUID_OPTION } from './load.ts'
import { choicesOf, TABLE_HELP, TABLE_OPTIONS } from './tableOptions.ts'
import { WORKERS_OPTION, workersHelp, workersOf } from './workersOption.ts'

const COMPARE_HELP = `Compares the life of a drop with measured radii: how far off it is, and which inputs would make it fit.

  npm run -s compare -- PRESET.json DATA.csv [MORE.csv …] [options]
  npm run -s compare -- presets/harbour-lane-spreads.json presets/harbour-lane-measured-60.csv \\
      --fit air.filmCoefficient_mmPerS,bath.viscosity_mPas

  What a curve states in its table (strength, volume, oil, depth, temperature, humidity) holds for its own drop.

  --fit LIST           unknowns, 1 to ${MOST_UNKNOWNS}: ${START_TIME} (contact, one per curve) and keys:
${rows(FITTABLE).join('\n')}
                       KEY=VALUE in the list sets a value for this fit only; several --fit are
                       hypotheses, which are fitted one by one and compared
  --limit KEY=LOW:HIGH keeps an unknown within closer limits than its key (as often as needed)
  --prior KEY=VALUE:S  what is known beforehand as VALUE ± S (1 σ): of an unknown, or of any other numeric input, whose
                       error then goes into those of the unknowns (as often as needed; two lives and more
                       for each such input and curve). What the tables state ± σ counts in any case
  --profile KEY        how far this unknown can go, all others following, until χ² has risen by 1 (as often as needed)
  --widen              multiplies statistical errors by √(χ² per degree of freedom) where that is above 1
  --scan WHEN          looks for a start with a coarse scan: auto (if the drop is far off), always, never
  --start SECONDS      contact on the clock of the tables; NAME=SECONDS for one curve (as often as needed)
  --accuracy NAME      quick, normal or fine (model.accuracy)
  --set KEY=VALUE      changes one value of the preset (as often as needed)
  --liquid FILE        a liquid of your own (mixture or oil) in the place of the preset's; see README
${workersHelp(23)}
  --csv FILE           writes measured radius, life and residual of every point to FILE as well
  --json               one JSON object instead of the text
  --help               this text

${TABLE_HELP}

Exit code 0: done. 1: a life or a fit failed, or a fit did not come to its end. 2: something is wrong with the input, or the output cannot be written.
`

/** The keys in lines of two. */
function rows(keys: readonly string[]): string[] {
  const lines: string[] = []
  for (let i = 0; i < keys.length; i += 2)
    lines.push(`                       ${keys.slice(i, i + 2).join(', ')}`)
  return lines
}

const OPTIONS = {
  liquid: LIQUID_OPTION,
  fit: { type: 'string', multiple: true, default: [] as string[] },
  limit: { type: 'string', multiple: true, default: [] as string[] },
  prior: { type: 'string', multiple: true, default: [] as string[] },
  profile: { type: 'string', multiple: true, default: [] as string[] },
  widen: { type: 'boolean', default: false },
  scan: { type: 'string', default: 'auto' },
  start: { type: 'string', multiple: true, default: [] as string[] },
  accuracy: { type: 'string' },
  set: { type: 'string', multiple: true, default: [] as string[] },
  workers: WORKERS_OPTION,
  csv: { type: 'string' },
  ...TABLE_OPTIONS,
  json: { type: 'boolean', default: false },
  help: { type: 'boolean', short: 'h', default: false },
} as const

/** One fit: its unknowns, and values that hold for it alone. */
export interface Hypothesis {
  name: string
  unknowns: string[]
  changes: Change[]
}

export interface CompareCommand {
  preset: string
  tables: string[]
  changes: Change[]
  liquids: string[]
  hypotheses: Hypothesis[]
  limits: Record<string, [number, number]>
  priors: Record<string, Prior>
  /** Keys of unknowns whose profile is wanted. */
  profiles: string[]
  widen: boolean
  scan: 'auto' | 'always' | 'never'
  /** Contact by the name of the curve; '' = all others. */
  starts: Map<string, number>
  choices: Choices
  /** Threads that compute lives. */
  workers: number
  csv: string | undefined
  json: boolean
}

function hypothesisOf(text: string): Hypothesis {
  const parts = text
    .split(',')
    .map((part) => part.trim())
    .filter(Boolean)
  const unknowns = parts.filter((part) => !part.includes('='))
  if (unknowns.length === 0)
    throw new Wrong(`--fit ${JSON.stringify(text)} names no unknown, e.g. --fit bath.viscosity_mPas`)
  const changes = parts
    .filter((part) => part.includes('='))
    .map((part) => ({ ...changeOf(part), from: `--fit ${text}` }))
  return { name: parts.join(', '), unknowns, changes }
}

function limitOf(text: string): [string, [number, number]] {
  const [, path, low, high] = /^([^=]+)=([^:]+):([^:]+)$/.exec(text) ?? []
  const range: [number, number] = [typedNumber(low ?? ''), typedNumber(high ?? '')]
  if (path && range.every(Number.isFinite)) return [path.trim(), range]
  throw new Wrong(`--limit ${text}: write it as --limit KEY=LOW:HIGH, e.g. --limit bath.viscosity_mPas=40:90`)
}

function priorOf(text: string): [string, Prior] {
  const [, path, value, sigma] = /^([^=]+)=([^:]+):([^:]+)$/.exec(text) ?? []
  const prior = { value: typedNumber(value ?? ''), sigma: typedNumber(sigma ?? '') }
  if (path && Number.isFinite(prior.value) && prior.sigma > 0) return [path.trim(), prior]
  throw new Wrong(
    `--prior ${text}: write it as --prior KEY=VALUE:SIGMA with SIGMA above 0, e.g. --prior drop.volume_uL=10:0.2`,
  )
}

function startOf(text: string): [string, number] {
  const cut = text.lastIndexOf('=')
  const value = typedNumber(text.slice(cut + 1))
  if (Number.isFinite(value)) return [cut < 0 ? '' : text.slice(0, cut).trim(), value]
  throw new Wrong(
    `--start ${JSON.stringify(text)}: write the contact in seconds, e.g. --start 0.4, or --start=NAME=0.4 for one curve`,
  )
}

/** What is to be done, or the help. @throws Wrong, or what parseArgs throws, with what would be right. */
export function readCompare(argv: string[]): CompareCommand | string {
  const { values: v, positionals } = parseArgs({ args: argv, options: OPTIONS, allowPositionals: true })
  if (v.help) return COMPARE_HELP
  const [preset, ...tables] = positionals
  if (preset === undefined || tables.length === 0) {
    throw new Wrong(
      'Give a preset and at least one table of measured radii, e.g. presets/harbour-lane-spreads.json presets/harbour-lane-measured-60.csv',
    )
  }
  if (v.scan !== 'auto' && v.scan !== 'always' && v.scan !== 'never') {
    throw new Wrong(`--scan is ${JSON.stringify(v.scan)}. Permitted: auto, always, never`)
  }
  const changes = v.set.map(changeOf)
  if (v.accuracy !== undefined)
    changes.push({ path: 'model.accuracy', text: v.accuracy, from: `--accuracy ${v.accuracy}` })
  return {
    preset,
    tables,
    changes,
    liquids: v.liquid,
    hypotheses: v.fit.map(hypothesisOf),
    limits: Object.fromEntries(v.limit.map(limitOf)),
    priors: Object.fromEntries(v.prior.map(priorOf)),
    profiles: v.profile,
    widen: v.widen,
    scan: v.scan,
    starts: new Map(v.start.map(startOf)),
    choices: choicesOf(v),
    workers: workersOf(v.workers),
    csv: v.csv,
    json: v.json,
  }
}
