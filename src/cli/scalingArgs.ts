/** Arguments of `scaling` → what to do. Pure. */
import { parseArgs } from 'node:util'
import { COLLAPSE_RULES, type CollapseRule, collapseRuleName, collapseRuleText } from '../measured/scaling.ts'
import type { Choices } from '../measured/types.ts'
import { typedNumber } from '../numerics/typedNumber.ts'
import { MOST_STRENGTHS } from '../plan/family.ts'
import type { StrengthBasis } from '../plan/scalingReport.ts'
import { type Change, changeOf, Wrong } from './command.ts'
import { LIQUID_OPTION } from './load.ts'
import { choicesOf, TABLE_HELP, TABLE_OPTIONS } from './tableOptions.ts'
import { WORKERS_OPTION, workersHelp, workersOf } from './workersOption.ts'

const RULES = new Map(COLLAPSE_RULES.map((rule) => [collapseRuleName(rule), rule]))

const ruleLines = [...RULES].map(
  ([name, rule]) => `                       ${name}: ${collapseRuleText(rule)}`,
)

const SCALING_HELP = `Compares series on scaled axes: R/R_max against t/t_collapse, R_max against alcohol, R_max/R*.

  npm run -s scaling -- presets/a.json presets/b.json [curves.csv …] [options]

  Presets (.json) give simulated series, all other files are tables of measured curves.

  --strengths LIST     runs each preset at these alcohol mass fractions, e.g. 0.4,0.5,0.6
  --lives              also a life for each measured curve whose strength is in its table; what else
                       the table does not state is taken from the first preset
  --rule NAME          what counts as the collapse (below-0.3)
${ruleLines.join('\n')}
  --by mass|volume     alcohol by mass or by volume at 20 °C (mass)
  --set KEY=VALUE      changes one value of every preset (as often as needed)
  --liquid FILE        a liquid of your own (mixture or oil) in the place of every preset's; see README
${workersHelp(23)}
  --csv FILE           writes the table of scales and ratios to FILE as well
  --json               one JSON object instead of the text
  --help               this text

${TABLE_HELP}

Exit code 0: done. 1: a run failed, with its cause. 2: something is wrong with the input, or the output cannot be written.
`

const OPTIONS = {
  liquid: LIQUID_OPTION,
  strengths: { type: 'string' },
  lives: { type: 'boolean', default: false },
  rule: { type: 'string', default: 'below-0.3' },
  by: { type: 'string', default: 'mass' },
  set: { type: 'string', multiple: true, default: [] as string[] },
  workers: WORKERS_OPTION,
  csv: { type: 'string' },
  ...TABLE_OPTIONS,
  json: { type: 'boolean', default: false },
  help: { type: 'boolean', short: 'h', default: false },
} as const

export interface ScalingCommand {
  presets: string[]
  tables: string[]
  strengths: number[] | undefined
  lives: boolean
  rule: CollapseRule
  by: StrengthBasis
  changes: Change[]
  liquids: string[]
  /** What the tables leave open. */
  choices: Choices
  /** Threads that compute lives. */
  workers: number
  csv: string | undefined
  json: boolean
}

function strengthsIn(text: string): number[] {
  const parts = text.split(/[,;\s]+/).filter(Boolean)
  const values = parts.map(typedNumber)
  const wrong = parts.find((_, i) => !(values[i]! >= 0 && values[i]! <= 1))
  if (wrong !== undefined)
    throw new Wrong(`--strengths: ${JSON.stringify(wrong)} is no mass fraction. Permitted: 0 to 1`)
  if (values.length === 0 || values.length > MOST_STRENGTHS)
    throw new Wrong(`--strengths has ${values.length} values. Permitted: 1 to ${MOST_STRENGTHS}`)
  return values
}

/** What is to be done, or the help. @throws Wrong, or what parseArgs throws, with what would be right. */
export function readScaling(argv: string[]): ScalingCommand | string {
  const { values: v, positionals } = parseArgs({ args: argv, options: OPTIONS, allowPositionals: true })
  if (v.help) return SCALING_HELP
  if (positionals.length === 0)
    throw new Wrong(
      'Which series? Give presets and tables, e.g. presets/reference.json --strengths 0.4,0.5,0.6',
    )
  const rule = RULES.get(v.rule)
  if (!rule)
    throw new Wrong(`--rule is ${JSON.stringify(v.rule)}. Permitted: ${[...RULES.keys()].join(', ')}`)
  if (v.by !== 'mass' && v.by !== 'volume')
    throw new Wrong(`--by is ${JSON.stringify(v.by)}. Permitted: mass, volume`)
  const isPreset = (file: string) => /\.json$/i.test(file)
  const needsPreset = v.liquid.length > 0 ? '--liquid' : v.set.length > 0 ? '--set' : ''
  if (needsPreset && !positionals.some(isPreset))
    throw new Wrong(`${needsPreset} changes presets, and none is given`)
  return {
    presets: positionals.filter(isPreset),
    tables: positionals.filter((file) => !isPreset(file)),
    strengths: v.strengths === undefined ? undefined : strengthsIn(v.strengths),
    lives: v.lives,
    rule,
    by: v.by,
    changes: v.set.map(changeOf),
    liquids: v.liquid,
    choices: choicesOf(v),
    workers: workersOf(v.workers),
    csv: v.csv,
    json: v.json,
  }
}
