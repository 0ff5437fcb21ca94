/** The part of a step in which its question is answered. */
import { el, freshId } from '../dom.ts'
import { numberIn } from '../fields.ts'
import { createDrawing } from './drawing.ts'
import type { Answer } from './judge.ts'
import type { ChoiceQuestion, CurveQuestion, NumberQuestion, Question } from './types.ts'

type Give = (answer: Answer) => void

function askChoice({ options }: ChoiceQuestion, give: Give, show: HTMLElement): HTMLElement[] {
  const buttons = options.map(({ text }, i) =>
    el('button', { type: 'button', class: 'explain-option', onclick: () => give(i) }, text),
  )
  return [
    el('div', { class: 'explain-options', role: 'group', 'aria-label': 'Answers' }, ...buttons),
    el('p', {}, show),
  ]
}

function askNumber({ unit, tolerance }: NumberQuestion, give: Give, show: HTMLElement): HTMLElement[] {
  const id = freshId('guess')
  const wrong = el('p', { class: 'field-error', id: `${id}-wrong`, role: 'alert' })
  const field = el('input', {
    id,
    type: 'text',
    inputmode: 'decimal',
    autocomplete: 'off',
    size: 7,
    'aria-describedby': `${id}-near ${id}-wrong`,
  })
  const submit = (event: Event) => {
    event.preventDefault()
    const value = numberIn(field.value)
    const bad = !Number.isFinite(value)
    field.setAttribute('aria-invalid', String(bad))
    wrong.textContent = bad ? 'Give a number, for example 12 or 0.5.' : ''
    if (bad) field.focus()
    else give(value)
  }
  const form = el(
    'form',
    { class: 'guess-number', onsubmit: submit, novalidate: true },
    el('label', { for: id }, 'Your guess'),
    field,
    el('span', {}, unit),
    el('button', { type: 'submit' }, 'Answer'),
    show,
    el('span', { class: 'note', id: `${id}-near` }, tolerance),
  )
  return [form, wrong]
}

function askCurve(question: CurveQuestion, give: Give, show: HTMLElement): HTMLElement[] {
  const drawing = createDrawing(question)
  const hint = 'Draw with pointer or finger, or move the points with the arrow keys'
  return [
    el(
      'figure',
      { class: 'explain-figure' },
      drawing.root,
      el('figcaption', {}, `${hint}; ${question.tolerance}.`),
    ),
    el(
      'p',
      { class: 'explain-options' },
      el('button', { type: 'button', onclick: () => give(drawing.read()) }, 'Compare'),
      show,
    ),
  ]
}

/** What answers a question; `give` gets the answer, `show` is the button that only shows it. */
export function askFor(question: Question, give: Give, show: HTMLElement): HTMLElement[] {
  if (question.kind === 'choice') return askChoice(question, give, show)
  return question.kind === 'number' ? askNumber(question, give, show) : askCurve(question, give, show)
}
