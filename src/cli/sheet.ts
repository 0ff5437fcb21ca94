/** The command `sheet`: a preset and a bottle → the lab sheet as text or JSON. */
import { parseArgs } from 'node:util'
import type { LifeRunner } from '../life/lives.ts'
import { tensionNeighbours } from '../plan/neighbours.ts'
import { type SheetOptions, sheetOf } from '../plan/sheet/sheetOf.ts'
import { labSheetText } from '../plan/sheet/text.ts'
import { STRENGTH_FORMS } from '../plan/strength.ts'
import { fingersOf } from '../rim/fingers.ts'
import { answer, type Change, changeOf, demand, type Output, onePreset, TERMINAL, tell } from './command.ts'
import { LIQUID_OPTION, loadPreset } from './load.ts'
import { numberOption, strengthOption } from './optionValues.ts'
import { withThreads } from './threads.ts'
import { WORKERS_OPTION, workersHelp, workersOf } from './workersOption.ts'

export const HELP = `The lab sheet of a drop: cautions, recipe, dish, what to expect, camera.

  npm run -s sheet -- PRESET.json --stock 96%vol

  --stock STRENGTH   what is in the bottle
  --volume mL        how much mixture to make (50)
  --frames N         pictures from touch-down to the end (200)
  --pixels N         pixels across the shorter side of a picture (1080)
  --set KEY=VALUE    changes one value of the preset (as often as needed)
  --liquid FILE      a liquid of your own (mixture or oil) in the place of the preset's; see README
  --fingers          the beads of the rim from the full calculation (some seconds) instead of the quick estimate
${workersHelp(21)}
  --brief            only the one life: no neighbours, no comparison of dishes
  --json             one JSON object instead of the text
  --help             this text

A strength is written as ${STRENGTH_FORMS}.
Exit code 0: done. 1: the run failed, with its cause. 2: something is wrong with the input, or the output cannot be written.
`

const OPTIONS = {
  liquid: LIQUID_OPTION,
  stock: { type: 'string' },
  volume: { type: 'string', default: '50' },
  frames: { type: 'string', default: '200' },
  pixels: { type: 'string', default: '1080' },
  set: { type: 'string', multiple: true, default: [] as string[] },
  fingers: { type: 'boolean', default: false },
  workers: WORKERS_OPTION,
  brief: { type: 'boolean', default: false },
  json: { type: 'boolean', default: false },
  help: { type: 'boolean', short: 'h', default: false },
} as const

interface Asked {
  file: string
  changes: Change[]
  liquids: string[]
  options: SheetOptions
  fingers: boolean
  workers: number
  json: boolean
}

function read(argv: string[]): Asked | string {
  const { values: v, positionals } = parseArgs({ args: argv, options: OPTIONS, allowPositionals: true })
  if (v.help) return HELP
  const file = onePreset(positionals, 'presets/harbour-lane-spreads.json')
  const options = {
    stock: strengthOption('stock', v.stock),
    mixture_mL: numberOption('volume', v.volume),
    frames: numberOption('frames', v.frames),
    pixels: numberOption('pixels', v.pixels),
    brief: v.brief,
  }
  return {
    file,
    changes: v.set.map(changeOf),
    liquids: v.liquid,
    options,
    fingers: v.fingers,
    workers: workersOf(v.workers),
    json: v.json,
  }
}

/** JSON knows neither NaN nor infinities: null where there is no number. */
const jsonText = (value: unknown): string =>
  `${JSON.stringify(value, (_, v) => (typeof v === 'number' && !Number.isFinite(v) ? null : v))}\n`

async function work(
  { file, changes, liquids, options, fingers, json }: Asked,
  to: Output,
  run: LifeRunner,
): Promise<number> {
  const { preset } = demand(loadPreset(file, changes, liquids))
  const rim = fingers ? await fingersOf(preset, { neighbours: tensionNeighbours(preset) }) : null
  const made = await sheetOf(preset, run, { ...options, fingers: rim })
  if (!made.ok) {
    tell(
      to,
      made.problems.map((p) => `${file}: ${p.message}`),
    )
    return made.problems.some(({ where }) => where === 'life') ? 1 : 2
  }
  to.out(json ? jsonText(made.sheet) : labSheetText(made.sheet))
  return 0
}

/** Runs the command; gives the exit code (0 done, 1 the run failed, 2 wrong input). */
export function main(argv: string[], to: Output = TERMINAL, run?: LifeRunner): Promise<number> {
  return answer(
    to,
    () => read(argv),
    (asked) => withThreads(asked.workers, run, (lives) => work(asked, to, lives)),
  )
}
