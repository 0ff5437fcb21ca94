/** The two large sliders: what matters most, always in reach. */
import { keyOf, type NumberKey } from '../../life/keys.ts'
import { keyValue } from '../actions.ts'
import { el, freshId } from '../dom.ts'
import { numberIn } from '../fields.ts'
import { withoutInput } from '../lives/neighbours.ts'
import { type Store, type View, watch } from '../store.ts'
import { changeKey } from './change.ts'
import { createHelp } from './help.ts'
import { scaleOf, shownNumber, withUnit } from './scale.ts'
import { createTrack } from './track.ts'

export interface LargeOptions {
  path: string
  /** Id of the range input. */
  id: string
  label: string
  logarithmic?: boolean
}

/** A decimal comma is taken as a point in a field that can hold only one number. */
/** A range input with a number field, label, unit and help. */
export function createLargeSlider(root: HTMLElement, store: Store, options: LargeOptions): View {
  const key = keyOf(options.path) as NumberKey
  const scale = scaleOf(key, options.logarithmic)
  const problemId = freshId('problem')
  const range = el('input', {
    type: 'range',
    id: options.id,
    min: 0,
    max: scale.count,
    step: 1,
    class: 'large-range',
  })
  const track = createTrack(freshId('along'))
  range.setAttribute('aria-describedby', track.spoken.id)
  const field = el('input', {
    type: 'text',
    inputmode: 'decimal',
    class: 'large-field',
    'aria-label': `${options.label}, ${scale.unit}`,
    'aria-describedby': problemId,
    autocomplete: 'off',
  })
  const problem = el('p', { class: 'problem', id: problemId, role: 'status' })
  const help = createHelp(key, store)
  const row = el(
    'div',
    { class: 'large-row' },
    el('label', { for: options.id }, options.label),
    el('span', { class: 'large-number' }, field, el('span', { class: 'unit' }, scale.unit), help.button),
    el('div', { class: 'large-track' }, range, track.root),
    track.spoken,
    problem,
    help.panel,
  )
  root.append(row)

  range.addEventListener('input', () => {
    problem.textContent = changeKey(store, key.path, scale.valueAt(range.valueAsNumber))
  })
  const take = () => {
    const value = numberIn(field.value) / scale.factor
    if (!(value >= key.min && value <= key.max)) {
      const allowed = `${withUnit(key.min, scale)} to ${withUnit(key.max, scale)}`
      const typed = field.value.slice(0, 20)
      const wrong = Number.isNaN(value)
        ? `${typed ? JSON.stringify(typed) : 'Nothing'} is not a number; permitted is ${allowed}.`
        : `${typed} is not in ${allowed}.`
      problem.textContent = `${wrong} ${show(current())} is kept.`
      return
    }
    problem.textContent = changeKey(store, key.path, Number(value.toPrecision(12)))
  }
  const current = () => keyValue(store.getState().preset, key.path) as number
  const show = (value: number) => withUnit(value, scale)
  field.addEventListener('input', take)
  field.addEventListener('blur', () => {
    field.value = shownNumber(current(), scale.factor)
    problem.textContent = ''
  })
  field.addEventListener('keydown', (event) => {
    if (event.key === 'Enter') field.select()
    const step = event.key === 'ArrowUp' ? 1 : event.key === 'ArrowDown' ? -1 : 0
    if (step === 0) return
    event.preventDefault()
    const position = Math.min(Math.max(scale.positionOf(current()) + step, 0), scale.count)
    changeKey(store, key.path, scale.valueAt(position))
    field.value = shownNumber(current(), scale.factor)
  })
  const at = (place: number) => show(scale.valueAt(Math.round(place * scale.count)))
  const unwatchTrack = watch(
    store,
    ({ stretches, preset }) => [stretches[key.path], preset],
    (_, { stretches, preset }) => {
      const known = stretches[key.path]
      track.show(known?.so ?? null, known?.of === withoutInput(preset, key.path), at)
    },
  )
  const unwatch = watch(
    store,
    (state) => [keyValue(state.preset, key.path) as number],
    ([value]) => {
      if (scale.valueAt(range.valueAsNumber) !== value) range.value = String(scale.positionOf(value))
      range.setAttribute('aria-valuetext', show(value))
      range.style.setProperty('--filled', `${(100 * range.valueAsNumber) / scale.count}%`)
      if (document.activeElement !== field) field.value = shownNumber(value, scale.factor)
    },
  )
  return {
    destroy() {
      unwatch()
      unwatchTrack()
      help.destroy()
      row.remove()
    },
  }
}
