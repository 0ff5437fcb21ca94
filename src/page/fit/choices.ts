/** What is to be fitted: the curves, the unknowns with their limits, the way to a start. */
import { keyOf, type NumberKey } from '../../life/keys.ts'
import type { Preset } from '../../life/types.ts'
import { MOST_UNKNOWNS, START_TIME } from '../../measured/fit/types.ts'
import {
  evaporationKey,
  presentValue,
  scalingOf,
  unknownsOf,
  whyNotFitted,
} from '../../measured/fit/unknowns.ts'
import { usedCount } from '../../measured/usable.ts'
import { scaleOf, shownNumber, withUnit } from '../controls/scale.ts'
import { el } from '../dom.ts'
import { numberField } from '../fields.ts'
import { markerSwatch } from '../measured/swatch.ts'
import type { State } from '../store.ts'

/**
 * First choice, until somebody chooses: what is known least. Uptake and evaporation both take alcohol, and one curve hardly
 * tells them apart: the evaporation is chosen where the oil takes up nothing.
 */
function firstOf(preset: Preset): string[] {
  const drinks = whyNotFitted('bath.solubility', preset) === ''
  return [drinks ? 'bath.solubility' : evaporationKey(preset), 'bath.viscosity_mPas']
}

export interface Choices {
  root: HTMLElement
  /** Ids of the curves that take part, among those that are shown. */
  curves(state: State): string[]
  unknowns(state: State): string[]
  limits(): Record<string, [number, number]>
  /** Draws anew what hangs on the curves or on the drop. */
  show(state: State): void
}

const labelOf = (path: string): string =>
  path === START_TIME ? 'Moment of contact, one per curve' : (keyOf(path) as NumberKey).label

/** From and to of an unknown, in the unit of the page; its key's range until somebody types. */
function limitFields(path: string, set: (range: [number, number]) => void): HTMLElement {
  const key = keyOf(path) as NumberKey
  const { factor, unit } = scaleOf(key)
  const scaling = scalingOf(path)
  const range: [number, number] = [scaling.lower, scaling.upper]
  const take = (end: 0 | 1) => (value: number) => {
    range[end] = Number((value / factor).toPrecision(12))
    set([...range])
  }
  const from = numberField({ label: 'Limits: from', set: take(0) })
  const to = numberField({ label: 'to', ...(unit ? { unit } : {}), set: take(1) })
  from.show(range[0] * factor)
  to.show(range[1] * factor)
  return el(
    'div',
    { class: 'fit-limits', role: 'group', 'aria-label': `Limits of ${key.label}` },
    from.root,
    to.root,
  )
}

export function createChoices(changed: () => void): Choices {
  const out = new Set<string>()
  const chosen = new Map<string, boolean>()
  const limits = new Map<string, [number, number]>()
  const curveList = el('ul', { class: 'list fit-list' })
  const unknownList = el('ul', { class: 'list fit-list' })
  const says = el('p', { class: 'problem', role: 'status' })
  let drawnFor = ''
  let seen: Preset | null = null
  let first: string[] = []
  const isOn = (path: string) => chosen.get(path) ?? first.includes(path)
  const see = (preset: Preset) => {
    if (preset === seen) return
    seen = preset
    first = firstOf(preset)
  }
  const shown = (state: State) => state.measured.filter(({ id }) => !state.hidden.has(id))
  const unknowns = (state: State) => {
    see(state.preset)
    return unknownsOf(state.preset).filter(isOn)
  }

  function curveRows(state: State): HTMLElement[] {
    return shown(state).map((curve) => {
      const box = el('input', { type: 'checkbox', checked: !out.has(curve.id) })
      box.addEventListener('change', () => {
        if (box.checked) out.delete(curve.id)
        else out.add(curve.id)
        changed()
      })
      const swatch = markerSwatch(curve, state.measured.indexOf(curve))
      const name = el('span', { class: 'name' }, curve.name)
      return el(
        'li',
        {},
        el('label', { class: 'fit-choice' }, box, swatch, name),
        el('span', { class: 'figures' }, `${usedCount(curve)} points`),
      )
    })
  }

  function unknownRow(path: string, start: HTMLElement): HTMLElement {
    const box = el('input', { type: 'checkbox', checked: isOn(path), 'data-unknown': path })
    const fields = path === START_TIME ? null : limitFields(path, (range) => limits.set(path, range))
    const follow = () => fields?.toggleAttribute('hidden', !box.checked)
    box.addEventListener('change', () => {
      chosen.set(path, box.checked)
      follow()
      changed()
    })
    follow()
    const label = el('label', { class: 'fit-choice' }, box, el('span', { class: 'name' }, labelOf(path)))
    return el('li', {}, label, start, ...(fields ? [fields] : []))
  }

  const starts = new Map<string, HTMLElement>()

  function showStarts({ preset }: State): void {
    for (const [path, place] of starts) {
      if (path === START_TIME || !isOn(path)) {
        place.textContent = ''
        continue
      }
      const key = keyOf(path) as NumberKey
      place.textContent = `starts at ${withUnit(Number(presentValue(preset, path).toPrecision(4)), scaleOf(key))}`
    }
  }

  function showUnknowns(state: State): void {
    see(state.preset)
    const paths = unknownsOf(state.preset)
    if (drawnFor !== paths.join()) {
      drawnFor = paths.join()
      starts.clear()
      limits.clear()
      for (const path of paths) starts.set(path, el('span', { class: 'figures' }))
      unknownList.replaceChildren(...paths.map((path) => unknownRow(path, starts.get(path)!)))
    }
    showStarts(state)
    const count = unknowns(state).length
    says.textContent =
      count > MOST_UNKNOWNS
        ? `${shownNumber(count)} unknowns are chosen; at most ${MOST_UNKNOWNS} can be fitted together.`
        : count === 0
          ? 'Choose at least one unknown.'
          : ''
  }

  const curvesPart = el('fieldset', { class: 'fit-part' }, el('legend', {}, 'Curves'), curveList)
  return {
    root: el(
      'div',
      { class: 'fit-choices' },
      curvesPart,
      el(
        'fieldset',
        { class: 'fit-part' },
        el('legend', {}, `Unknowns, at most ${MOST_UNKNOWNS}`),
        unknownList,
        says,
      ),
    ),
    curves: (state) =>
      shown(state)
        .map(({ id }) => id)
        .filter((id) => !out.has(id)),
    unknowns,
    limits: () => Object.fromEntries(limits),
    show(state) {
      const focused = document.activeElement as HTMLInputElement
      const at = [...curveList.querySelectorAll('input')].indexOf(focused)
      curveList.replaceChildren(...curveRows(state))
      curveList.querySelectorAll('input')[at]?.focus()
      showUnknowns(state)
    },
  }
}
