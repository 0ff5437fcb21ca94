/** Arguments of `choose` → what to do. Pure. */
import { parseArgs } from 'node:util'
import { keyOf } from '../life/keys.ts'
import type { Leaf } from '../life/preset.ts'
import { leafFromText } from '../life/presetLeaf.ts'
import { MOST_UNKNOWNS, type Prior } from '../measured/fit/types.ts'
import { FITTABLE } from '../measured/fit/unknowns.ts'
import { typedNumber } from '../numerics/typedNumber.ts'
import { VARIABLE } from '../plan/choose/candidates.ts'
import { rangeValues } from '../plan/choose/ranges.ts'
import {
  type ChooseWish,
  type Criterion,
  type Measuring,
  MOST_DROPS,
  USUAL,
  USUAL_MEASURING,
  type Varied,
} from '../plan/choose/types.ts'
import { type Change, changeOf, onePreset, Wrong } from './command.ts'
import { LIQUID_OPTION } from './load.ts'
import { numberOption, wholeBetween } from './optionValues.ts'
import { WORKERS_OPTION, workersHelp, workersOf } from './workersOption.ts'

const M = USUAL_MEASURING

const CHOOSE_HELP = `Which drops to put down, so that the unknowns of a fit come out best.

  npm run -s choose -- PRESET.json --unknown KEY[,KEY…] --vary KEY=LIST … --drops N [options]
  npm run -s choose -- presets/harbour-lane-spreads.json --drops 4 \\
      --unknown air.filmCoefficient_mmPerS,bath.viscosity_mPas \\
      --vary drop.alcoholMassFraction=0.4..0.8/5 --vary drop.volume_uL=2,5,10,30 --vary bath.depth_mm=5,10

  --unknown LIST     what a fit is to find, 1 to ${MOST_UNKNOWNS} keys of: ${FITTABLE.join(', ')}
  --vary KEY=LIST    values that drops may have: a list (0.4,0.5,0.6) or LEAST..MOST/NUMBER, evenly spaced
                     (0.4..0.8/5); one for each of: ${VARIABLE.join(', ')}
  --drops N          how many drops can be put down, 1 to ${MOST_DROPS}; the same one may be chosen several times
  --prior KEY=VALUE:S  what is known of an unknown beforehand as VALUE ± S (1 σ); without it ± 30 % of its value
  --optimal NAME     D: the smallest region of error of all unknowns together; A: the smallest sum of their
                     squared relative errors (${USUAL.optimal})
  --noise MM         standard error of each radius, mm (${M.noise})
  --scale-error SHARE  of the scale, for each drop, as a share of the radius (${M.scale})
  --contact-error S  of the moment of contact, s (${M.contact})
  --volume-error SHARE  of each volume, as a share (${M.volume})
  --points N         radii of each drop (${M.points})
  --longest S        longest recording, s (${M.longest})
  --draws N          values of the unknowns at which drops are judged, within what is known, 1 to 16 (${USUAL.draws})
  --most N           kinds of drops that are looked at; of more combinations an even part is taken (${USUAL.most})
  --seed N           of the random starts and of the order of the runs (${USUAL.seed})
  --cost             only tells how many lives it takes
  --set KEY=VALUE    changes one value of the preset (as often as needed)
  --liquid FILE      a liquid of your own (mixture or oil) in the place of the preset's; see README
${workersHelp(21)}
  --csv FILE         writes the plan of runs, in random order, to FILE as well
  --json             one JSON object instead of the text
  --help             this text

Exit code 0: done. 1: no drop tells anything. 2: something is wrong with the input, or the output cannot be written.
`

const text = { type: 'string' } as const

const OPTIONS = {
  unknown: { type: 'string', multiple: true, default: [] as string[] },
  vary: { type: 'string', multiple: true, default: [] as string[] },
  prior: { type: 'string', multiple: true, default: [] as string[] },
  drops: text,
  optimal: { type: 'string', default: USUAL.optimal as string },
  noise: text,
  'scale-error': text,
  'contact-error': text,
  'volume-error': text,
  points: text,
  longest: text,
  draws: text,
  most: text,
  seed: text,
  cost: { type: 'boolean', default: false },
  set: { type: 'string', multiple: true, default: [] as string[] },
  liquid: LIQUID_OPTION,
  workers: WORKERS_OPTION,
  csv: text,
  json: { type: 'boolean', default: false },
  help: { type: 'boolean', short: 'h', default: false },
} as const

export interface ChooseCommand {
  preset: string
  changes: Change[]
  liquids: string[]
  wish: Omit<ChooseWish, 'preset'>
  costOnly: boolean
  workers: number
  csv: string | undefined
  json: boolean
}

const parts = (list: string): string[] =>
  list
    .split(',')
    .map((part) => part.trim())
    .filter(Boolean)

