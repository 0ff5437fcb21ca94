/** What is said to an answer. No score: a wrong guess gets a line that helps. Pure. */

import { wayWords } from './explainWords.ts'
import type { CurveQuestion, Question } from './types.ts'

export interface Verdict {
  right: boolean
  line: string
}

/** A drawn guess: r/R and values in the curve's unit. */
export interface Drawn {
  x: readonly number[]
  y: readonly number[]
}

/** Index of a chosen option, a number, or a drawn curve; null: it was only shown. */
export type Answer = number | Drawn | null

const RIGHT = 'Right.'

function peak({ x, y }: Drawn): { x: number; y: number } {
  let best = 0
  for (const [i, value] of y.entries()) if (value > y[best]!) best = i
  return { x: x[best]!, y: y[best]! }
}

function judgeCurve({ curve, within }: CurveQuestion, drawn: Drawn): Verdict {
  const [guess, found] = [peak(drawn), peak(curve)]
  if (!(guess.y > 0)) return { right: false, line: 'You left the liquid at rest everywhere; it runs.' }
  if (Math.abs(guess.x - found.x) <= within) return { right: true, line: RIGHT }
  const so = `Your highest point is at ${wayWords(guess.x)}.`
  return guess.x > found.x
    ? { right: false, line: `${so} But there the liquid already slows down.` }
    : { right: false, line: `${so} But the liquid goes on gaining speed beyond.` }
}

/** Judges an answer; nothing is said where it was only shown. */
export function judge(question: Question, answer: Answer): Verdict {
  if (answer === null) return { right: false, line: '' }
  if (question.kind === 'curve') return judgeCurve(question, answer as Drawn)
  const given = answer as number
  if (question.kind === 'choice') {
    const option = question.options[given]
    return given === question.right
      ? { right: true, line: RIGHT }
      : { right: false, line: option?.hint ?? '' }
  }
  const [low, high] = question.accept
  if (given < low) return { right: false, line: question.hint.low }
  if (given > high) return { right: false, line: question.hint.high }
  return { right: true, line: RIGHT }
}
