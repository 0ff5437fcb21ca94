/** Labelled fields for the panel. */
import { el } from '../dom.ts'

type Listener<T> = (value: T) => void

/** A text field with its unit; `change` gets every edit. */
export function textField(
  label: string,
  unit: string,
  change: Listener<string>,
  attributes = {},
): { row: HTMLElement; input: HTMLInputElement } {
  const input = el('input', {
    type: 'text',
    inputmode: 'decimal',
    autocomplete: 'off',
    ...attributes,
    oninput: () => change(input.value),
  })
  const row = el(
    'label',
    { class: 'video-field' },
    el('span', {}, label),
    input,
    el('span', { class: 'unit' }, unit),
  )
  return { row, input }
}

export function choiceField<T extends string>(
  label: string,
  options: readonly (readonly [T, string])[],
  change: Listener<T>,
): { row: HTMLElement; input: HTMLSelectElement } {
  const input = el('select', { onchange: () => change(input.value as T) })
  for (const [value, text] of options) input.add(new Option(text, value))
  return { row: el('label', { class: 'video-field' }, el('span', {}, label), input), input }
}

export function checkField(
  label: string,
  change: Listener<boolean>,
): { row: HTMLElement; input: HTMLInputElement } {
  const input = el('input', { type: 'checkbox', onchange: () => change(input.checked) })
  return { row: el('label', { class: 'video-check' }, input, ` ${label}`), input }
}

export const button = (text: string, act: () => void, attributes = {}): HTMLButtonElement =>
  el('button', { type: 'button', onclick: act, ...attributes }, text)

export const group = (title: string, ...rows: HTMLElement[]): HTMLFieldSetElement =>
  el('fieldset', { class: 'video-group' }, el('legend', {}, title), ...rows)

/** Writes into a field unless the user is typing there. */
export function show(input: HTMLInputElement | HTMLSelectElement, value: string): void {
  if (document.activeElement !== input && input.value !== value) input.value = value
}
