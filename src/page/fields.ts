/** Number fields of the panels: a label, a text field that takes a decimal comma, a unit, a message beside it. */
import { typedInBox as numberIn } from '../numerics/typedNumber.ts'
import type { Strength } from '../plan/strength.ts'
import { el, freshId } from './dom.ts'

export interface Field {
  root: HTMLElement
  /** Shows a value, unless the user is typing in the field. */
  show(value: number): void
  /** Says what is wrong, at the field; '' if nothing is. */
  complain(text: string): void
}

/** The number in a field; NaN if there is none. A decimal comma is taken as a point. */
export { numberIn }

const shown = (value: number): string => String(Number(value.toPrecision(6)))

interface Options {
  label: string
  unit?: string
  id?: string
  /** Takes a finite number. */
  set(value: number): void
}

/** A field for one number. What is not a number is refused at the field and the last value kept. */
export function numberField(
  { label, unit = '', id = freshId('field'), set }: Options,
  ...after: Node[]
): Field {
  const problemId = freshId('problem')
  const input = el('input', {
    type: 'text',
    inputmode: 'decimal',
    autocomplete: 'off',
    id,
    'aria-describedby': problemId,
  })
  const problem = el('p', { class: 'problem', id: problemId, role: 'status' })
  let value = Number.NaN
  let complaint = ''
  const say = (text: string) => {
    problem.textContent = text
    input.toggleAttribute('aria-invalid', text !== '')
    if (text !== '') input.setAttribute('aria-invalid', 'true')
  }
  input.addEventListener('input', () => {
    const read = numberIn(input.value)
    if (Number.isFinite(read)) {
      value = read
      set(read)
    } else {
      const kept = Number.isFinite(value) ? ` ${shown(value)}${unit && ` ${unit}`} is kept.` : ''
      say(`${JSON.stringify(input.value.slice(0, 20))} is not a number.${kept}`)
    }
  })
  input.addEventListener('blur', () => {
    if (Number.isFinite(value)) input.value = shown(value)
    say(complaint)
  })
  const root = el(
    'div',
    { class: 'field' },
    el('label', { for: id }, label),
    el(
      'span',
      { class: 'field-row' },
      input,
      ...(unit ? [el('span', { class: 'unit' }, unit)] : []),
      ...after,
    ),
    problem,
  )
  return {
    root,
    show(next) {
      value = next
      if (document.activeElement !== input) input.value = Number.isFinite(next) ? shown(next) : ''
    },
    complain(text) {
      complaint = text
      say(text)
    },
  }
}

const bases: readonly [Strength['by'], string][] = [
  ['volume', '% by volume (%vol)'],
  ['mass', '% by mass'],
  ['mole', '% by mole'],
]

export interface StrengthField {
  root: HTMLElement
  show(strength: Strength): void
  complain(text: string): void
}

/** Shown in per cent whatever the basis; by mass and by mole the value itself is a fraction. */
const factorOf = (by: Strength['by']): number => (by === 'volume' ? 1 : 100)

/** A field for a strength with its basis. Another basis keeps the number: the label on the bottle was read wrong. */
export function strengthField(label: string, id: string, set: (strength: Strength) => void): StrengthField {
  const basis = el('select', { 'aria-label': `${label}: basis` })
  for (const [value, text] of bases) basis.add(new Option(text, value))
  let percent = Number.NaN
  const give = () => {
    const by = basis.value as Strength['by']
    if (Number.isFinite(percent)) set({ by, value: Number((percent / factorOf(by)).toPrecision(12)) })
  }
  const field = numberField(
    {
      label,
      id,
      set(value) {
        percent = value
        give()
      },
    },
    basis,
  )
  basis.addEventListener('change', give)
  return {
    root: field.root,
    show({ by, value }) {
      percent = value * factorOf(by)
      basis.value = by
      field.show(percent)
    },
    complain: field.complain,
  }
}
