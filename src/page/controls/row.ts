/** One row of the controls for one key of the preset, built on lil-gui's controllers. */
import type { Controller, GUI } from 'lil-gui'
import type { ChoiceKey, Key, NumberKey, SwitchKey } from '../../life/keys.ts'
import type { Leaf } from '../../life/preset.ts'
import type { Life } from '../../life/types.ts'
import { keyValue } from '../actions.ts'
import { el } from '../dom.ts'
import { numberIn } from '../fields.ts'
import { type Store, watch } from '../store.ts'
import { assumedLaw } from '../threshold/thresholdPlot.ts'
import { changeKey } from './change.ts'
import { createHelp } from './help.ts'
import { nameOwnOption } from './ownLiquid.ts'
import { type KeyScale, scaleOf, shownNumber, withUnit } from './scale.ts'

/** What the library or the model put in the place of an empty key, in the key's unit. */
export const libraryValue: Record<string, (life: Life) => number> = {
  'drop.viscosity_mPas': ({ facts }) => facts.viscosity * 1e3,
  'bath.viscosity_mPas': ({ facts }) => facts.oilViscosity * 1e3,
  'bath.density_kgPerM3': ({ facts }) => facts.oilDensity,
  'bath.tension_mNperM': ({ facts }) => facts.gammaO * 1e3,
  // No better known than to two digits.
  'bath.solubility': ({ facts }) => Number(facts.uptake.solubility.toPrecision(2)),
  'bath.alcoholDiffusivity_m2PerS': ({ facts }) => Number(facts.uptake.diffusivity.toPrecision(2)),
  'interface.water_mNperM': ({ facts }) => assumedLaw(facts).water * 1e3,
  'interface.end_mNperM': ({ facts }) => assumedLaw(facts).end * 1e3,
  'interface.decay': ({ facts }) => assumedLaw(facts).decay,
  'air.speed_mPerS': ({ facts }) => facts.air?.speed ?? Number.NaN,
  'model.innerCells': ({ frames }) => frames.inner,
  'model.outerCells': ({ frames }) => frames.outer,
  'model.gammaEff_mNperM': ({ facts }) =>
    (1e3 * facts.gammaA0 * facts.gammaI0) / (facts.gammaA0 + facts.gammaI0),
  'model.evaporationCutoff_nm': ({ preset }) => (preset.drop.alcohol === 'reference' ? 50 : 5),
}

/** What is used in the place of a key's own value, in the key's unit; undefined where its own value is used. */
export const replacedBy: Record<string, (life: Life) => number | undefined> = {
  'air.filmCoefficient_mmPerS': ({ facts }) =>
    facts.air?.fromSpeed ? 1e3 * facts.air.filmCoefficient : undefined,
}

/** A sensible start for an own value where the library's own number is not known to the page. */
const startValue = (key: NumberKey, life: Life | null): number => {
  const known = life ? libraryValue[key.path]?.(life) : undefined
  if (known !== undefined && known >= key.min && known <= key.max) return Number(known.toPrecision(4))
  return key.logarithmic
    ? Number(Math.sqrt(key.min * key.max).toPrecision(2))
    : Math.min(key.max, Math.max(key.min, 10))
}

interface Row {
  controller: Controller
  destroy(): void
}

function dress(controller: Controller, key: Key, store: Store): { problem: HTMLElement; ended(): void } {
  const help = createHelp(key, store)
  const problem = el('p', { class: 'problem', role: 'status' })
  controller.domElement.dataset.key = key.path
  controller.$widget.append(help.button)
  controller.domElement.after(problem, help.panel)
  return { problem, ended: help.destroy }
}

const both = (first: () => void, second: () => void) => () => {
  first()
  second()
}

function choiceRow(folder: GUI, key: ChoiceKey, store: Store): Row {
  const bag = { value: keyValue(store.getState().preset, key.path) as string }
  const options = Object.fromEntries(key.options.map((option) => [option.label, option.value]))
  const controller = folder.add(bag, 'value', options).name(key.label)
  const { problem, ended } = dress(controller, key, store)
  controller.onChange((value: string) => {
    problem.textContent = changeKey(store, key.path, value)
    if (problem.textContent !== '') follow()
  })
  const follow = () => {
    bag.value = keyValue(store.getState().preset, key.path) as string
    controller.updateDisplay()
    nameOwnOption(controller.domElement, key, store.getState().preset)
  }
  return {
    controller,
    destroy: both(
      watch(store, ({ preset }) => [keyValue(preset, key.path), preset.liquids], follow),
      ended,
    ),
  }
}

