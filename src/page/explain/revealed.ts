/** The part of a step that shows once its question is answered. */
import { el } from '../dom.ts'
import { plain } from '../format.ts'
import { budgetPicture } from './budgetPicture.ts'
import type { Terms } from './glossaryView.ts'
import { type Answer, type Drawn, judge } from './judge.ts'
import { curvePicture } from './plot.ts'
import type { Question, Step } from './types.ts'

const isDrawn = (answer: Answer): answer is Drawn => answer !== null && typeof answer === 'object'

/** What was asked and answered: the options with their marks, or the number that was given. */
function given(question: Question, answer: Answer): HTMLElement[] {
  if (question.kind === 'choice') {
    const items = question.options.map(({ text }, i) => {
      const right = i === question.right
      const own = i === answer
      const sign = right ? '✓' : own ? '✗' : ''
      const words = `${right ? ' (right)' : ''}${own ? ' (your answer)' : ''}`
      const name = right ? 'is-right' : own ? 'is-wrong' : ''
      return el(
        'li',
        { class: name },
        el('span', { 'aria-hidden': 'true', class: 'sign' }, sign),
        `${text}${words}`,
      )
    })
    return [el('ul', { class: 'explain-options done' }, ...items)]
  }
  return typeof answer === 'number'
    ? [
        el(
          'p',
          { class: 'note' },
          `Your guess: ${plain(answer, 3).replace(/\.0+$/, '')} ${question.kind === 'number' ? question.unit : ''}`,
        ),
      ]
    : []
}

function figure({ curve, question }: Step, answer: Answer): HTMLElement {
  const drawn = question.kind === 'curve' && isDrawn(answer) ? answer : undefined
  const top = question.kind === 'curve' ? question.top : undefined
  const legend = drawn ? [el('figcaption', {}, 'Solid line: computed. Dashed with squares: your guess.')] : []
  return el('figure', { class: 'explain-figure' }, curvePicture(curve, drawn, top), ...legend)
}

const facts = ({ facts: rows }: Step): HTMLElement =>
  el(
    'dl',
    { class: 'explain-facts' },
    ...rows.map(({ name, value }) => el('div', {}, el('dt', {}, name), el('dd', {}, value))),
  )

export interface Revealed {
  parts: HTMLElement[]
  /** Gets the focus after an answer. */
  answer: HTMLElement
}

/** @param show shows moment, colour and place of the step on the drop once more */
export function reveal(step: Step, answer: Answer, terms: Terms, show: () => void): Revealed {
  const { line } = judge(step.question, answer)
  const told = el(
    'p',
    { class: 'explain-answer', tabindex: -1 },
    ...(line ? [el('span', { class: 'verdict' }, `${line} `)] : []),
    el('strong', {}, ...terms.text(step.answer)),
  )
  const again = el('button', { type: 'button', class: 'again', onclick: show }, 'Show it on the drop')
  return {
    answer: told,
    parts: [
      ...given(step.question, answer),
      told,
      ...(step.text ? [el('p', {}, ...terms.text(step.text))] : []),
      // A picture of its own takes the place of the curve: one thing to look at.
      step.picture
        ? el('figure', { class: 'explain-figure' }, budgetPicture(step.picture))
        : figure(step, answer),
      facts(step),
      el('p', { class: 'explain-place' }, el('span', {}, `Marked on the drop: ${step.place}. `), again),
    ],
  }
}
