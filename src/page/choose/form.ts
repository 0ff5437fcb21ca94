/** What is unknown, what may vary, how many drops, how they are measured: the wish of the choice. */
import { keyOf, type NumberKey } from '../../life/keys.ts'
import type { Preset } from '../../life/types.ts'
import { MOST_UNKNOWNS, START_TIME } from '../../measured/fit/types.ts'
import { evaporationKey, presentValue, unknownsOf } from '../../measured/fit/unknowns.ts'
import {
  type ChooseWish,
  type Criterion,
  type Measuring,
  MOST_DROPS,
  type Problem,
  USUAL,
  USUAL_MEASURING,
} from '../../plan/choose/types.ts'
import { scaleOf, withUnit } from '../controls/scale.ts'
import { el } from '../dom.ts'
import { type Field, numberField } from '../fields.ts'
import { knownFields, priorOf, type Typed } from '../fit/knownFields.ts'
import { varyRows } from './varyRows.ts'

/** Numbers of the measurement as they are shown: label, unit, shown = value × factor. */
const MEASURED: readonly (readonly [keyof Measuring, string, string, number])[] = [
  ['noise', 'Each radius ±', 'mm', 1],
  ['scale', 'Scale of each drop ±', '%', 100],
  ['volume', 'Each volume ±', '%', 100],
  ['contact', 'Contact ±', 's', 1],
  ['points', 'Radii of each drop', '', 1],
  ['longest', 'Longest recording', 's', 1],
]

export interface ChooseForm {
  root: HTMLElement
  wish(preset: Preset): ChooseWish
  /** What is typed and cannot be meant, in words; '' if nothing. */
  wrong(preset: Preset): string
  /** Puts each problem beside its field; gives the others back. */
  complain(problems: readonly Problem[]): string[]
  /** Follows the drop. */
  show(preset: Preset): void
}

export function createForm(changed: () => void): ChooseForm {
  const chosen = new Map<string, boolean>()
  const known = new Map<string, Typed>()
  const list = el('ul', { class: 'list fit-list' })
  const rows = varyRows(changed)
  const numbers = { drops: 4, seed: USUAL.seed }
  const measuring: Measuring = { ...USUAL_MEASURING }
  const fields = new Map<string, Field>()
  const optimal = el('select', { onchange: changed })
  optimal.add(new Option('all unknowns together (D)', 'D'))
  optimal.add(new Option('sum of squared relative errors (A)', 'A'))
  let preset: Preset | null = null
  let drawn = ''

  const number = (name: 'drops' | 'seed', label: string): HTMLElement => {
    const field = numberField({
      label,
      set(value) {
        numbers[name] = value
        changed()
      },
    })
    field.show(numbers[name])
    fields.set(name, field)
    return field.root
  }
  const measured = MEASURED.map(([name, label, unit, factor]) => {
    const field = numberField({
      label,
      ...(unit ? { unit } : {}),
      set(value) {
        measuring[name] = Number((value / factor).toPrecision(12))
        changed()
      },
    })
    field.show(measuring[name] * factor)
    fields.set(name, field)
    return field.root
  })

  const paths = (of: Preset) => unknownsOf(of).filter((path) => path !== START_TIME)
  const isOn = (path: string, of: Preset) =>
    chosen.get(path) ?? [evaporationKey(of), 'bath.viscosity_mPas'].includes(path)
  const typed = (path: string): Typed => {
    const one = known.get(path) ?? { value: '', sigma: '' }
    known.set(path, one)
    return one
  }
  const unknowns = (of: Preset) => paths(of).filter((path) => isOn(path, of))

  function unknownRow(path: string, of: Preset): HTMLElement {
    const key = keyOf(path) as NumberKey
    const box = el('input', { type: 'checkbox', checked: isOn(path, of), 'data-choose': path })
    const prior = knownFields(path, typed(path), changed, () => presentValue(preset!, path))
    const follow = () => prior.toggleAttribute('hidden', !box.checked)
    box.addEventListener('change', () => {
      chosen.set(path, box.checked)
      follow()
      changed()
    })
    follow()
    const stands = withUnit(Number(presentValue(of, path).toPrecision(4)), scaleOf(key))
    return el(
      'li',
      {},
      el('label', { class: 'fit-choice' }, box, el('span', { class: 'name' }, key.label)),
      el('span', { class: 'figures' }, stands),
      prior,
    )
  }

  const part = (title: string, ...children: HTMLElement[]) =>
    el('fieldset', { class: 'fit-part' }, el('legend', {}, title), ...children)

  return {
    root: el(
      'div',
      { class: 'choose-form' },
      part(`Unknown, at most ${MOST_UNKNOWNS}`, list),
      part('May vary', el('ul', { class: 'list fit-list' }, ...[...rows.values()].map(({ root }) => root))),
      el(
        'div',
        { class: 'form' },
        number('drops', `Number of drops, 1 to ${MOST_DROPS}`),
        el('label', {}, 'Best for', optimal),
      ),
      el(
        'details',
        { class: 'fit-part fit-fold' },
        el('summary', {}, 'How it is measured'),
        el('div', { class: 'form' }, ...measured, number('seed', 'Seed of the order')),
      ),
    ),
    wish: (of) => ({
      preset: of,
      unknowns: unknowns(of),
      priors: Object.fromEntries(
        unknowns(of).flatMap((path) => {
          const { prior } = priorOf(path, typed(path), presentValue(of, path))
          return prior ? [[path, prior]] : []
        }),
      ),
      vary: [...rows.values()].flatMap((row) => row.varied() ?? []),
      drops: numbers.drops,
      optimal: optimal.value as Criterion,
      seed: numbers.seed,
      measuring: { ...measuring },
    }),
    wrong: (of) =>
      unknowns(of)
        .map((path) => priorOf(path, typed(path), presentValue(of, path)).wrong)
        .find(Boolean) ?? '',
    complain(problems) {
      for (const field of [...fields.values(), ...rows.values()]) field.complain('')
      return problems.flatMap(({ where, message }) => {
        const field = fields.get(where) ?? rows.get(where)
        field?.complain(message)
        return field ? [] : [message]
      })
    },
    show(next) {
      preset = next
      for (const row of rows.values()) row.show(next)
      const named = JSON.stringify(paths(next).map((path) => [path, presentValue(next, path)]))
      if (named === drawn) return
      drawn = named
      list.replaceChildren(...paths(next).map((path) => unknownRow(path, next)))
    },
  }
}
