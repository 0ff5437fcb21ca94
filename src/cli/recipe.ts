/** The command `recipe`: a bottle and a wish → what to measure out. */
import { parseArgs } from 'node:util'
import { OWN } from '../liquids/own/types.ts'
import { figure, given } from '../plan/figures.ts'
import { GRADUATED_PIPETTE, type Pipette } from '../plan/pipette.ts'
import { type Amendment, amendmentOf, type Recipe, type RecipeWish, recipeOf } from '../plan/recipe.ts'
import { STRENGTH_FORMS, type Strength, strengthWords } from '../plan/strength.ts'
import { answer, demand, type Output, TERMINAL, tell, Wrong } from './command.ts'
import { loadLiquid } from './load.ts'
import { numberOption, strengthOption } from './optionValues.ts'

const HELP = `How to mix alcohol and water from a bottle: volumes, weights, contraction.

  npm run -s recipe -- --alcohol ethanol --stock 96%vol --want 50%w --volume 50

  --alcohol NAME       ethanol (default), 2-propanol, 1-propanol or methanol (toxic)
  --liquid FILE        a volatile liquid of your own instead (a liquid file of kind mixture)
  --stock STRENGTH     what is in the bottle
  --want STRENGTH      the strength that is wanted
  --volume mL          how much of it (50); with --have: how much is there already
  --temperature °C     at which the volumes are measured (20)
  --have STRENGTH      strength of a mixture that is there already: how much stock or water corrects it
  --smallest mL        smallest volume that the pipette measures (${GRADUATED_PIPETTE.smallest_mL})
  --error mL           fixed part of the pipette's error (${GRADUATED_PIPETTE.absolute_mL})
  --error-percent P    part of its error that grows with the volume, in % (${100 * GRADUATED_PIPETTE.relative})
  --json               one JSON object instead of the text
  --help               this text

A strength is written as ${STRENGTH_FORMS}.
Exit code 0: done. 2: something is wrong with the input, the wish cannot be met, or the output cannot be written.
`

const OPTIONS = {
  alcohol: { type: 'string' },
  liquid: { type: 'string' },
  stock: { type: 'string' },
  want: { type: 'string' },
  have: { type: 'string' },
  volume: { type: 'string', default: '50' },
  temperature: { type: 'string', default: '20' },
  smallest: { type: 'string', default: String(GRADUATED_PIPETTE.smallest_mL) },
  error: { type: 'string', default: String(GRADUATED_PIPETTE.absolute_mL) },
  'error-percent': { type: 'string', default: String(100 * GRADUATED_PIPETTE.relative) },
  json: { type: 'boolean', default: false },
  help: { type: 'boolean', short: 'h', default: false },
} as const

/** The alcohol by name, or from a liquid file. */
function alcoholOf(
  alcohol: string | undefined,
  file: string | undefined,
): Pick<RecipeWish, 'alcohol' | 'liquids'> {
  if (file === undefined) return { alcohol: alcohol ?? 'ethanol' }
  if (alcohol !== undefined && alcohol !== OWN)
    throw new Wrong(`--alcohol ${alcohol} and --liquid ${file} exclude each other: give one of them`)
  const loaded = demand(loadLiquid(file))
  if (loaded.kind === 'oil')
    throw new Wrong(`${file}: this is an oil; a recipe needs a liquid file of kind "mixture"`)
  return { alcohol: OWN, liquids: { mixture: loaded.liquid } }
}

interface Wish {
  wish: RecipeWish
  have: Strength | undefined
  json: boolean
}

function read(argv: string[]): Wish | string {
  const { values: v } = parseArgs({ args: argv, options: OPTIONS, allowPositionals: false })
  if (v.help) return HELP
  const pipette: Pipette = {
    smallest_mL: numberOption('smallest', v.smallest),
    absolute_mL: numberOption('error', v.error),
    relative: numberOption('error-percent', v['error-percent']) / 100,
  }
  const wish = {
    ...alcoholOf(v.alcohol, v.liquid),
    stock: strengthOption('stock', v.stock),
    want: strengthOption('want', v.want),
    volume_mL: numberOption('volume', v.volume),
    temperature_C: numberOption('temperature', v.temperature),
    pipette,
  }
  const have = v.have === undefined ? undefined : strengthOption('have', v.have)
  return { wish, have, json: v.json }
}

/** The recipe as text. */
function recipeText(recipe: Recipe): string {
  const amount = (name: string, mL: number, g: number, more = '') =>
    `  ${name.padEnd(11)}${`${figure(mL)} mL`.padStart(10)}   or ${`${figure(g)} g`.padStart(8)}${more}`
  const { errors } = recipe
  return [
    `${given(recipe.volume_mL)} mL of ${recipe.name} and water at ${given(recipe.temperature_C)} °C`,
    `wanted: ${strengthWords(recipe.want)}`,
    `stock:  ${strengthWords(recipe.stock)}`,
    '',
    amount('stock', recipe.stock_mL, recipe.stock_g, `   (volume ± ${figure(errors.stock_mL, 2)} mL)`),
    amount('water', recipe.water_mL, recipe.water_g, `   (volume ± ${figure(errors.water_mL, 2)} mL)`),
    amount('together', recipe.volume_mL, recipe.mass_g),
    '',
    `The volumes shrink by ${figure(recipe.contraction_mL, 2)} mL on mixing.`,
    `The pipette's errors shift the strength by up to ${figure(100 * errors.largest, 2)} % by mass (likely ${figure(100 * errors.likely, 2)}).`,
    ...recipe.notes,
    '',
  ].join('\n')
}

function amendmentText(a: Amendment): string {
  if (a.add === 'nothing') return 'It has this strength already.\n'
  return `Add ${figure(a.add_mL)} mL (${figure(a.add_g)} g) of ${a.add}.\nThat makes ${figure(a.volume_mL)} mL of ${strengthWords(a.strength)}.\n`
}

function work({ wish, have, json }: Wish, to: Output): number {
  const made = have ? amendmentOf({ ...wish, have }) : recipeOf(wish)
  if (!made.ok) {
    tell(
      to,
      made.problems.map((p) => p.message),
    )
    return 2
  }
  const { ok: _, ...told } = made
  if (json) to.out(`${JSON.stringify(Object.values(told)[0])}\n`)
  else to.out('recipe' in made ? recipeText(made.recipe) : amendmentText(made.amendment))
  return 0
}

/** Runs the command; gives the exit code (0 done, 2 wrong input). */
export function main(argv: string[], to: Output = TERMINAL): Promise<number> {
  return answer(
    to,
    () => read(argv),
    (asked) => work(asked, to),
  )
}
