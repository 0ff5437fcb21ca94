/** The steps of one life in the order in which they happen there. Pure. */
import type { Life } from '../../life/types.ts'
import type { CalculatedBeads } from '../../plan/beads.ts'
import { filmStep, pullStep } from './beginning.ts'
import { endStep } from './ending.ts'
import { widestRow } from './look.ts'
import { alcoholStep, tensionStep } from './outerFilm.ts'
import { placeParts, widestStep } from './place.ts'
import { beadsPart, noRimWords, rimStep } from './rim.ts'
import type { Part, Step, Story } from './types.ts'

const isStep = (part: Part): part is Step => part !== null && 'id' in part

/** A life that did not spread, or whose calculation failed: what pulls, and what comes of it. */
function shortStory(life: Life): Story {
  const { outcome } = life.summary
  const steps = outcome === 'failed' ? [pullStep(life)] : [pullStep(life), endStep(life)]
  const why = outcome === 'failed' ? 'the calculation did not come to its end' : 'the drop does not spread'
  return {
    steps,
    missing: [noRimWords(life), `Not in this life: a film, a rim and child drops, because ${why}.`],
  }
}

/**
 * The story of a life; no steps while nothing is known. Steps of the same moment keep the order below.
 * @param fingers the full calculation of the beads, once it is there
 */
export function storyOf(life: Life, fingers: CalculatedBeads | null = null): Story {
  if (life.status === 'growing' || life.frames.count < 3) return { steps: [], missing: [] }
  const { outcome } = life.summary
  if (outcome === 'lens' || outcome === 'failed') return shortStory(life)
  const widest = widestRow(life)
  const rim = rimStep(life)
  const parts: Part[] = [
    pullStep(life),
    filmStep(life, widest),
    alcoholStep(life, widest),
    tensionStep(life, widest),
    rim,
    ...(isStep(rim) || life.series.ringHeight.some((height) => height > 1e-6)
      ? [beadsPart(life, fingers)]
      : []),
    widestStep(life),
    ...placeParts(life),
    endStep(life),
  ]
  const steps = parts.filter(isStep).sort((a, b) => a.time - b.time)
  const missing = parts.flatMap((part) =>
    part && 'missing' in part ? [`Not in this life: ${part.missing}.`] : [],
  )
  return { steps, missing }
}

/** All words that a step shows once it is answered. */
export function wordsOf({ title, question, answer, text, facts, curve, picture, place }: Step): string {
  const asked =
    question.kind === 'choice'
      ? question.options.map((option) => option.text)
      : [question.tolerance, question.kind === 'number' ? question.unit : '']
  const arrows = picture?.arrows.flatMap(({ label, shown }) => [label, shown]) ?? []
  const numbers = facts.flatMap(({ name, value }) => [name, value])
  return [title, question.text, ...asked, answer, text, ...numbers, curve.label, ...arrows, place].join(' ')
}
