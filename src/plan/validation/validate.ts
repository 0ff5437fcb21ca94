/** How right the program is: every fact measured anew, what disagrees first. */
import type { RunLike, WorkHooks } from '../work.ts'
import { Bench, type Liquids, NoNumber, Stopped } from './bench.ts'
import { FACTS } from './facts.ts'
import { type Fact, type Finding, VERDICTS } from './types.ts'

export interface Validation {
  status: 'done' | 'stopped'
  /** What was found by then, in order of verdict. */
  findings: Finding[]
  /** Number of facts there are. */
  total: number
  /** Why lives failed that were asked for. */
  failures: string[]
}

export interface ValidateOptions extends WorkHooks {
  facts?: readonly Fact[]
  liquids?: Liquids
}

/** What disagrees first, then what cannot be told; facts of one verdict keep their order. */
export const inOrder = (findings: readonly Finding[]): Finding[] =>
  VERDICTS.flatMap((verdict) => findings.filter((one) => one.verdict === verdict))

/** One fact held against the program. @throws Stopped */
export async function findingOf(one: Fact, bench: Bench): Promise<Finding> {
  const { fact, source, tolerance } = one
  const told = { fact, source, tolerance }
  try {
    const numbers = await one.measure(bench)
    return { ...told, program: one.program(numbers), verdict: one.judge(numbers) }
  } catch (error) {
    if (!(error instanceof NoNumber)) throw error
    return { ...told, program: `There is no number: ${error.message}`, verdict: 'cannot tell' }
  }
}

/** Holds the program against all facts, one after the other; `progress` counts them. Stopped, it gives what is known. */
export async function validate(run: RunLike, options: ValidateOptions = {}): Promise<Validation> {
  const { facts = FACTS, liquids, progress, ...hooks } = options
  const bench = new Bench(run, hooks, liquids)
  const findings: Finding[] = []
  let status: Validation['status'] = 'done'
  try {
    for (const one of facts) {
      await bench.breathe()
      findings.push(await findingOf(one, bench))
      progress?.(findings.length, facts.length)
    }
  } catch (error) {
    if (!(error instanceof Stopped)) throw error
    status = 'stopped'
  }
  return { status, findings: inOrder(findings), total: facts.length, failures: [...bench.failures] }
}
