/** Scale, time, and what counts as drop. */
import type { RadiusKind } from '../../measured/video/series.ts'
import type { Difference } from '../../measured/video/types.ts'
import { el, keepFocus } from '../dom.ts'
import { plain } from '../format.ts'
import { button, checkField, choiceField, group, show, textField } from './fields.ts'
import { useContact } from './making.ts'
import {
  isTimed,
  lifetime,
  rateProblem,
  type Session,
  type SessionStore,
  scaleOf,
  setSettings,
  slowing,
  startPlacing,
  watchedShare,
} from './session.ts'
import { setMoment } from './timeline.ts'
import { moment, seconds } from './words.ts'

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
  const here = () =>
    session.setState(({ shot, start }) => ({ start: shot?.time ?? start, startKnown: 'hand', startSigma: 0 }))
  const recorded = textField('Recorded at', 'frames per s', (text) => session.setState({ recorded: text }))
  const said = el('p', { class: 'note' })
  const problem = el('p', { class: 'problem' })
  const start = el('p', {})
  const use = button('', () => useContact(session))
  const buttons = el('div', { class: 'buttons' }, use, button('Touch-down is in this frame', here))
  const ended = () => {
    const { shot } = session.getState()
    if (shot) setMoment(session, 'collapse', shot.time)
  }
  const collapse = button('Collapse is in this frame', ended)
  const open = button('No collapse', () => setMoment(session, 'collapse', null))
  const end = el('p', {})
  const root = group(
    'Time',
    start,
    buttons,
    end,
    el('div', { class: 'buttons' }, collapse, open),
    recorded.row,
    said,
    problem,
  )
  return {
    root,
    update(state) {
      start.textContent = startWords(state)
      const found =
        state.startKnown === 'no' && state.run.state !== 'running' ? lifetime(state).touchDown : null
      keepFocus(
        [use],
        () => {
          use.hidden = found === null
        },
        () => buttons.lastElementChild as HTMLElement,
      )
      if (found) {
        use.textContent = `Touch-down looks to be at ${moment(found.time, state)} ± ${seconds(found.uncertainty)}: use it`
      }
      end.textContent =
        state.collapse === null
          ? 'No collapse is set by hand: what comes after the drop’s end is found from the frames.'
          : `It collapses at ${moment(state.collapse, state)}; later frames do not count.`
      const late = (state.shot?.time ?? 0) > state.start
      keepFocus(
        [collapse, open],
        () => {
          collapse.disabled = !late
          open.hidden = state.collapse === null
        },
        () => collapse,
      )
      show(recorded.input, state.recorded)
      problem.textContent = rateProblem(state)
      if (!state.source) return
      if (state.source.kind === 'stills') {
        said.textContent = isTimed(state)
          ? ''
          : 'How many pictures were taken per second? Until that is typed times count pictures, not seconds.'
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

const startWords = (state: Session): string => {
  const at = moment(state.start, state)
  if (state.startKnown === 'hand') return `The drop touches down at ${at}.`
  if (state.startKnown === 'found')
    return `The drop touches down at ${at} ± ${moment(state.startSigma, state)}, between the last frame without it and the first with it.`
  return `Nobody has said yet where the drop touches down: ${at} stands for it.`
}

const kinds: readonly (readonly [Difference, string])[] = [
  ['colour', 'any colour difference'],
  ['tint', 'tint alone (blind to shadows)'],
  ['darker', 'darker than the bath'],
  ['brighter', 'brighter than the bath'],
]

export function dropPart(session: SessionStore, placed: () => void, makeBath: () => void): Part {
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
  const own = checkField('Make a picture of the bath from the recording', (ownBath) =>
    setSettings(session, { ownBath }),
  )
  const makeNow = button('Make it now', makeBath)
  const against = el('p', { class: 'note' })
  const root = group(
    'Drop',
    kind.row,
    auto.row,
    levelRow,
    children.row,
    el('div', { class: 'buttons' }, watch, dish, everywhere),
    against,
    own.row,
    el('div', { class: 'buttons' }, makeNow, bare, smooth),
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
      own.input.checked = settings.ownBath !== false
      own.row.hidden = state.bare !== null
      const makes = state.bare === null && state.made === null && settings.ownBath !== false
      makeNow.hidden = !makes || state.source?.withoutPictures === true
      makeNow.disabled = state.making || state.run.state === 'running'
      against.textContent = againstWords(state)
      dish.hidden = state.scalePoints?.of !== 'dish'
      everywhere.hidden = settings.watch === null
    },
  }
}

/** What the frames are compared with, in words. */
function againstWords(state: Session): string {
  const { bare, made, making, settings } = state
  if (bare) return `Compared with the frame at ${seconds(bare.time)}.`
  if (making) return 'Looking through the recording for the bare bath …'
  const surface = 'a smooth surface through the bath round the drop'
  if (settings.ownBath === false)
    return `Compared with ${surface}. A frame from before the drop is better where lamps, marks or the dish show.`
  if (!made)
    return `Compared with ${surface} until a picture of the bath is made, which measuring begins with.`
  if (!made.picture)
    return `Compared with ${surface}: no picture of the bath could be made, for ${made.lacks}.`
  const covered =
    made.filled > 0.02
      ? ` No frame shows ${plain(100 * made.filled, 2)} % of what changes without the drop: there it is drawn from what lies round about.`
      : ''
  return `Compared with a picture of the bath made from ${made.picture.of ?? 1} frames of the recording: what does not move is no drop.${covered}`
}

const radii: readonly (readonly [RadiusKind, string])[] = [
  ['area', 'from the area, √(A/π)'],
  ['edge', 'mean of the outer edge'],
]

export function radiusChoice(session: SessionStore): { row: HTMLElement; input: HTMLSelectElement } {
  return choiceField('Radius', radii, (kind) => session.setState({ kind }))
}
