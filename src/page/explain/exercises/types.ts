/** What an exercise is. Everything here is pure: lives come in, words go out. */
import type { Life, Preset } from '../../../life/types.ts'

export interface Verdict {
  done: boolean
  /** What is so, and what is off and by how much. */
  say: string
}

export interface Begun {
  /** The drop with which the exercise began. */
  start: Preset
  /** Decides what may come in either order; a whole number ≥ 0. */
  seed: number
}

export interface Answered extends Begun {
  /** The drop at present. */
  drop: Preset
  /** The entered number; NaN if there is none. */
  number: number
  /** The chosen option; '' if there is none. */
  choice: string
}

/** Finished lives by the names that the exercise gave them. */
export type Lives = Readonly<Record<string, Life>>

export type AnswerBy =
  | { kind: 'drop' }
  | { kind: 'number'; label: string; unit: string }
  | {
      kind: 'choice'
      label: string
      options(start: Preset): readonly (readonly [value: string, label: string])[]
    }

export interface Exercise {
  id: string
  title: string
  /** One to three sentences. */
  task(start: Preset): string
  /** The drop to begin with, made of the user's own. */
  start(own: Preset): Preset
  /** Why it cannot be done with this drop, in whole sentences; '' if it can. */
  cannot(start: Preset): string
  /** Whether this key (dotted path) may be changed on the way to the answer. */
  may(path: string): boolean
  answer: AnswerBy
  hints: readonly string[]
  /** Drops whose lives the judge looks at. */
  lives(answered: Pick<Answered, 'start' | 'drop'>): Readonly<Record<string, Preset>>
  /** Two lives whose curves R(t) belong to the task, called A and B; none where it is left out. */
  curves?(begun: Begun): readonly [Preset, Preset]
  judge(answered: Answered, lives: Lives): Verdict
}
