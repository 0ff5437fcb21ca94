/** From a row's inputs to its drop, and from its life to what the table holds. Pure. */
import { keyOf } from '../../life/keys.ts'
import { type PresetResult, setKeys } from '../../life/preset.ts'
import type { LifeResult, Problem } from '../../life/types.ts'
import { outputOf } from '../outputs.ts'
import type { InputValue, SweepPlan } from './types.ts'

/** What came of a row. */
export interface Row {
  /** In the order of the plan's; null where this life has none. */
  outputs: (number | null)[]
  /** An outcome of a life, or "not-permitted": the rules of presets refuse these inputs together. */
  outcome: string
  /** Why so, or ''. */
  cause: string
}

export const NOT_PERMITTED = 'not-permitted'
export const FAILED = 'failed'

/** The drop of a row; the problems where the rules between keys refuse it. */
export function presetOfRow(plan: SweepPlan, values: readonly InputValue[]): PresetResult {
  const changes = plan.inputs.map(({ key }, i) => [key, values[i]!] as const)
  return setKeys(
    plan.preset,
    plan.accuracy === undefined ? changes : [['model.accuracy', plan.accuracy], ...changes],
  )
}

const words = (problems: readonly Problem[]): string => problems.map(({ message }) => message).join(' ')

export const refusedRow = (plan: SweepPlan, problems: readonly Problem[]): Row => ({
  outputs: plan.outputs.map(() => null),
  outcome: NOT_PERMITTED,
  cause: words(problems),
})

/** What a life comes to; a failed one has no numbers. */
export function rowOf(plan: SweepPlan, result: LifeResult): Row {
  const none = plan.outputs.map(() => null)
  if (!result.ok) return { outputs: none, outcome: FAILED, cause: words(result.problems) }
  const { life } = result
  const { outcome, cause } = life.summary
  if (outcome === FAILED) return { outputs: none, outcome, cause }
  const outputs = plan.outputs.map((id) => {
    const value = outputOf(id)!.of(life)
    return Number.isFinite(value) ? value : null
  })
  return { outputs, outcome, cause }
}

/** How a column of the results is kept. */
export type ColumnKind = 'number' | 'whole' | 'text' | 'truth'

export interface Column {
  name: string
  kind: ColumnKind
  /** Whether a row may have no value here. */
  mayLack: boolean
}

function kindOf(path: string): ColumnKind {
  const key = keyOf(path)
  if (key?.kind === 'number') return key.integer ? 'whole' : 'number'
  return key?.kind === 'switch' ? 'truth' : 'text'
}

/** The columns of the results: row number, inputs, outputs, outcome, cause. */
export const columnsOf = ({ inputs, outputs }: SweepPlan): Column[] => [
  { name: 'row', kind: 'whole', mayLack: false },
  ...inputs.map(({ key }) => ({ name: key, kind: kindOf(key), mayLack: true })),
  ...outputs.map((id) => ({ name: id, kind: 'number' as const, mayLack: true })),
  { name: 'outcome', kind: 'text', mayLack: false },
  { name: 'cause', kind: 'text', mayLack: false },
]