/** One value of a key, checked against its line in the table of keys. */
function leafOf(key: string, one: string, from: string): Leaf {
  const known = keyOf(key)
  if (!known) throw new Wrong(`${from}: there is no key ${JSON.stringify(key.slice(0, 60))}`)
  const read = leafFromText(known, one)
  if (!read.ok) throw new Wrong(`${from}: ${read.message}`)
  return read.value
}

function variedOf(argument: string): Varied {
  const [, key = '', list = ''] = /^([^=]+)=(.*)$/s.exec(argument) ?? []
  const from = `--vary ${argument.slice(0, 80)}`
  const example =
    'write it as --vary KEY=LIST, e.g. --vary drop.volume_uL=2,5,10 or --vary drop.volume_uL=2..10/5'
  if (list.trim() === '') throw new Wrong(`${from}: ${example}`)
  if (!VARIABLE.includes(key.trim()))
    throw new Wrong(`${from}: ${JSON.stringify(key)} cannot vary. Permitted: ${VARIABLE.join(', ')}`)
  const range = /^(.+)\.\.(.+)\/(.+)$/.exec(list.trim())
  if (!range) return { key: key.trim(), values: parts(list).map((one) => leafOf(key.trim(), one, from)) }
  const [least, most, count] = range.slice(1).map((one) => typedNumber(one)) as [number, number, number]
  if (![least, most, count].every(Number.isFinite)) throw new Wrong(`${from}: ${example}`)
  const made = rangeValues(least, most, count)
  if (!made.ok) throw new Wrong(`${from}: ${made.message}`)
  return { key: key.trim(), values: made.values.map((one) => leafOf(key.trim(), String(one), from)) }
}

function priorOf(argument: string): [string, Prior] {
  const [, path, value, sigma] = /^([^=]+)=([^:]+):([^:]+)$/.exec(argument) ?? []
  const prior = { value: typedNumber(value ?? ''), sigma: typedNumber(sigma ?? '') }
  if (path && Number.isFinite(prior.value) && prior.sigma > 0) return [path.trim(), prior]
  throw new Wrong(
    `--prior ${argument}: write it as --prior KEY=VALUE:SIGMA with SIGMA above 0, e.g. --prior bath.viscosity_mPas=60:10`,
  )
}

/** What is to be done, or the help. @throws Wrong, or what parseArgs throws, with what would be right. */
export function readChoose(argv: string[]): ChooseCommand | string {
  const { values: v, positionals } = parseArgs({ args: argv, options: OPTIONS, allowPositionals: true })
  if (v.help) return CHOOSE_HELP
  const preset = onePreset(positionals, 'presets/harbour-lane-spreads.json')
  const unknowns = v.unknown.flatMap(parts)
  if (unknowns.length === 0) throw new Wrong('Which --unknown? E.g. --unknown bath.viscosity_mPas')
  if (v.vary.length === 0) throw new Wrong('What may --vary? E.g. --vary drop.volume_uL=2,5,10')
  if (v.drops === undefined)
    throw new Wrong(`How many --drops? Permitted: whole numbers from 1 to ${MOST_DROPS}`)
  if (v.optimal !== 'D' && v.optimal !== 'A')
    throw new Wrong(`--optimal is ${JSON.stringify(v.optimal)}. Permitted: D, A`)
  const number = (
    name: 'noise' | 'scale-error' | 'contact-error' | 'volume-error' | 'longest',
    usual: number,
  ) => (v[name] === undefined ? usual : numberOption(name, v[name]))
  const whole = (name: 'points' | 'draws' | 'most' | 'seed', usual: number, min: number, max: number) =>
    v[name] === undefined ? usual : wholeBetween(name, v[name], min, max)
  const measuring: Measuring = {
    points: whole('points', M.points, 5, 1000),
    longest: number('longest', M.longest),
    noise: number('noise', M.noise),
    scale: number('scale-error', M.scale),
    contact: number('contact-error', M.contact),
    volume: number('volume-error', M.volume),
  }
  return {
    preset,
    changes: v.set.map(changeOf),
    liquids: v.liquid,
    wish: {
      unknowns,
      priors: Object.fromEntries(v.prior.map(priorOf)),
      vary: v.vary.map(variedOf),
      drops: wholeBetween('drops', v.drops, 1, MOST_DROPS),
      optimal: v.optimal as Criterion,
      seed: whole('seed', USUAL.seed, 0, 2 ** 32 - 1),
      measuring,
      draws: whole('draws', USUAL.draws, 1, 16),
      most: whole('most', USUAL.most, 2, 600),
    },
    costOnly: v.cost,
    workers: workersOf(v.workers),
    csv: v.csv,
    json: v.json,
  }
}
