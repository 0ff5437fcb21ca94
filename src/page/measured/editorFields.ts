/** Fields of the curve editor. A value is taken over when the field is left or Enter is pressed; what is wrong is said at it. */

import { refusal } from '../../measured/runFields.ts'
import { el, freshId } from '../dom.ts'
import { numberIn } from '../fields.ts'

export interface EditorField<T> {
  root: HTMLElement
  /** Shows a value, unless the user is typing in the field. */
  show(value: T): void
}

interface Options<T> {
  label: string
  unit?: string
  /** Takes the value; gives back what is wrong with it, or '' if it was taken. */
  set(value: T): string
}

function parts(label: string, unit: string, input: HTMLElement, ...after: HTMLElement[]) {
  const id = freshId('curve-field')
  const problem = el('p', { class: 'problem', id: `${id}-problem`, role: 'status' })
  input.id = id
  input.setAttribute('aria-describedby', problem.id)
  const row = el(
    'span',
    { class: 'field-row' },
    input,
    ...(unit ? [el('span', { class: 'unit' }, unit)] : []),
    ...after,
  )
  const root = el('div', { class: 'field' }, el('label', { for: id }, label), row, problem)
  const say = (text: string) => {
    problem.textContent = text
    if (text) input.setAttribute('aria-invalid', 'true')
    else input.removeAttribute('aria-invalid')
  }
  return { root, say }
}

/** The shortest text of a number; '' for undefined. */
const shownNumber = (value: number | undefined): string =>
  value === undefined ? '' : String(Number(value.toPrecision(12)))

/** A number that may be missing: an empty field is undefined. `permitted`: what may be typed, in words. */
export function optionalNumber(
  { label, unit = '', set, permitted }: Options<number | undefined> & { permitted: string },
  ...after: HTMLElement[]
): EditorField<number | undefined> {
  const input = el('input', { type: 'text', inputmode: 'decimal', autocomplete: 'off' })
  const { root, say } = parts(label, unit, input, ...after)
  let present: number | undefined
  input.addEventListener('change', () => {
    const text = input.value.trim()
    const value = text === '' ? undefined : numberIn(text)
    const wrong = Number.isNaN(value) || set(value) !== ''
    say(wrong ? refusal(text, permitted) : '')
  })
  return {
    root,
    show(value) {
      if (value !== present) say('')
      present = value
      if (document.activeElement !== input) input.value = shownNumber(value)
    },
  }
}

/** One line or several lines of text. `suggestions` are offered, others are taken too. */
export function textField(
  { label, set }: Options<string>,
  { lines = 1, most = 200, suggestions = [] as readonly string[] } = {},
): EditorField<string> {
  const input =
    lines > 1
      ? el('textarea', { rows: lines, maxlength: most })
      : el('input', { type: 'text', class: 'words-input', maxlength: most, autocomplete: 'off' })
  const { root, say } = parts(label, '', input)
  if (suggestions.length > 0) {
    const list = el(
      'datalist',
      { id: freshId('suggestions') },
      ...suggestions.map((value) => el('option', { value })),
    )
    input.setAttribute('list', list.id)
    root.append(list)
  }
  let before = ''
  input.addEventListener('change', () => {
    const wrong = set(input.value.trim())
    say(wrong)
    if (wrong) input.value = before
  })
  return {
    root,
    show(value) {
      before = value
      if (document.activeElement !== input) input.value = value
    },
  }
}

export function choiceField<T extends string>(
  { label, set }: Options<T>,
  options: readonly (readonly [T, string])[],
  ...after: HTMLElement[]
): EditorField<T> {
  const input = el('select', { onchange: () => say(set(input.value as T)) })
  for (const [value, text] of options) input.add(new Option(text, value))
  const { root, say } = parts(label, '', input, ...after)
  return {
    root,
    show(value) {
      input.value = value
    },
  }
}
