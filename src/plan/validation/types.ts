/** What is known of the experiment and its liquids from outside, and how the program is held against it. */
import type { Bench } from './bench.ts'

export type Verdict = 'agrees' | 'disagrees' | 'cannot tell'

/** In the order in which findings are told: what is wrong comes first. */
export const VERDICTS: readonly Verdict[] = ['disagrees', 'cannot tell', 'agrees']

/** What was measured on the program, by name; SI or as the name says. NaN where there is none. */
export type Numbers = Readonly<Record<string, number | readonly number[]>>

/** One thing known from outside. Measuring and judging are apart, so that a verdict is a function of the numbers alone. */
export interface FactOf<N extends Numbers> {
  /** Short name, unique. */
  id: string
  /** In plain words. */
  fact: string
  /** Who says so; "common practice, no source" or "from memory" where nobody can be named. */
  source: string
  /** What agrees, how wide that is taken and why so wide. */
  tolerance: string
  /** Gets the numbers from the program by the way that a user's drop takes. @throws NoNumber, Stopped */
  measure(bench: Bench): N | Promise<N>
  /** What the program says, with the numbers. */
  program(numbers: N): string
  judge(numbers: N): Verdict
}

export type Fact = FactOf<Numbers>

/** Takes a fact into a list of facts whose numbers have other names. */
export const fact = <N extends Numbers>(given: FactOf<N>): Fact => given as unknown as Fact

/** A fact and what came of it. */
export interface Finding {
  fact: string
  source: string
  program: string
  verdict: Verdict
  tolerance: string
}

/** Said of rules that everyone in the trade uses and nobody has written down. */
export const PRACTICE = 'common practice, no source'
