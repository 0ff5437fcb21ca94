/** All exercises in their order, and how an answer is judged. Pure. */
import { hitRadius, leastShedding, noRim, slowOil, threshold, twiceAsLong, widestDrop } from './ofTheDrop.ts'
import { twiceTheVolume, twoDepths, whichMechanism } from './ofTheMind.ts'
import { strayed } from './tools.ts'
import type { Answered, Exercise, Lives, Verdict } from './types.ts'

export const EXERCISES: readonly Exercise[] = [
  threshold,
  hitRadius,
  twiceTheVolume,
  twoDepths,
  slowOil,
  twiceAsLong,
  widestDrop,
  whichMechanism,
  noRim,
  leastShedding,
]

/** What can be said without any life: that the exercise is none here, or that too much was changed. Null if a life is needed. */
export function judgedAtOnce(exercise: Exercise, { start, drop }: Answered): Verdict | null {
  const cannot = exercise.cannot(start)
  const wrong = cannot || (exercise.answer.kind === 'drop' ? strayed(start, drop, exercise.may) : '')
  return wrong ? { done: false, say: wrong } : null
}

/** The verdict about an answer, given the lives that the exercise asked for. */
export const judged = (exercise: Exercise, answered: Answered, lives: Lives): Verdict =>
  judgedAtOnce(exercise, answered) ?? exercise.judge(answered, lives)
