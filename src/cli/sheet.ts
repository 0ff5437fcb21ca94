/** The command `sheet`: a preset and a bottle → the lab sheet as text or JSON. */
import { parseArgs } from 'node:util'
import { runLifeSync } from '../life/run.ts'
import { labSheetText } from '../plan/labSheet.ts'
import { type SheetOptions, sheetOf } from '../plan/sheetOf.ts'
import { STRENGTH_FORMS } from '../plan/strength.ts'
import type { RunLike } from '../plan/work.ts'
import { type Change, changeOf, LIQUID_OPTION, loadPreset, NOT_A_CHANGE } from './load.ts'
import { numberOption, type Output, strengthOption, Wrong, wrongArgument } from './recipe.ts'

export const HELP = `The lab sheet of a drop: cautions, recipe, dish, what to expect, camera.

  npm run -s sheet -- PRESET.json --stock 96%vol

  --stock STRENGTH   what is in the bottle
  --volume mL        how much mixture to make (50)
  --frames N         pictures from touch-down to the end (200)
  --pixels N         pixels across the shorter side of a picture (1080)
  --set KEY=VALUE    changes one value of the preset (as often as needed)
  --liquid FILE      a liquid of your own (mixture or oil) in the place of the preset's; see README
  --brief            only the one life: no neighbours, no comparison of dishes
  --json             one JSON object instead of the text
  --help             this text

A strength is written as ${STRENGTH_FORMS}.
Exit code 0: done. 1: the run failed, with its cause. 2: something is wrong with the input.
`

const OPTIONS = {
  liquid: LIQUID_OPTION,
  stock: { type: 'string' },
  volume: { type: 'string', default: '50' },
  frames: { type: 'string', default: '200' },
  pixels: { type: 'string', default: '1080' },
  set: { type: 'string', multiple: true, default: [] as string[] },
  brief: { type: 'boolean', default: false },
  json: { type: 'boolean', default: false },
  help: { type: 'boolean', short: 'h', default: false },
} as const

const real: Output = {
  out: (text) => void process.stdout.write(text),
  err: (text) => void process.stderr.write(text),
}

interface Asked {
  file: string
  changes: Change[]
  liquids: string[]
  options: SheetOptions
  json: boolean
}

function change(text: string): Change {
  const made = changeOf(text)
  if (!made) throw new Wrong(NOT_A_CHANGE(text))
  return made
}

function read(argv: string[]): Asked | 'help' {
  const { values: v, positionals } = parseArgs({ args: argv, options: OPTIONS, allowPositionals: true })
  if (v.help) return 'help'
  const [file, ...more] = positionals
  if (file === undefined)
    throw new Wrong('Which drop? Give a preset file, e.g. presets/harbour-lane-spreads.json')
  if (more.length > 0)
    throw new Wrong(`One preset file at a time; ${JSON.stringify(more[0])} is one too many`)
  const options = {
    stock: strengthOption('stock', v.stock),
    mixture_mL: numberOption('volume', v.volume),
    frames: numberOption('frames', v.frames),
    pixels: numberOption('pixels', v.pixels),
    brief: v.brief,
  }
  return { file, changes: v.set.map(change), liquids: v.liquid, options, json: v.json }
}

/** JSON knows neither NaN nor infinities: null where there is no number. */
const json = (value: unknown): string =>
  `${JSON.stringify(value, (_, v) => (typeof v === 'number' && !Number.isFinite(v) ? null : v))}\n`

/** Runs the command; gives the exit code (0 done, 1 the run failed, 2 wrong input). */
export async function main(argv: string[], to: Output = real, run: RunLike = runLifeSync): Promise<number> {
  let asked: Asked | 'help'
  try {
    asked = read(argv)
  } catch (error) {
    to.err(wrongArgument(error))
    return 2
  }
  if (asked === 'help') {
    to.out(HELP)
    return 0
  }
  const { file } = asked
  const loaded = loadPreset(file, asked.changes, asked.liquids)
  if (!loaded.ok) {
    to.err(`${loaded.messages.join('\n')}\n`)
    return 2
  }
  const made = await sheetOf(loaded.preset, run, asked.options)
  if (!made.ok) {
    to.err(made.problems.map((p) => `${file}: ${p.message}\n`).join(''))
    return made.problems.some(({ where }) => where === 'life') ? 1 : 2
  }
  to.out(asked.json ? json(made.sheet) : labSheetText(made.sheet))
  return 0
}
