/** What `sensitivity` reads: a preset, or a plan with a preset and inputs of its own. */
import { dirname, isAbsolute, join } from 'node:path'
import { readJson } from '../life/presetText.ts'
import type { Preset } from '../life/types.ts'
import { shownValue } from '../plan/figures.ts'
import type { OwnWidth } from '../plan/sensitivityInputs.ts'
import type { Change } from './command.ts'
import { readText, userPath } from './files.ts'
import { type Loaded, loadPreset } from './load.ts'

const PLAN_BYTES = 100_000

export interface SensitivityPlan {
  preset: Preset
  /** Files that were read: none of them is written to. */
  files: string[]
  inputs: Record<string, OwnWidth | true> | undefined
  outputs: string[] | undefined
  base: number | undefined
}

type Fields = Record<string, unknown>

const isFields = (value: unknown): value is Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

const KNOWN = ['preset', 'inputs', 'outputs', 'base']
const FORMS =
  'write { "width": 0.1 } (one standard deviation), { "from": 1, "to": 2 }, or true for the width of the table'

/** An input of a plan, or what is wrong with it. */
function widthOf(name: string, value: unknown): OwnWidth | true | string {
  if (value === true) return true
  if (!isFields(value)) return `input ${name} is ${shownValue(JSON.stringify(value))}: ${FORMS}`
  const { width, from, to, ...rest } = value
  const [other] = Object.keys(rest)
  if (other !== undefined) return `input ${name}: "${other}" means nothing here; ${FORMS}`
  if (typeof width === 'number' && from === undefined && to === undefined)
    return width >= 0 && Number.isFinite(width)
      ? { width }
      : `input ${name}: its width is ${width}. Permitted: 0 or more`
  if (width === undefined && typeof from === 'number' && typeof to === 'number')
    return from < to ? { from, to } : `input ${name}: "from" must be below "to"`
  return `input ${name}: ${FORMS}`
}

function planOf(plan: Fields): {
  problems: string[]
  rest: Pick<SensitivityPlan, 'inputs' | 'outputs' | 'base'>
} {
  const problems = Object.keys(plan)
    .filter((name) => !KNOWN.includes(name))
    .map((name) => `"${name}" means nothing in a plan. There are: ${KNOWN.join(', ')}`)
  const rest: Pick<SensitivityPlan, 'inputs' | 'outputs' | 'base'> = {
    inputs: undefined,
    outputs: undefined,
    base: undefined,
  }
  const { inputs, outputs, base } = plan
  if (inputs !== undefined && !isFields(inputs))
    problems.push('"inputs" is an object: names of inputs with their widths')
  else if (inputs) {
    rest.inputs = {}
    for (const [name, value] of Object.entries(inputs)) {
      const width = widthOf(name, value)
      if (typeof width === 'string') problems.push(width)
      else rest.inputs[name] = width
    }
  }
  if (outputs !== undefined) {
    if (Array.isArray(outputs) && outputs.length > 0 && outputs.every((one) => typeof one === 'string'))
      rest.outputs = outputs
    else problems.push('"outputs" is a list of names, as ["maxRadius_mm", "life_s"]')
  }
  if (base !== undefined) {
    if (typeof base === 'number') rest.base = base
    else problems.push('"base" is a whole number')
  }
  return { problems, rest }
}

/** Reads the file of the command. A plan names its preset by a path from where the plan lies, or holds it. */
export function loadSensitivity(
  file: string,
  changes: readonly Change[],
  liquids: readonly string[],
): Loaded<{ plan: SensitivityPlan }> {
  const read = readText(userPath(file), PLAN_BYTES)
  const json = read.ok ? readJson(read.text) : undefined
  const plan = json?.ok && isFields(json.value) && 'preset' in json.value ? json.value : undefined
  if (!plan) {
    const loaded = loadPreset(file, changes, liquids)
    if (!loaded.ok) return loaded
    const none = { inputs: undefined, outputs: undefined, base: undefined }
    return { ok: true, plan: { preset: loaded.preset, files: [file], ...none } }
  }
  const { problems, rest } = planOf(plan)
  const where = plan.preset
  if (typeof where !== 'string' || where === '') problems.push('"preset" is the path of a preset file')
  if (problems.length > 0) return { ok: false, messages: problems.map((text) => `${file}: ${text}.`) }
  const path = where as string
  const beside = isAbsolute(path) ? path : join(dirname(file), path)
  const loaded = loadPreset(beside, changes, liquids)
  if (!loaded.ok) return loaded
  return { ok: true, plan: { preset: loaded.preset, files: [file, beside], ...rest } }
}
