/** What only the user can know about a table: asked in a card on the page, which blocks nothing. */
import type { Choices, Needs, ReadResult } from '../measured/types.ts'
import { say } from './actions.ts'
import { el, must } from './dom.ts'
import type { Store } from './store.ts'

type Question = ReadResult & { ok: false }

function select(options: readonly string[], words: Record<string, string> = {}): HTMLSelectElement {
  const element = el('select')
  for (const option of options) element.add(new Option(words[option] ?? option, option))
  return element
}

interface Field {
  row: HTMLElement
  /** Adds the answer; false if there is none yet. */
  answer(choices: Choices): boolean
}

function choiceField<K extends 'timeUnit' | 'radiusUnit' | 'decimalMark'>(
  name: K,
  options: readonly NonNullable<Choices[K]>[],
  label: string,
  words: Record<string, string> = {},
): Field {
  const input = select(options, words)
  return {
    row: el('label', {}, label, input),
    answer(choices) {
      choices[name] = input.value as NonNullable<Choices[K]>
      return true
    },
  }
}

function rateField(guess: number | undefined): Field {
  const input = el('input', { type: 'number', min: 0, step: 'any', value: guess })
  return {
    row: el('label', {}, 'Frames per second', input),
    answer(choices) {
      choices.framesPerSecond = input.valueAsNumber
      return input.valueAsNumber > 0
    },
  }
}

function sortField(): Field {
  const input = el('input', { type: 'checkbox', checked: true })
  return {
    row: el('label', { class: 'inline' }, input, ' Sort the rows by time'),
    answer(choices) {
      choices.sort = true
      return input.checked
    },
  }
}

/** The columns as they were understood, to be confirmed or left out. */
function columnsField(question: Question): Field {
  const columns = question.preview?.columns ?? []
  const header = question.preview?.header ?? []
  const roles = ['time', 'radius', 'diameter', 'uncertainty', 'ignore'] as const
  const inputs = header.map((title, index) => {
    const input = select(roles)
    input.value = columns.find((column) => column.index === index)?.role ?? 'ignore'
    if (!input.value) input.value = 'ignore'
    return { row: el('label', {}, title || `Column ${index + 1}`, input), input, index }
  })
  return {
    row: el('fieldset', {}, el('legend', {}, 'What the columns hold'), ...inputs.map(({ row }) => row)),
    answer(choices) {
      choices.columns = inputs.map(({ input, index }) => {
        const known = columns.find((column) => column.index === index)
        const role = input.value as (typeof roles)[number]
        return known && known.role === role ? known : { index, role }
      })
      return true
    },
  }
}

function fieldsFor(needs: Needs, question: Question): Field[] {
  const fields: Field[] = []
  if (needs.columns) fields.push(columnsField(question))
  if (needs.timeUnit)
    fields.push(choiceField('timeUnit', needs.timeUnit, 'Unit of the times', { frame: 'frames' }))
  if (needs.framesPerSecond) fields.push(rateField(needs.framesPerSecond.guess))
  if (needs.radiusUnit) fields.push(choiceField('radiusUnit', needs.radiusUnit, 'Unit of the radii'))
  if (needs.decimalMark) {
    const words = { '.': 'point (1.234 is a little over one)', ',': 'comma (1,234 is a little over one)' }
    fields.push(choiceField('decimalMark', needs.decimalMark, 'Decimal sign', words))
  }
  if (needs.sort) fields.push(sortField())
  return fields
}

/** The first rows of the table, so that the question can be judged. */
function previewOf({ preview }: Question): HTMLElement[] {
  if (!preview) return []
  const cells = (row: readonly string[], tag: 'th' | 'td') =>
    el('tr', {}, ...row.slice(0, 8).map((cell) => el(tag, {}, cell)))
  const table = el(
    'table',
    {},
    cells(preview.header, 'th'),
    ...preview.rows.slice(0, 4).map((row) => cells(row, 'td')),
  )
  return [el('div', { class: 'preview' }, table)]
}

/** Shows the question; `answered` gets the earlier choices with the answers added. */
export function askAbout(
  store: Store,
  name: string,
  question: Question,
  before: Choices,
  answered: (choices: Choices) => void,
): void {
  const fields = fieldsFor(question.needs ?? {}, question)
  const take = (event: Event) => {
    event.preventDefault()
    const choices: Choices = { ...before }
    if (!fields.every((field) => field.answer(choices))) return
    card.remove()
    answered(choices)
  }
  const leave = () => {
    card.remove()
    say(store, 'note', `${name} was not taken over.`)
  }
  const card = el(
    'form',
    { class: 'message question', onsubmit: take },
    el('p', {}, `${name}: ${question.problems.map((problem) => problem.message).join(' ')}`),
    ...previewOf(question),
    ...fields.map((field) => field.row),
    el(
      'div',
      { class: 'buttons' },
      el('button', { type: 'submit', class: 'main' }, 'Take over'),
      el('button', { type: 'button', onclick: leave }, 'Leave it out'),
    ),
  )
  must('questions').append(card)
  card.querySelector<HTMLElement>('select, input, button')?.focus()
}