function switchRow(folder: GUI, key: SwitchKey, store: Store): Row {
  const bag = { value: keyValue(store.getState().preset, key.path) === true }
  const controller = folder.add(bag, 'value').name(key.label)
  const { problem, ended } = dress(controller, key, store)
  controller.onChange((value: boolean) => {
    problem.textContent = changeKey(store, key.path, value)
  })
  const follow = () => {
    bag.value = keyValue(store.getState().preset, key.path) === true
    controller.updateDisplay()
  }
  return {
    controller,
    destroy: both(
      watch(store, (state) => [keyValue(state.preset, key.path)], follow),
      ended,
    ),
  }
}

/** lil-gui's own slider is a plain box without a role; a native range takes its place beside the number field. */
function addRange(controller: Controller, key: NumberKey, scale: KeyScale, set: (value: Leaf) => void) {
  const range = el('input', { type: 'range', min: 0, max: scale.count, step: 1, 'aria-label': key.label })
  range.addEventListener('input', () => set(scale.valueAt(range.valueAsNumber)))
  controller.$widget.prepend(range)
  controller.domElement.classList.add('with-range')
  controller.$widget
    .querySelector('input[type=text], input[type=number]')
    ?.after(el('span', { class: 'unit' }, scale.unit))
  return range
}

function addOwnSwitch(controller: Controller, key: NumberKey, store: Store): HTMLInputElement {
  const own = el('input', { type: 'checkbox', 'aria-label': `${key.label}: own value` })
  own.addEventListener('change', () => {
    changeKey(store, key.path, own.checked ? startValue(key, store.getState().life) : null)
  })
  controller.$name.append(el('label', { class: 'own' }, own, ' own value'))
  return own
}

function numberRow(folder: GUI, key: NumberKey, store: Store): Row {
  const scale = scaleOf(key)
  const bag = { value: 0 }
  const controller = folder.add(bag, 'value').name(key.label)
  const field = controller.$widget.querySelector('input')!
  const { problem, ended } = dress(controller, key, store)
  const set = (value: Leaf) => {
    problem.textContent = changeKey(store, key.path, value)
  }
  const range = addRange(controller, key, scale, set)
  const own = key.fallback === null ? addOwnSwitch(controller, key, store) : null

  const kept = () => withUnit(keyValue(store.getState().preset, key.path) as number, scale)
  controller.onChange((shown: number) => {
    const value = Number((shown / scale.factor).toPrecision(12))
    const whole = key.integer ? Math.round(value) : value
    if (whole >= key.min && whole <= key.max) return set(whole)
    problem.textContent = `${shownNumber(shown)} is not in ${withUnit(key.min, scale)} to ${withUnit(key.max, scale)}. ${kept()} is kept.`
  })
  // lil-gui reads a text up to the first sign that is none of a number: "0x32" were 0, "1,5" were 1.
  controller.$widget.addEventListener(
    'input',
    (event) => {
      if (event.target !== field) return
      event.stopPropagation()
      const typed = numberIn(field.value)
      if (Number.isFinite(typed)) controller.setValue(typed)
      else
        problem.textContent = `${JSON.stringify(field.value.slice(0, 20))} is not a number. ${kept()} is kept.`
    },
    true,
  )
  field.addEventListener('blur', () => {
    problem.textContent = ''
    follow()
  })

  const follow = () => {
    const { preset, life } = store.getState()
    const given = keyValue(preset, key.path) as number | undefined
    const instead = life ? replacedBy[key.path]?.(life) : undefined
    const value = instead ?? given ?? (life ? libraryValue[key.path]?.(life) : undefined)
    const absent = given === undefined || instead !== undefined
    if (own) own.checked = !absent
    controller.domElement.classList.toggle('from-library', absent)
    field.disabled = absent
    range.disabled = absent
    bag.value =
      value === undefined || Number.isNaN(value)
        ? Number.NaN
        : Number((value * scale.factor).toPrecision(instead !== undefined ? 3 : absent ? 4 : 5))
    if (!Number.isNaN(bag.value)) {
      controller.updateDisplay()
      if (scale.valueAt(range.valueAsNumber) !== value) range.value = String(scale.positionOf(value!))
      range.setAttribute('aria-valuetext', withUnit(value!, scale))
    } else field.value = 'auto'
  }
  /** The library's value changes with the life; a key that always has its own value does not look at it. */
  const looks = own !== null || key.path in replacedBy
  const unwatch = watch(
    store,
    ({ preset, life }) => [keyValue(preset, key.path), looks ? life : null],
    follow,
  )
  return { controller, destroy: both(unwatch, ended) }
}

/** Adds the row of a key to a group. */
export function addRow(folder: GUI, key: Key, store: Store): Row {
  if (key.kind === 'number') return numberRow(folder, key, store)
  return key.kind === 'choice' ? choiceRow(folder, key, store) : switchRow(folder, key, store)
}
