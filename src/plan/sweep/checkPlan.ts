/** A sweep's plan: from parsed JSON to what is computed, or everything that is wrong with it. Pure. */
import type { Level } from '../../life/accuracy.ts'
import { keyOf } from '../../life/keys.ts'
import { problem, unknownKey } from '../../life/presetCheck.ts'
import { serialisePreset } from '../../life/presetText.ts'
import type { Preset, Problem } from '../../life/types.ts'
import { didYouMean, isGroup, shown } from '../../liquids/own/messageWords.ts'
import { MOST_DIMENSIONS } from '../../numerics/sampling/sobol.ts'
import { OUTPUTS, outputOf } from '../outputs.ts'
import { checkInput, valueProblem, wholeProblem } from './checkInput.ts'
import {
  DESIGNS,
  type Design,
  type InputValue,
  isSpan,
  MOST_ROWS,
  SWEEP_FORMAT,
  SWEEP_VERSION,
  type SweepInput,
  type SweepPlan,
} from './types.ts'

export type PlanResult = { ok: true; plan: SweepPlan } | { ok: false; problems: Problem[] }

const NAMES = [
  'format',
  'version',
  'preset',
  'liquid',
  'inputs',
  'rows',
  'design',
  'count',
  'seed',
  'accuracy',
  'outputs',
]
const LEVELS = ['quick', 'normal', 'fine']
/** Most numbers that a Latin hypercube draws at once (they are held in memory). */
const MOST_DRAWN = 50_000_000
const ACCURACY = 'model.accuracy'

const oneOf = (where: string, value: unknown, permitted: readonly string[]): Problem[] => {
  if (typeof value === 'string' && permitted.includes(value)) return []
  const hint = typeof value === 'string' ? didYouMean(value, permitted) : ''
  return [problem(where, `${where} is ${shown(value)}. Permitted: ${permitted.join(', ')}.${hint}`)]
}

function checkHead(given: Record<string, unknown>): Problem[] {
  if (given.format !== SWEEP_FORMAT)
    return [problem('format', `format is ${shown(given.format)}; a plan has "format": "${SWEEP_FORMAT}".`)]
  if (given.version === SWEEP_VERSION) return []
  const words = `version is ${shown(given.version)}; this program reads version ${SWEEP_VERSION}.`
  return [problem('version', words)]
}

const unknownNames = (given: Record<string, unknown>): Problem[] =>
  Object.keys(given)
    .filter((name) => !NAMES.includes(name))
    .map((name) => {
      const short = name.slice(0, 60)
      const hint = didYouMean(short, NAMES)
      return problem(short, `${short} is no part of a plan. Permitted: ${NAMES.join(', ')}.${hint}`)
    })

function checkOutputs(given: unknown, problems: Problem[]): string[] {
  const all = OUTPUTS.map(({ id }) => id)
  if (given === undefined) return all
  if (!Array.isArray(given) || given.length === 0) {
    const what = Array.isArray(given) ? 'an empty list' : shown(given)
    problems.push(problem('outputs', `outputs is ${what}; it must be a list of ${all.join(', ')}.`))
    return []
  }
  given.forEach((id, i) => {
    const where = `outputs, number ${i + 1}`
    if (typeof id !== 'string' || !outputOf(id)) {
      const hint = typeof id === 'string' ? didYouMean(id, all) : ''
      problems.push(problem(where, `${where} is ${shown(id)}. Permitted: ${all.join(', ')}.${hint}`))
    } else if (given.indexOf(id) < i) problems.push(problem(where, `${where}: ${id} is given twice.`))
  })
  return given
}

/** A list row by row becomes a list input by input; all rows have the keys of the first. */
function inputsOfRows(rows: unknown, problems: Problem[]): SweepInput[] {
  if (!Array.isArray(rows) || rows.length === 0 || !isGroup(rows[0])) {
    problems.push(problem('rows', 'rows must be a list of groups, e.g. [{ "drop.volume_uL": 5 }, …].'))
    return []
  }
  const keys = Object.keys(rows[0])
  const before = problems.length
  for (const key of keys)
    if (!keyOf(key)) problems.push({ ...unknownKey(key), where: `rows, ${key.slice(0, 60)}` })
  if (keys.length === 0)
    problems.push(problem('rows', 'rows: row 1 is empty; it must give at least one key.'))
  for (const [i, row] of rows.entries()) {
    const where = `rows, row ${i + 1}`
    const same = isGroup(row) && Object.keys(row).length === keys.length && keys.every((key) => key in row)
    if (!same) problems.push(problem(where, `${where} must have the keys of row 1: ${keys.join(', ')}.`))
    else for (const key of keys) problems.push(...valueProblem(where, key, row[key]))
  }
  if (problems.length > before) return []
  return keys.map((key) => ({ key, values: rows.map((row) => row[key] as InputValue) }))
}

