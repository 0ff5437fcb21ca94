/** Scale, time, and what counts as drop. */
import type { RadiusKind } from '../../measured/video/series.ts'
import type { Difference } from '../../measured/video/types.ts'
import { el } from '../dom.ts'
import { plain } from '../format.ts'
import { button, checkField, choiceField, group, show, textField } from './fields.ts'
import {
  rateProblem,
  type Session,
  type SessionStore,
  scaleOf,
  setSettings,
  slowing,
  startPlacing,
  watchedShare,
} from './session.ts'
import { seconds } from './words.ts'

/** A part of the set-up: its element, and what it does when the state changes. */
export interface Part {
  root: HTMLElement
  update(state: Session): void
}

/** `placed` is called after a button that asks for points, to bring the focus to the picture. */
export function scalePart(session: SessionStore, placed: () => void): Part {
  const ask = (placing: 'line' | 'dish') => () => {
    startPlacing(session, placing)
    placed()
  }
  const known = textField('Known length', 'mm', (knownLength) => session.setState({ knownLength }))
  const said = el('p', { class: 'note' })
  const problem = el('p', { class: 'problem' })
  const root = group(
    'Scale',
    el(
      'div',
      { class: 'buttons' },
      button('Two points', ask('line')),
      button('Dish, three points', ask('dish')),
    ),
    known.row,
    said,
    problem,
  )
  return {
    root,
    update(state) {
      show(known.input, state.knownLength)
      const scale = scaleOf(state)
      const of = state.scalePoints?.of
      known.row.firstElementChild!.textContent =
        of === 'dish' ? 'Inner diameter of the dish' : 'Distance of the points'
      problem.textContent = scale && !scale.ok ? scale.message : ''
      said.textContent = scale?.ok
        ? `${plain(scale.scale.metresPerPixel * 1e3, 4)} mm per pixel, ± ${plain(100 * scale.scale.relativeUncertainty, 2)} % (each point by hand ± 1 px)`
        : of
          ? 'Type the known length.'
          : 'Without a scale radii are in pixels.'
    },
  }
}

export function timePart(session: SessionStore): Part {
  const here = () => session.setState(({ shot, start }) => ({ start: shot?.time ?? start }))
  const recorded = textField('Recorded at', 'frames per s', (text) => session.setState({ recorded: text }))
  const said = el('p', { class: 'note' })
  const problem = el('p', { class: 'problem' })
  const start = el('p', {})
  const root = group('Time', start, button('Touch-down is in this frame', here), recorded.row, said, problem)
  return {
    root,
    update(state) {
      start.textContent = `The drop touches down at ${seconds(state.start)}.`
      show(recorded.input, state.recorded)
      problem.textContent = rateProblem(state)
      if (!state.source) return
      if (state.source.kind === 'stills') {
        said.textContent =
          state.recorded.trim() === '' ? 'One picture per second, until the rate is typed.' : ''
        return
      }
      const rate = `The file’s frames are ${plain(1e3 * state.source.interval, 4)} ms apart`
      const factor = slowing(state)
      said.textContent =
        factor === 1
          ? `${rate}. Leave empty unless the recording is played slower than it was taken.`
          : `${rate}: one second of the lab lasts ${plain(factor, 3)} s in the file.`
    },
  }
}

const kinds: readonly (readonly [Difference, string])[] = [
  ['colour', 'any colour difference'],
  ['tint', 'tint alone (blind to shadows)'],
  ['darker', 'darker than the bath'],
  ['brighter', 'brighter than the bath'],
]

export function dropPart(session: SessionStore, placed: () => void): Part {
  const kind = choiceField('The drop is marked by', kinds, (difference) =>
    setSettings(session, { difference }),
  )
  const auto = checkField('Find the threshold from each frame', (on) => {
    const found = session.getState().marked?.drop?.level ?? 0.2
    setSettings(session, { level: on ? null : Math.round(found * 100) / 100 })
  })
  const slide = el('input', {
    type: 'range',
    min: 1,
    max: 100,
    step: 1,
    'aria-label': 'Threshold, per cent of the bath’s light',
    oninput: () => setSettings(session, { level: slide.valueAsNumber / 100 }),
  })
  const level = el('output', {})
  const levelRow = el('div', { class: 'video-field' }, el('span', {}, 'Threshold'), slide, level)
  const children = checkField('Leave child drops out', (cutChildren) => setSettings(session, { cutChildren }))
  const watch = button('Watch only within a circle, three points', () => {
    startPlacing(session, 'watch')
    placed()
  })
  const dish = button('Watch within the dish', () => {
    const scale = scaleOf({ ...session.getState(), knownLength: '1' })
    if (scale?.ok && scale.circle)
      setSettings(session, { watch: { ...scale.circle, r: watchedShare * scale.circle.r } })
  })
  const everywhere = button('Watch everything', () => setSettings(session, { watch: null }))
  const bare = button('This frame shows the bath alone', () => {
    const { shot } = session.getState()
    if (shot?.frame) session.setState({ bare: { ...shot, frame: shot.frame } })
  })
  const smooth = button('No picture of the bath', () => session.setState({ bare: null, bareAt: null }))
  const against = el('p', { class: 'note' })
  const root = group(
    'Drop',
    kind.row,
    auto.row,
    levelRow,
    children.row,
    el('div', { class: 'buttons' }, watch, dish, everywhere),
    against,
    el('div', { class: 'buttons' }, bare, smooth),
  )
  return {
    root,
    update(state) {
      const { settings, marked } = state
      show(kind.input, settings.difference)
      auto.input.checked = settings.level === null
      children.input.checked = settings.cutChildren
      const now = settings.level ?? marked?.drop?.level
      slide.disabled = settings.level === null
      if (now !== undefined && document.activeElement !== slide) slide.value = String(Math.round(100 * now))
      level.textContent = now === undefined ? '–' : `${Math.round(100 * now)} %`
      smooth.hidden = state.bare === null
      against.textContent = state.bare
        ? `Compared with the frame at ${seconds(state.bare.time)}.`
        : 'Compared with a smooth surface through the bath round the drop. A frame from before the drop is better where lamps, marks or the dish show.'
      dish.hidden = state.scalePoints?.of !== 'dish'
      everywhere.hidden = settings.watch === null
    },
  }
}

const radii: readonly (readonly [RadiusKind, string])[] = [
  ['area', 'from the area, √(A/π)'],
  ['edge', 'mean of the outer edge'],
]

export function radiusChoice(session: SessionStore): { row: HTMLElement; input: HTMLSelectElement } {
  return choiceField('Radius', radii, (kind) => session.setState({ kind }))
}
