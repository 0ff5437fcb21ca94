/** What is known beforehand: value ± σ of an unknown, ± σ of a condition. Empty fields say nothing. */
import { keyOf, type NumberKey } from '../../life/keys.ts'
import type { Preset } from '../../life/types.ts'
import type { Prior } from '../../measured/fit/types.ts'
import { evaporationKey, presentValue } from '../../measured/fit/unknowns.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { scaleOf, withUnit } from '../controls/scale.ts'
import { el, freshId } from '../dom.ts'
import { numberIn } from '../fields.ts'

/** As typed, in the unit of the page; '' = nothing. */
export interface Typed {
  value: string
  sigma: string
}

/** The prior that typed text means, in the unit of the key; what is wrong with it in words; neither where nothing is typed. */
export function priorOf(
  path: string,
  { value, sigma }: Typed,
  present: number,
): { prior?: Prior; wrong: string } {
  if (value.trim() === '' && sigma.trim() === '') return { wrong: '' }
  const key = keyOf(path) as NumberKey
  const { factor, unit } = scaleOf(key)
  const typed = value.trim() === '' ? present * factor : numberIn(value)
  const width = numberIn(sigma)
  if (sigma.trim() === '') return { wrong: 'Give its ± as well: how well is it known?' }
  if (!Number.isFinite(typed)) return { wrong: `${JSON.stringify(value.slice(0, 20))} is not a number.` }
  if (!(width > 0)) return { wrong: `± ${sigma.slice(0, 20)}: a number above 0 is wanted.` }
  const range = `${key.min * factor} to ${key.max * factor} ${unit}`.trimEnd()
  if (!(typed >= key.min * factor && typed <= key.max * factor)) return { wrong: `Permitted: ${range}.` }
  const exact = (shown: number) => Number((shown / factor).toPrecision(12))
  return { prior: { value: value.trim() === '' ? present : exact(typed), sigma: exact(width) }, wrong: '' }
}

interface Cell {
  root: HTMLElement
  input: HTMLInputElement
}

function cell(label: string, unit: string, text: string, took: (text: string) => void): Cell {
  const id = freshId('known')
  const input = el('input', { type: 'text', inputmode: 'decimal', autocomplete: 'off', id, value: text })
  input.addEventListener('input', () => took(input.value))
  const after = unit ? [el('span', { class: 'unit' }, unit)] : []
  const row = el('span', { class: 'field-row' }, input, ...after)
  return { root: el('div', { class: 'field' }, el('label', { for: id }, label), row), input }
}

/** "Known beforehand as [ ] ± [ ] µL". */
export function knownFields(
  path: string,
  typed: Typed,
  changed: () => void,
  present: () => number,
): HTMLElement {
  const { unit } = scaleOf(keyOf(path) as NumberKey)
  const problem = el('p', { class: 'problem', id: freshId('problem'), role: 'status' })
  const check = () => {
    problem.textContent = priorOf(path, typed, present()).wrong
    changed()
  }
  const value = cell('Known as', '', typed.value, (text) => {
    typed.value = text
    check()
  })
  const sigma = cell('± 1 σ', unit, typed.sigma, (text) => {
    typed.sigma = text
    check()
  })
  for (const { input } of [value, sigma]) input.setAttribute('aria-describedby', problem.id)
  const label = `${(keyOf(path) as NumberKey).label}, known beforehand`
  return el(
    'div',
    { class: 'fit-limits', role: 'group', 'aria-label': label },
    value.root,
    sigma.root,
    problem,
  )
}

/** Inputs that are usually known with an error, and matter to this drop. */
export function conditionsOf(preset: Preset, unknowns: readonly string[]): string[] {
  const closed = preset.drop.alcohol === 'reference'
  const all = [
    'drop.volume_uL',
    'drop.alcoholMassFraction',
    'drop.startRadius_mm',
    'bath.depth_mm',
    'bath.viscosity_mPas',
    evaporationKey(preset),
    ...(closed ? [] : ['air.temperature_C', 'air.relativeHumidity']),
  ]
  return all.filter((path) => !unknowns.includes(path))
}

/** "Volume, 10 µL ± [ ]" */
export function conditionField(
  path: string,
  typed: Typed,
  preset: () => Preset,
  changed: () => void,
): HTMLElement {
  const key = keyOf(path) as NumberKey
  const scale = scaleOf(key)
  const present = () => presentValue(preset(), path)
  const shown = withUnit(Number(present().toPrecision(4)), scale)
  const problem = el('p', { class: 'problem', id: freshId('problem'), role: 'status' })
  const sigma = cell(`${key.label}, ${shown} ±`, scale.unit, typed.sigma, (text) => {
    typed.sigma = text
    problem.textContent = priorOf(path, typed, present()).wrong
    changed()
  })
  sigma.input.setAttribute('aria-describedby', problem.id)
  sigma.root.append(problem)
  return el('li', {}, sigma.root)
}

/** What the curves state of their errors, a sentence each; none where they state none. */
export function statedWords(curves: readonly MeasuredCurve[]): string[] {
  return curves.flatMap(({ name, meta: { sigma = {} }, shared = [] }) => {
    const parts = [
      ...NAMES.flatMap(([key, label, factor, unit]) => {
        const value = sigma[key]
        return value === undefined ? [] : [`${label} ± ${Number((value * factor).toPrecision(3))} ${unit}`]
      }),
      ...(shared.length > 0
        ? [`errors common to its points (${shared.map(({ cause }) => CAUSES[cause]).join(', ')})`]
        : []),
    ]
    return parts.length > 0 ? [`“${name}” states ${parts.join(', ')}.`] : []
  })
}

const CAUSES = { scale: 'scale', threshold: 'threshold', children: 'child drops' } as const

const NAMES = [
  ['alcoholFraction', 'strength', 100, '%'],
  ['volume_uL', 'volume', 1, 'µL'],
  ['startTime_s', 'contact', 1, 's'],
  ['depth_mm', 'depth', 1, 'mm'],
  ['temperature_C', 'temperature', 1, '°C'],
  ['relativeHumidity', 'humidity', 100, '%'],
  ['radiusScale', 'scale of the radius', 100, '%'],
] as const
