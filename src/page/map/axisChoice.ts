/** Choice of an axis of the map: the input and its range. */
import { KEYS, type NumberKey } from '../../life/keys.ts'
import { axisFor, axisOver, type MapAxis } from '../../plan/mapAxes.ts'
import { groups } from '../controls/groups.ts'
import { scaleOf } from '../controls/scale.ts'
import { el } from '../dom.ts'
import { type Field, numberField } from '../fields.ts'

const numbers = KEYS.filter((key): key is NumberKey => key.kind === 'number')

/** All number inputs, in the groups of the controls. */
function inputs(label: string): HTMLSelectElement {
  const select = el('select', { 'aria-label': label })
  for (const { name, title } of groups) {
    const options = numbers
      .filter(({ path }) => path.startsWith(`${name}.`))
      .map((key) => new Option(key.label, key.path))
    if (options.length > 0) select.append(el('optgroup', { label: title }, ...options))
  }
  return select
}

export interface AxisChoice {
  root: HTMLElement
  fields: Field[]
  axis(count: number): MapAxis
  show(axis: MapAxis): void
}

/** The input and its range, in the unit shown beside its control; the useful part of the range first. */
export function axisChoice(name: string, path: string, changed: () => void): AxisChoice {
  const select = inputs(`${name}: input`)
  select.value = path
  let axis: MapAxis = axisFor(path, 2)
  const unit = el('span', { class: 'unit' })
  const factor = () => scaleOf(numbers.find((key) => key.path === axis.key)!).factor
  const set = (end: 'from' | 'to') => (value: number) => {
    const next = { ...axis, [end]: Number((value / factor()).toPrecision(12)) }
    axis = axisOver(next.key, next.from, next.to, next.count)
    changed()
  }
  const from = numberField({ label: 'from', set: set('from') })
  const to = numberField({ label: 'to', set: set('to') })
  const show = () => {
    select.value = axis.key
    from.show(axis.from * factor())
    to.show(axis.to * factor())
    unit.textContent = scaleOf(numbers.find((key) => key.path === axis.key)!).unit
  }
  select.addEventListener('change', () => {
    axis = axisFor(select.value, 2)
    show()
    changed()
  })
  show()
  return {
    root: el('div', { class: 'axis-choice' }, el('label', {}, name, select), from.root, to.root, unit),
    fields: [from, to],
    axis: (count) => ({ ...axis, count }),
    show(next) {
      axis = next
      show()
    },
  }
}