function checkInputs(
  given: Record<string, unknown>,
  design: Design | undefined,
  problems: Problem[],
): SweepInput[] {
  const { inputs, rows } = given
  if (rows !== undefined && design && design !== 'list')
    problems.push(problem('rows', `rows are for the design "list"; this one is "${design}".`))
  else if (rows !== undefined && inputs !== undefined)
    problems.push(problem('rows', 'a list has inputs or rows, not both.'))
  else if (rows !== undefined) return inputsOfRows(rows, problems)
  else if (!isGroup(inputs) || Object.keys(inputs).length === 0)
    problems.push(
      problem(
        'inputs',
        `inputs is ${isGroup(inputs) ? 'empty' : shown(inputs)}; it must be a group of keys, e.g. { "drop.volume_uL": { "from": 5, "to": 20 } }.`,
      ),
    )
  else return Object.entries(inputs).flatMap(([path, one]) => checkInput(path, one, design, problems) ?? [])
  return []
}

/** Rows of a grid or list; undefined where the plan itself says how many. */
function rowsOf(inputs: readonly SweepInput[], design: Design, problems: Problem[]): number | undefined {
  const sizes = inputs.map((input) => (isSpan(input) ? (input.count ?? 0) : input.values.length))
  if (design === 'grid') {
    const count = sizes.reduce((product, size) => product * size, 1)
    if (count > MOST_ROWS)
      problems.push(
        problem(
          'inputs',
          `inputs: the grid has ${sizes.join(' × ')} = ${count} rows. Permitted: at most ${MOST_ROWS}.`,
        ),
      )
    return count
  }
  if (design !== 'list') return undefined
  const other = inputs.findIndex((_, i) => sizes[i] !== sizes[0])
  if (other > 0)
    problems.push(
      problem(
        'inputs',
        `inputs: ${inputs[0]!.key} has ${sizes[0]} values, ${inputs[other]!.key} has ${sizes[other]}. Permitted in a list: equally many.`,
      ),
    )
  return sizes[0]
}

function checkCount(
  given: Record<string, unknown>,
  inputs: readonly SweepInput[],
  design: Design,
  problems: Problem[],
): number {
  const before = problems.length
  const made = rowsOf(inputs, design, problems)
  if (made === undefined) {
    problems.push(...wholeProblem('count', given.count, 1, MOST_ROWS))
    const { length } = inputs
    const count = Number(given.count)
    if (problems.length === before && design === 'latin' && count * length > MOST_DRAWN) {
      const most = Math.floor(MOST_DRAWN / length)
      const words = `count is ${count}. Permitted for "latin" with ${length} inputs: at most ${most}; "sobol" takes ${MOST_ROWS}.`
      problems.push(problem('count', words))
    }
    if (design === 'sobol' && length > MOST_DIMENSIONS)
      problems.push(
        problem('inputs', `inputs has ${length} keys. Permitted for "sobol": ${MOST_DIMENSIONS}.`),
      )
    return count
  }
  if (given.count !== undefined && given.count !== made && problems.length === before)
    problems.push(
      problem('count', `count is ${shown(given.count)}; this ${design} has ${made} rows. Leave count out.`),
    )
  return made
}

/** Undefined where the accuracy is an input. */
function checkAccuracy(
  given: unknown,
  inputs: readonly SweepInput[],
  problems: Problem[],
): Level | undefined {
  const varied = inputs.some(({ key }) => key === ACCURACY)
  if (varied && given !== undefined)
    problems.push(
      problem('accuracy', `accuracy: ${ACCURACY} is among the inputs as well. Keep one of the two.`),
    )
  if (varied) return undefined
  if (given === undefined) return 'quick'
  problems.push(...oneOf('accuracy', given, LEVELS))
  return given as Level
}

/**
 * Checks a plan. `preset` is what stands behind its "preset", undefined where that was found wrong elsewhere. All problems
 * are reported at once.
 */
export function checkPlan(given: unknown, preset: Preset | undefined): PlanResult {
  if (!isGroup(given))
    return { ok: false, problems: [problem('', `A plan is a group in { }; this is ${shown(given)}.`)] }
  const head = checkHead(given)
  if (head.length > 0) return { ok: false, problems: head }
  const problems = unknownNames(given)
  const designWrong = oneOf('design', given.design, DESIGNS)
  problems.push(...designWrong)
  const outputs = checkOutputs(given.outputs, problems)
  if (given.seed !== undefined) problems.push(...wholeProblem('seed', given.seed, 0, 2 ** 32 - 1))
  const design = designWrong.length > 0 ? undefined : (given.design as Design)
  const before = problems.length
  const inputs = checkInputs(given, design, problems)
  const accuracy = checkAccuracy(given.accuracy, inputs, problems)
  const count = design && problems.length === before ? checkCount(given, inputs, design, problems) : 0
  if (problems.length > 0 || !preset || !design) return { ok: false, problems }
  const seed = (given.seed as number | undefined) ?? 0
  return { ok: true, plan: { preset, inputs, design, count, seed, accuracy, outputs } }
}

/** The plan as it was understood, with the preset whole: a plan file in its turn. */
export function planObject(plan: SweepPlan): Record<string, unknown> {
  const { inputs, design, count, seed, accuracy, outputs } = plan
  return {
    format: SWEEP_FORMAT,
    version: SWEEP_VERSION,
    preset: JSON.parse(serialisePreset(plan.preset)),
    inputs: Object.fromEntries(inputs.map(({ key, ...rest }) => [key, rest])),
    design,
    count,
    ...(design === 'latin' || design === 'sobol' ? { seed } : {}),
    ...(accuracy === undefined ? {} : { accuracy }),
    outputs,
  }
}
