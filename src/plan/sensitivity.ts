/**
 * Which uncertain input the spread of a drop's numbers comes from: first-order and total indices (Saltelli's design) over whole
 * lives. See `numerics/sampling/sensitivity.ts` for the estimators and their source.
 */
import type { Preset } from '../life/types.ts'
import {
  type BaseResults,
  type Index,
  saltelliRows,
  sensitivityIndices,
} from '../numerics/sampling/sensitivity.ts'
import { type Output, outputOf } from './outputs.ts'
import { shiftedSequence } from './samplePoints.ts'
import type { Varied } from './sensitivityInputs.ts'
import { quickly, type RunLike, Work, type WorkHooks } from './work.ts'

/** What is asked about unless something else is named. */
export const USUAL_OUTPUTS: readonly string[] = [
  'maxRadius_mm',
  'life_s',
  'thinnest_um',
  'rimHeight_um',
  'beads',
]

/** Fewer base points tell no index. */
export const LEAST_BASE = 16
export const USUAL_BASE = 64
export const MOST_BASE = 4096

/** Lives of so many base points. */
export const livesOf = (inputs: number, base: number): number => base * (inputs + 2)

export interface OutputShares extends Pick<Output, 'id' | 'label' | 'unit'> {
  /** Of the drawn lives, in `unit`. */
  mean: number
  /** Standard deviation, in `unit`. */
  spread: number
  /** Base points behind the indices; those with a life that has no such number are left out. */
  used: number
  left: number
  /** In the order of the inputs; null where too few base points remain or nothing varies. */
  indices: readonly Index[] | null
}

export interface Sensitivity {
  status: 'growing' | 'done' | 'stopped'
  inputs: readonly Pick<Varied, 'id' | 'label' | 'amount' | 'basis'>[]
  /** Inputs that are not varied, with the reason. */
  left: readonly { id: string; label: string; reason: string }[]
  /** Base points wanted and done. */
  base: number
  done: number
  lives: number
  /** Lives that failed, and some of the reasons. */
  failed: number
  failures: readonly string[]
  outputs: readonly OutputShares[]
}

export interface SensitivityOptions extends WorkHooks {
  inputs: readonly Varied[]
  left?: Sensitivity['left']
  base: number
  /** Ids of outputs. */
  outputs?: readonly string[]
  /** Called with what is known after base points; asked for less often than they are done where it costs much. */
  grown?(so: () => Sensitivity): void
}

/** A drop that no preset may be, as a life that failed. */
function dropAt(preset: Preset, inputs: readonly Varied[], row: ArrayLike<number>): Preset | string {
  try {
    return inputs.reduce((so, input, k) => input.at(so, row[k]!), preset)
  } catch (error) {
    return (error as Error).message
  }
}

function sharesOf(output: Output, results: readonly BaseResults[], inputs: number): OutputShares {
  const { id, label, unit } = output
  const { indices, mean, variance, used, left } = sensitivityIndices(results, inputs)
  const told = used >= LEAST_BASE && indices.every(({ total }) => Number.isFinite(total))
  return { id, label, unit, mean, spread: Math.sqrt(variance), used, left, indices: told ? indices : null }
}

/**
 * Runs the lives and gives the indices. Lives are compared among one another: the quick mesh is good enough. Stopped early, it
 * gives what the base points done by then tell. @throws RangeError for an unknown output
 */
export async function sensitivityOf(
  preset: Preset,
  run: RunLike,
  options: SensitivityOptions,
): Promise<Sensitivity> {
  const stated = quickly(preset)
  const { inputs, base, left = [] } = options
  const outputs = (options.outputs ?? USUAL_OUTPUTS).map((id) => {
    const output = outputOf(id)
    if (!output) throw new RangeError(`There is no output ${id}.`)
    return output
  })
  const work = new Work(run, options, livesOf(inputs.length, base))
  const sequence = shiftedSequence(2 * inputs.length)
  const results: number[][][] = outputs.map(() => [])
  let [done, impossible] = [0, 0]
  const reasons: string[] = []
  const so = (status: Sensitivity['status']): Sensitivity => ({
    status,
    inputs: inputs.map(({ id, label, amount, basis }) => ({ id, label, amount, basis })),
    left,
    base,
    done,
    lives: work.done,
    failed: work.failures.length + impossible,
    failures: [...new Set([...work.failures, ...reasons])].slice(0, 5),
    outputs: outputs.map((output, o) => sharesOf(output, results[o]!, inputs.length)),
  })
  function* rows() {
    for (let k = 0; k < base; k++)
      for (const row of saltelliRows(sequence, k)) yield dropAt(stated, inputs, row)
  }
  let lives: number[][] = []
  for (const drop of work.over(rows(), (one) => typeof one !== 'string' && work.foresee(one))) {
    const life = typeof drop === 'string' ? undefined : await work.life(drop)
    if (work.stopped) break
    if (typeof drop === 'string') {
      impossible++
      reasons.push(drop)
    }
    lives.push(outputs.map((output) => (life ? output.of(life) : Number.NaN)))
    if (lives.length < inputs.length + 2) continue
    for (const [o, known] of results.entries()) known.push(lives.map((values) => values[o]!))
    lives = []
    done++
    options.grown?.(() => so('growing'))
  }
  return so(work.stopped ? 'stopped' : 'done')
}
