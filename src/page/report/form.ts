/** The form of the report: title, names, date, text, figures, moments. */
import { el, freshId } from '../dom.ts'
import type { ReportChoice } from './choice.ts'
import type { ReportPart } from './parts.ts'

type Text = 'title' | 'names' | 'date' | 'moments'

export interface ReportForm {
  root: HTMLElement
  /** The parts to choose from; what is lacking is told beside each. */
  showParts(parts: readonly ReportPart[], isChosen: (id: string, first: boolean) => boolean): void
  /** Shown in the empty field of the title. */
  suggestTitle(title: string): void
  /** What is wrong with the moments; '' if nothing is. */
  complain(text: string): void
}

export function createForm(choice: ReportChoice, change: (part: Partial<ReportChoice>) => void): ReportForm {
  let chosen = choice.chosen
  let shown = ''
  const input = (name: Text, label: string, more: Record<string, string> = {}) => {
    const id = freshId('report')
    const field = el('input', { type: 'text', id, autocomplete: 'off', maxlength: 200, ...more })
    field.value = choice[name]
    field.addEventListener('input', () => change({ [name]: field.value }))
    return { field, root: el('div', { class: 'field' }, el('label', { for: id }, label), field) }
  }
  const title = input('title', 'Title')
  const names = input('names', 'Names')
  const date = input('date', 'Date', { inputmode: 'numeric' })
  const problem = el('p', { class: 'problem', id: freshId('problem'), role: 'status' })
  const moments = input('moments', 'Moments of the section, s (empty: the moment shown)', {
    placeholder: '0.5; 3; 6',
    'aria-describedby': problem.id,
  })
  moments.root.append(problem)
  const textId = freshId('report')
  const text = el('textarea', { id: textId, rows: 4, maxlength: 20_000 })
  text.value = choice.text
  text.addEventListener('input', () => change({ text: text.value }))
  const list = el('ul', { class: 'list report-parts' })

  function partRow({ id, label, lacks }: ReportPart, on: boolean): HTMLElement {
    const missing = lacks()
    const box = el('input', { type: 'checkbox', checked: on })
    box.addEventListener('change', () => {
      chosen = { ...chosen, [id]: box.checked }
      change({ chosen })
    })
    return el(
      'li',
      { 'data-part': id },
      el('label', { class: 'report-part' }, box, el('span', {}, label)),
      ...(missing ? [el('span', { class: 'note' }, `left out: ${missing}`)] : []),
    )
  }

  return {
    root: el(
      'div',
      { class: 'report-form' },
      el('div', { class: 'report-words' }, title.root, names.root, date.root),
      el('div', { class: 'field' }, el('label', { for: textId }, 'Text'), text),
      el('fieldset', { class: 'choice-frame' }, el('legend', {}, 'Figures'), list),
      moments.root,
    ),
    showParts(parts, isChosen) {
      const state = parts.map(({ id, first, lacks }) => `${id} ${isChosen(id, first)} ${lacks()}`).join('|')
      if (state === shown) return
      shown = state
      const focused = list.querySelector<HTMLElement>('[data-part]:focus-within')?.dataset.part
      list.replaceChildren(...parts.map((part) => partRow(part, isChosen(part.id, part.first))))
      if (focused) list.querySelector<HTMLElement>(`[data-part="${focused}"] input`)?.focus()
    },
    suggestTitle(words) {
      title.field.placeholder = words
    },
    complain(words) {
      problem.textContent = words
      if (words) moments.field.setAttribute('aria-invalid', 'true')
      else moments.field.removeAttribute('aria-invalid')
    },
  }
}
