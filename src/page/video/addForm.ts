/** From the points to a measured curve of the page. */
import { curveOf, metaOf } from '../../measured/video/series.ts'
import { addCurves, say } from '../actions.ts'
import { el } from '../dom.ts'
import type { Store, View } from '../store.ts'
import { choiceField, group, textField } from './fields.ts'
import { type SessionStore, seriesOf } from './session.ts'

/** `added` is called when the points have become a measured curve. */
export function createAddForm(
  root: HTMLElement,
  session: SessionStore,
  store: Store,
  added: () => void,
): View {
  let basis: 'mass' | 'volume' = 'mass'
  const name = textField('Name', '', () => {}, { inputmode: 'text' })
  const fraction = textField('Alcohol', '%', () => {})
  const by = choiceField(
    'by',
    [
      ['mass', 'mass'],
      ['volume', 'volume'],
    ] as const,
    (value) => {
      basis = value
    },
  )
  const volume = textField('Drop volume', 'µL', () => {})
  const problem = el('p', { class: 'problem', role: 'alert' })
  const add = el('button', { type: 'submit', class: 'main' }, 'Add to measured curves')

  function submit(event: Event): void {
    event.preventDefault()
    problem.textContent = ''
    const { source } = session.getState()
    if (!source) return
    const { points, scaled } = seriesOf(session.getState())
    const note = source.kind === 'demo' ? 'invented demo recording' : ''
    const meta = metaOf(fraction.input.value, basis, volume.input.value, note)
    if (!meta.ok) {
      problem.textContent = meta.message
      ;(meta.field === 'fraction' ? fraction : volume).input.focus()
      return
    }
    if (!scaled) {
      problem.textContent = 'Set the scale first: the curve is kept in millimetres.'
      return
    }
    const result = curveOf(points, { name: name.input.value, file: source.name, meta: meta.meta })
    if (!result.ok) problem.textContent = result.message
    else if (store.getState().measured.some(({ id }) => id === result.curve.id)) {
      problem.textContent = 'This very curve is among the measured curves already.'
    } else {
      addCurves(store, [result.curve])
      added()
      say(
        store,
        'note',
        `${result.curve.name}: ${result.curve.time.length} points from the recording are among the measured curves.`,
      )
    }
  }

  const form = el(
    'form',
    { onsubmit: submit },
    group('Keep as a measured curve', name.row, fraction.row, by.row, volume.row, problem, add),
  )
  root.append(form)
  let shown: unknown = null
  const update = () => {
    const { source, readings } = session.getState()
    root.hidden = readings.size === 0
    if (source === shown) return
    shown = source
    name.input.value = source ? source.name.replace(/\.[^.]{1,5}$/, '') : ''
    problem.textContent = ''
  }
  update()
  const unsubscribe = session.subscribe(update)
  return {
    destroy() {
      unsubscribe()
      root.replaceChildren()
    },
  }
}
