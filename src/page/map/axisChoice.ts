/** Choice of an axis of the map: the input and its range. */
import { KEYS, type NumberKey } from '../../life/keys.ts'
import type { MapAxis } from '../../plan/outcomeMap.ts'
import { scaleOf } from '../controls/scale.ts'
import { el } from '../dom.ts'
import { type Field, numberField } from '../fields.ts'
import { axisFor } from './mapData.ts'

const numbers = KEYS.filter((key): key is NumberKey => key.kind === 'number' && key.fallback !== null)
/** The input and its range, in the unit shown beside its control. */
export function axisChoice(name: string, path: string, changed: () => void) {
  const select = el('select', { 'aria-label': `${name}: input` })
  for (const key of numbers) select.add(new Option(key.label, key.path))
  select.value = path
  let axis: MapAxis = axisFor(path, 2)
  const factor = () => scaleOf(numbers.find((key) => key.path === axis.key)!).factor
  const set = (end: 'from' | 'to') => (value: number) => {
    axis = { ...axis, [end]: Number((value / factor()).toPrecision(12)) }
    changed()
  }
  const from = numberField({ label: 'from', set: set('from') })
  const to = numberField({ label: 'to', set: set('to') })
  const show = () => {
    from.show(axis.from * factor())
    to.show(axis.to * factor())
  }
  select.addEventListener('change', () => {
    axis = axisFor(select.value, 2)
    show()
    changed()
  })
  show()
  const fields: Field[] = [from, to]
  return {
    root: el('div', { class: 'axis-choice' }, el('label', {}, name, select), from.root, to.root),
    fields,
    axis: (count: number): MapAxis => ({ ...axis, count }),
  }
}
