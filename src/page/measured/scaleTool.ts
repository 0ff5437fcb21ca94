/** Another scale and another clock for a whole curve: radius × a, time × b + c, seen before it is done, one step of undo. */
import { type Rescaling, rescaled } from '../../measured/edit.ts'
import type { MeasuredCurve } from '../../measured/types.ts'
import { el } from '../dom.ts'
import { numberField } from './importParts.ts'

export interface ScaleTool {
  root: HTMLElement
  show(curve: MeasuredCurve): void
}

const none: Rescaling = { radius: 1, time: 1, shift: 0 }

const figure = (value: number): string => String(Number(value.toPrecision(4))).replace('-', '−')
const most = ({ radius }: MeasuredCurve): number => radius.reduce((a, b) => Math.max(a, b), 0)

/** What becomes of a curve, in words. */
function rescalingWords(before: MeasuredCurve, after: MeasuredCurve): string {
  const span = ({ time }: MeasuredCurve) => `${figure(time[0]!)} to ${figure(time.at(-1)!)} s`
  const contact =
    before.meta.startTime_s === undefined
      ? ' No moment of contact is stated: it stays at 0 s.'
      : ` The contact goes with the points, from ${figure(before.meta.startTime_s)} to ${figure(after.meta.startTime_s!)} s.`
  return `Largest radius ${figure(1e3 * most(before))} mm becomes ${figure(1e3 * most(after))} mm; ${span(before)} becomes ${span(after)}.${contact}`
}

/** @param look shows how the points would lie; null: as they are. @param change takes the changed curve */
export function createScaleTool(
  look: (changed: MeasuredCurve | null) => void,
  change: (curve: MeasuredCurve) => void,
): ScaleTool {
  let curve: MeasuredCurve | null = null
  let by = none
  const says = el('p', { class: 'note', role: 'status' })
  const apply = el('button', { type: 'button', onclick: () => take() }, 'Scale and shift the points')
  const fields = [
    ['radius', 'radius ×', ''],
    ['time', 'time ×', ''],
    ['shift', 'time +', ' s'],
  ] as const
  const inputs = fields.map(([key, label, unit]) => {
    const root = numberField(label, none[key], (value) => {
      by = { ...by, [key]: value ?? none[key] }
      draw()
    })
    root.append(unit)
    return { key, input: root.querySelector('input')!, root }
  })
  const root = el(
    'details',
    { class: 'scale-tool' },
    el('summary', {}, 'Scale and shift all points'),
    el('div', { class: 'frame-fields' }, ...inputs.map((one) => one.root)),
    says,
    apply,
  )
  root.addEventListener('toggle', () => draw())

  const changed = () => (curve ? rescaled(curve, by) : null)
  const idle = () => by.radius === 1 && by.time === 1 && by.shift === 0

  function reset(): void {
    by = none
    for (const { key, input } of inputs) input.value = String(none[key])
  }

  function draw(): void {
    const made = changed()
    const ready = made?.ok === true && !idle()
    apply.disabled = !ready
    says.className = made && !made.ok ? 'problem' : 'note'
    says.textContent = !made
      ? ''
      : !made.ok
        ? made.message
        : idle()
          ? 'For a scale or a frame rate that was wrong: radius × 1.08, time × 0.5, time + 0.2 s.'
          : rescalingWords(curve!, made.curve)
    look(root.open && ready ? made.curve : null)
  }

  function take(): void {
    const made = changed()
    if (!made?.ok || idle()) return
    reset()
    change(made.curve)
    inputs[0]!.input.focus()
  }

  return {
    root,
    show(next) {
      if (curve?.id !== next.id) {
        reset()
        root.open = false
      }
      curve = next
      draw()
    },
  }
}
