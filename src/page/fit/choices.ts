/** What is to be fitted: the curves, the unknowns with their limits, the way to a start. */

import { keyOf, type NumberKey } from '../../life/keys.ts'
import type { Preset } from '../../life/types.ts'
import { livesForConditions } from '../../measured/fit/causes.ts'
import { setUp } from '../../measured/fit/parameters.ts'
import { MOST_UNKNOWNS, type Prior, START_TIME } from '../../measured/fit/types.ts'
import {
  evaporationKey,
  presentValue,
  scalingOf,
  unknownsOf,
  whyNotFitted,
} from '../../measured/fit/unknowns.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { unstatedWords } from '../../measured/unstated.ts'
import { usedCount } from '../../measured/usable.ts'
import { scaleOf, shownNumber, withUnit } from '../controls/scale.ts'
import { el } from '../dom.ts'
import { numberField } from '../fields.ts'
import { markerSwatch } from '../measured/swatch.ts'
import type { State } from '../store.ts'
import { lookOf } from '../theme.ts'
import { conditionField, conditionsOf, knownFields, priorOf, statedWords, type Typed } from './knownFields.ts'

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
  /** What is known beforehand of unknowns and conditions, by path. */
  priors(state: State): Record<string, Prior>
  /** Something that is typed cannot be meant. */
  wrong(state: State): boolean
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
  const known = new Map<string, Typed>()
  const conditions = new Map<string, Typed>()
  const curveList = el('ul', { class: 'list fit-list' })
  const unknownList = el('ul', { class: 'list fit-list' })
  const conditionList = el('ul', { class: 'list fit-list fit-conditions' })
  const statedList = el('ul', { class: 'fit-stated' })
  const cost = el('p', { class: 'note', role: 'status' })
  const says = el('p', { class: 'problem', role: 'status' })
  let conditionsFor = ''
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
      const swatch = markerSwatch(curve, lookOf(state.measured, state.measured.indexOf(curve)))
      const name = el('span', { class: 'name' }, curve.name)
      return el(
        'li',
        {},
        el('label', { class: 'fit-choice' }, box, swatch, name),
        el('span', { class: 'figures' }, `${usedCount(curve)} points`),
        el('small', { class: 'run-unstated' }, unstatedWords(curve.meta)),
      )
    })
  }

  const typedIn = (map: Map<string, Typed>, path: string): Typed => {
    const typed = map.get(path) ?? { value: '', sigma: '' }
    map.set(path, typed)
    return typed
  }

  /** What is typed of the present unknowns and conditions. */
  function typed(state: State): { path: string; prior?: Prior; wrong: string }[] {
    const own = unknowns(state).filter((path) => path !== START_TIME)
    const read = (map: Map<string, Typed>) => (path: string) => ({
      path,
      ...priorOf(path, typedIn(map, path), presentValue(state.preset, path)),
    })
    return [...own.map(read(known)), ...conditionsOf(state.preset, own).map(read(conditions))]
  }

  function showConditions(state: State): void {
    const paths = conditionsOf(state.preset, unknowns(state))
    const named = JSON.stringify(paths.map((path) => [path, presentValue(state.preset, path)]))
    if (conditionsFor !== named) {
      conditionsFor = named
      const preset = () => seen ?? state.preset
      conditionList.replaceChildren(
        ...paths.map((path) => conditionField(path, typedIn(conditions, path), preset, changed)),
      )
    }
    const taken = shown(state).filter(({ id }) => !out.has(id))
    statedList.replaceChildren(...statedWords(taken).map((text) => el('li', {}, text)))
    cost.textContent = costText(state, taken)
  }

  /** What the conditions cost, before it is paid. */
  function costText(state: State, curves: readonly MeasuredCurve[]): string {
    const wish = { preset: state.preset, curves, unknowns: unknowns(state), priors: priors(state) }
    const stated = curves.some(({ meta }) => meta.sigma)
    if (!stated && Object.keys(wish.priors).length === 0) return ''
    const made = curves.length > 0 && wish.unknowns.length > 0 ? setUp(wish) : null
    if (!made?.ok) return ''
    const lives = livesForConditions(wish, made.presets)
    return lives > 0
      ? `Conditions known ± σ cost ${lives} lives more, and as many again where the fit moves far.`
      : ''
  }

  const priors = (state: State): Record<string, Prior> =>
    Object.fromEntries(typed(state).flatMap(({ path, prior }) => (prior ? [[path, prior]] : [])))

  function unknownRow(path: string, start: HTMLElement): HTMLElement {
    const box = el('input', { type: 'checkbox', checked: isOn(path), 'data-unknown': path })
    const present = () => presentValue(seen!, path)
    const fields =
      path === START_TIME
        ? null
        : el(
            'div',
            { class: 'fit-fields' },
            knownFields(path, typedIn(known, path), changed, present),
            limitFields(path, (range) => limits.set(path, range)),
          )
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
    showConditions(state)
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
      el(
        'details',
        { class: 'fit-part fit-fold' },
        el('summary', {}, 'Conditions known ± σ'),
        el(
          'p',
          { class: 'note' },
          'How well is known what is not fitted? Its error then goes into those of the unknowns, as their systematic part. Empty: taken as exact. What a curve states of itself goes before.',
        ),
        conditionList,
        statedList,
        cost,
      ),
    ),
    priors,
    wrong: (state) => typed(state).some(({ wrong }) => wrong !== ''),
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
