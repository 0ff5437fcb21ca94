/** The measured points: correct, leave out, take back. The timeline above them is their picture. */
import type { SeriesPoint } from '../../measured/video/series.ts'
import { typedInBox } from '../../numerics/typedNumber.ts'
import { el } from '../dom.ts'
import { plain } from '../format.ts'
import type { View } from '../store.ts'
import { button } from './fields.ts'
import {
  correct,
  isTimed,
  pointsChanged,
  type Series,
  type SessionStore,
  seriesOf,
  undoCorrection,
} from './session.ts'
import type { Stepper } from './stepping.ts'
import { flagHelp, flagWords, moment, seconds } from './words.ts'

/** Rows are drawn anew at most this often while frames are measured, ms; that costs more than to measure a frame. */
const pace = 1200
/** Most rows drawn at once; the timeline shows all points. */
const mostRows = 1500

/** Why the point does not count, or that the user took it in all the same. */
function reasonOf({ rejection, taken, byHand }: SeriesPoint, { length }: Series): string {
  if (!rejection || byHand) return ''
  return `${taken ? 'taken in by hand, though ' : ''}${rejection.text(length)}`
}

function row(point: SeriesPoint, series: Series, session: SessionStore, stepper: Stepper): HTMLElement {
  const { key, flags } = point
  const { scaled } = series
  const aside = point.rejection !== null && !point.byHand
  const factor = scaled ? 1e3 : 1
  const state = session.getState()
  const when = isTimed(state) ? seconds(point.time) : moment(point.recordingTime, state)
  const use = el('input', {
    type: 'checkbox',
    checked: point.counts,
    disabled: !point.counts && !point.dropped && !aside,
    'aria-label': `Use the point at ${when}`,
    onchange: () =>
      correct(session, key, { dropped: !aside && !use.checked, taken: aside ? use.checked : point.taken }),
  })
  const value = Number.isNaN(point.radius) ? '' : (point.radius * factor).toFixed(scaled ? 3 : 2)
  const edit = el('input', {
    type: 'text',
    inputmode: 'decimal',
    value,
    disabled: !scaled,
    'aria-label': `Radius at ${when}, mm`,
    onchange: () => takeRadius(edit, value, key, session),
  })
  const back = point.byHand
    ? [
        button('Measured value', () => correct(session, key, { radius: null }), {
          'aria-label': `Measured value at ${when}`,
        }),
      ]
    : []
  const go = button(when, () => stepper.go(point.recordingTime + 1e-6), { title: 'Show this frame' })
  const told = aside ? flags.filter((flag) => flag !== 'faint') : flags
  const early = point.time < -5e-7 ? 'before touch-down' : ''
  const words = [early, reasonOf(point, series), flagWords(told)].filter((text) => text !== '').join('; ')
  const said = el('td', { title: flags.map((flag) => flagHelp[flag]).join(' ') }, words, ...back)
  const error = Number.isNaN(point.uncertainty) ? '' : `± ${plain(point.uncertainty * factor, 2)}`
  return el(
    'tr',
    { class: point.counts ? '' : 'out', 'data-key': key },
    el('td', {}, use),
    el('td', {}, go),
    el('td', {}, edit),
    el('td', {}, error),
    said,
  )
}

function takeRadius(edit: HTMLInputElement, before: string, key: number, session: SessionStore): void {
  const typed = edit.value.trim()
  const radius = typedInBox(typed) / 1e3
  if (typed === '') correct(session, key, { radius: null })
  else if (radius > 0) correct(session, key, { radius })
  else {
    edit.value = before
    edit.setCustomValidity('A radius is a number above 0 mm.')
    edit.reportValidity()
    edit.setCustomValidity('')
  }
}

export function createPoints(root: HTMLElement, session: SessionStore, stepper: Stepper): View {
  const said = el('p', { class: 'note' })
  const body = el('tbody')
  const unit = el('th', {}, 'R')
  const when = el('th', {}, 't')
  const table = el(
    'table',
    {},
    el(
      'thead',
      {},
      el('tr', {}, el('th', {}, 'Use'), when, unit, el('th', {}, '±'), el('th', {}, 'Remarks')),
    ),
    body,
  )
  const undo = button('Undo correction', () => undoCorrection(session))
  const scroll = el(
    'div',
    { class: 'video-table', tabindex: 0, role: 'region', 'aria-label': 'Measured points' },
    table,
  )
  root.append(el('h3', {}, 'Points'), said, scroll, el('div', { class: 'buttons' }, undo))
  let timer = 0
  function draw(): void {
    timer = 0
    const state = session.getState()
    const series = seriesOf(state)
    const { points, scaled } = series
    root.hidden = points.length === 0
    const counting = points.filter(({ counts }) => counts).length
    const more = points.length > mostRows ? ` The table shows the first ${mostRows}.` : ''
    said.textContent = `${points.length} frames, ${counting} count. Type over a radius to correct it, untick a point to leave it out, tick one that was not counted to take it in.${more}`
    when.textContent = isTimed(state) ? 't' : 'no.'
    unit.textContent = scaled ? 'R, mm' : 'R, px'
    undo.disabled = state.past.length === 0
    keepFocus(body, () =>
      body.replaceChildren(...points.slice(0, mostRows).map((point) => row(point, series, session, stepper))),
    )
  }
  const unsubscribe = session.subscribe((state, before) => {
    const running = state.run.state === 'running'
    const ended = before.run.state === 'running' && !running
    if (!pointsChanged(state, before) && !(ended && timer !== 0)) return
    if (!running) clearTimeout(timer)
    timer = running && timer !== 0 ? timer : window.setTimeout(draw, running ? pace : 0)
  })
  draw()
  return {
    destroy() {
      clearTimeout(timer)
      unsubscribe()
      root.replaceChildren()
    },
  }
}

/** Puts the focus back to where it was after rows were made anew. */
function keepFocus(body: HTMLElement, work: () => void): void {
  const active = document.activeElement
  const held = active instanceof HTMLElement && body.contains(active) ? active : null
  const key = held?.closest<HTMLElement>('tr')?.dataset.key
  const place = held ? [...(held.closest('tr')?.querySelectorAll('input, button') ?? [])].indexOf(held) : -1
  work()
  if (key === undefined || place < 0) return
  const again = body.querySelector(`tr[data-key="${key}"]`)?.querySelectorAll<HTMLElement>('input, button')[
    place
  ]
  again?.focus({ preventScroll: true })
}
