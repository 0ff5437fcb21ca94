/** The points of a curve as a table: correct, set aside, delete; a page of rows at a time. */
import { type Edited, type PointChange, withExcluded, withoutPoint, withPoint } from '../../measured/edit.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { usedCount } from '../../measured/usable.ts'
import { el, keepFocus } from '../dom.ts'
import { numberIn } from '../fields.ts'
import type { Store, View } from '../store.ts'
import { changeCurve } from './changes.ts'
import { historyOf, redoCurve, undoCurve } from './curveHistory.ts'
import { createFramePlot } from './framePlot.ts'
import { createScaleTool } from './scaleTool.ts'

const pageSize = 25

export interface PointsEditor extends View {
  /** Shows the points of a curve; '' shows none. */
  show(id: string): void
}

/** Numbers as short as they read back to within the last digits. */
const text = (value: number | undefined): string =>
  value === undefined || Number.isNaN(value) ? '' : String(Number(value.toPrecision(12)))

export function createPointsEditor(root: HTMLElement, store: Store): PointsEditor {
  let id = ''
  let drawn: MeasuredCurve | undefined
  let page = 0
  const says = el('p', { class: 'note' })
  const problem = el('p', { class: 'problem', role: 'alert' })
  const body = el('tbody')
  const back = el('button', { type: 'button', onclick: () => turn(-1) }, '‹ Points before')
  const on = el('button', { type: 'button', onclick: () => turn(1) }, 'Points after ›')
  const undoButton = el(
    'button',
    { type: 'button', onclick: () => undoCurve(store, id) },
    'Undo the last change',
  )
  const redoButton = el('button', { type: 'button', onclick: () => redoCurve(store, id) }, 'Redo it')
  for (const [button, what] of [
    [undoButton, 'Takes back the last change of this curve; other curves stay as they are'],
    [redoButton, 'Brings back what was taken back last of this curve'],
  ] as const) {
    button.title = what
  }
  const head = ['Use', 't, s', 'R, mm', '±, mm'].map((title) => el('th', { scope: 'col' }, title))
  const change = (changed: MeasuredCurve) => changeCurve(store, changed)
  const plot = createFramePlot(change)
  const scale = createScaleTool((changed) => {
    const present = curve()
    if (present) plot.show(present, changed)
  }, change)
  root.append(
    el('h4', {}, 'Points'),
    plot.root,
    scale.root,
    says,
    problem,
    el(
      'div',
      { class: 'points-table', tabindex: 0, role: 'region', 'aria-label': 'Points of the curve' },
      el('table', {}, el('thead', {}, el('tr', {}, ...head, el('td', {}))), body),
    ),
    el('div', { class: 'buttons' }, back, on, undoButton, redoButton),
  )

  const curve = (): MeasuredCurve | undefined => store.getState().measured.find((one) => one.id === id)

  function turn(by: number): void {
    page += by
    draw(true)
  }

  function take(edited: Edited, what: string): boolean {
    problem.textContent = edited.ok ? '' : edited.message
    if (edited.ok) changeCurve(store, edited.curve, what)
    return edited.ok
  }

  function numberCell(index: number, label: string, value: string, key: keyof PointChange, factor: number) {
    const input = el('input', { type: 'text', inputmode: 'decimal', value, 'aria-label': label })
    input.addEventListener('change', () => {
      const present = curve()
      const typed = input.value.trim()
      const number = typed === '' && key === 'uncertainty' ? Number.NaN : numberIn(typed) / factor
      const wrong = Number.isNaN(number) && !(typed === '' && key === 'uncertainty')
      const edited: Edited = wrong
        ? { ok: false, message: `${JSON.stringify(typed.slice(0, 20))} is not a number.` }
        : withPoint(present!, index, { [key]: number })
      if (!take(edited, '')) input.value = value
    })
    return el('td', {}, input)
  }

  function row(present: MeasuredCurve, index: number): HTMLElement {
    const { time, radius, uncertainty, excluded } = present
    const when = `${text(time[index])} s`
    const aside = excluded?.[index] === 1
    const use = el('input', { type: 'checkbox', checked: !aside, 'aria-label': `Use the point at ${when}` })
    use.addEventListener('change', () => changeCurve(store, withExcluded(curve()!, index, !use.checked)))
    const remove = el('button', { type: 'button', 'aria-label': `Delete the point at ${when}` }, 'Delete')
    remove.addEventListener('click', () => take(withoutPoint(curve()!, index), ''))
    return el(
      'tr',
      { class: aside ? 'out' : '' },
      el('td', {}, el('label', { class: 'tick' }, use)),
      numberCell(index, `Time of the point at ${when}, s`, text(time[index]), 'time', 1),
      numberCell(index, `Radius at ${when}, mm`, text(radius[index]! * 1e3), 'radius', 1e3),
      numberCell(
        index,
        `Uncertainty at ${when}, mm`,
        text((uncertainty?.[index] ?? Number.NaN) * 1e3),
        'uncertainty',
        1e3,
      ),
      el('td', {}, remove),
    )
  }

  function drawHistory(): void {
    const { before, after } = historyOf(store.getState(), id)
    keepFocus(
      [undoButton, redoButton],
      () => {
        undoButton.disabled = !before
        redoButton.disabled = !after
      },
      () => (before ? undoButton : after ? redoButton : (root.querySelector('input') ?? undoButton)),
    )
  }

  function draw(always = false): void {
    const present = curve()
    drawHistory()
    if (!present || (present === drawn && !always)) return
    const same = drawn && drawn.time === present.time && drawn.radius === present.radius
    const plain = same && drawn!.uncertainty === present.uncertainty && drawn!.excluded === present.excluded
    drawn = present
    scale.show(present)
    if (plain && !always) return
    const count = present.time.length
    page = Math.min(Math.max(page, 0), Math.ceil(count / pageSize) - 1)
    const from = page * pageSize
    const to = Math.min(from + pageSize, count)
    says.textContent = `${count} points, ${usedCount(present)} used; here ${from + 1} to ${to}. A point without its tick is kept but not used in comparisons.`
    back.disabled = page === 0
    on.disabled = to === count
    back.hidden = on.hidden = count <= pageSize
    const rows = Array.from({ length: to - from }, (_, i) => row(present, from + i))
    keepingFocus(body, () => body.replaceChildren(...rows))
  }

  return {
    show(next) {
      if (next !== id) {
        page = 0
        drawn = undefined
        problem.textContent = ''
      }
      id = next
      draw()
    },
    destroy() {
      plot.destroy()
      root.replaceChildren()
    },
  }
}

/** Puts the focus back to the same cell after rows were made anew. */
function keepingFocus(body: HTMLElement, work: () => void): void {
  const controls = () => [...body.querySelectorAll<HTMLElement>('input, button')]
  const at = controls().indexOf(document.activeElement as HTMLElement)
  work()
  if (at >= 0) (controls()[at] ?? controls().at(-1))?.focus({ preventScroll: true })
}
