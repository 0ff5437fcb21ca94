/** What may vary from drop to drop: inputs with ranges, oils to tick. */
import { type ChoiceKey, keyOf, type NumberKey } from '../../life/keys.ts'
import type { Preset } from '../../life/types.ts'
import { rangeValues } from '../../plan/choose/ranges.ts'
import type { Varied } from '../../plan/choose/types.ts'
import { scaleOf } from '../controls/scale.ts'
import { el } from '../dom.ts'
import { numberField } from '../fields.ts'

/** Ranges until somebody types: from, to (unit of the key), number of values, whether it varies at first. */
const FIRST: Readonly<Record<string, readonly [number, number, number, boolean]>> = {
  'drop.alcoholMassFraction': [0.4, 0.8, 5, true],
  'drop.volume_uL': [5, 30, 3, true],
  'bath.depth_mm': [5, 15, 3, true],
  'air.temperature_C': [18, 28, 3, false],
}

export interface VaryRow {
  root: HTMLElement
  /** The key with its values; null where it does not vary. */
  varied(): Varied | null
  complain(text: string): void
  /** Hides what means nothing to the drop. */
  show(preset: Preset): void
}

const OF_REAL_LIQUIDS = ['bath.liquid', 'air.temperature_C']

const usable = (key: string, { drop }: Preset): boolean =>
  drop.alcohol !== 'reference' || !OF_REAL_LIQUIDS.includes(key)

/** A number with from, to and how many values. */
function numberRow(path: string, changed: () => void): VaryRow {
  const key = keyOf(path) as NumberKey
  const { factor, unit } = scaleOf(key)
  const [from, to, count, on] = FIRST[path]!
  const range = { from, to, count }
  const box = el('input', { type: 'checkbox', checked: on, 'data-vary': path })
  const field = (label: string, name: keyof typeof range, scale: number, of = '') => {
    const made = numberField({
      label,
      ...(of ? { unit: of } : {}),
      set(value) {
        range[name] = Number((value / scale).toPrecision(12))
        changed()
      },
    })
    made.show(range[name] * scale)
    return made
  }
  const first = field('from', 'from', factor)
  const fields = [first, field('to', 'to', factor, unit), field('values', 'count', 1)]
  const group = el(
    'div',
    { class: 'fit-limits', role: 'group', 'aria-label': `Values of ${key.label}` },
    ...fields.map(({ root }) => root),
  )
  const follow = () => group.toggleAttribute('hidden', !box.checked)
  box.addEventListener('change', () => {
    follow()
    changed()
  })
  follow()
  const root = el(
    'li',
    {},
    el('label', { class: 'fit-choice' }, box, el('span', { class: 'name' }, key.label)),
    group,
  )
  return {
    root,
    varied() {
      if (root.hidden || !box.checked) return null
      const made = rangeValues(range.from, range.to, range.count)
      first.complain(made.ok ? '' : made.message)
      return { key: path, values: made.ok ? made.values : [] }
    },
    complain: (text) => first.complain(text),
    show(preset) {
      root.hidden = !usable(path, preset)
    },
  }
}

/** The oils of the library, none ticked at first. */
function oilRow(changed: () => void): VaryRow {
  const key = keyOf('bath.liquid') as ChoiceKey
  const options = key.options.filter(({ value }) => value !== 'own' && value !== 'reference')
  const boxes = options.map(({ value, label }) => ({
    value,
    box: el('input', { type: 'checkbox', onchange: changed }),
    label,
  }))
  const problem = el('p', { class: 'problem', role: 'status' })
  const root = el(
    'li',
    {},
    el(
      'details',
      {},
      el('summary', {}, 'Oil'),
      el(
        'div',
        { class: 'choose-oils', role: 'group', 'aria-label': 'Oils' },
        ...boxes.map(({ box, label }) => el('label', { class: 'fit-choice' }, box, el('span', {}, label))),
      ),
    ),
    problem,
  )
  return {
    root,
    varied() {
      const values = boxes.filter(({ box }) => box.checked).map(({ value }) => value)
      return root.hidden || values.length === 0 ? null : { key: 'bath.liquid', values }
    },
    complain(text) {
      problem.textContent = text
    },
    show(preset) {
      root.hidden = !usable('bath.liquid', preset)
    },
  }
}

/** All inputs that may vary, by key. */
export const varyRows = (changed: () => void): Map<string, VaryRow> =>
  new Map<string, VaryRow>([
    ...Object.keys(FIRST).map((path) => [path, numberRow(path, changed)] as const),
    ['bath.liquid', oilRow(changed)],
  ])
