/** Measure, stop, go on. */
import { verdictOf } from '../../measured/video/series.ts'
import { typedInBox } from '../../numerics/typedNumber.ts'
import { el, keepFocus } from '../dom.ts'
import { button, group, show, textField } from './fields.ts'
import type { Measuring } from './measuring.ts'
import { lifetime, outOfDate, type Session, type SessionStore, seriesOf } from './session.ts'
import { type Part, radiusChoice } from './setup.ts'
import { moment, seconds } from './words.ts'

export function createRunPart(session: SessionStore, measuring: Measuring): Part {
  const radius = radiusChoice(session)
  const every = textField('Frames from one point to the next', '', (text) => {
    const stride = typedInBox(text)
    if (Number.isInteger(stride) && stride >= 1 && stride <= 1000) session.setState({ stride })
  })
  const begin = button('Measure from the start', () => void measuring.begin(), { class: 'main' })
  const stop = button('Stop', () => measuring.stop())
  const resume = button('Go on', () => void measuring.resume())
  const progress = el('progress', { max: 1, value: 0, 'aria-label': 'Progress of measuring' })
  const said = el('p', { class: 'note', role: 'status' })
  const root = group(
    'Measure',
    radius.row,
    every.row,
    el('div', { class: 'buttons' }, begin, stop, resume),
    progress,
    said,
  )
  return {
    root,
    update(state) {
      const { run, source } = state
      show(radius.input, state.kind)
      show(every.input, String(state.stride))
      const switched = () => {
        begin.disabled = run.state === 'running' || source?.withoutPictures === true
        resume.disabled = source?.withoutPictures === true
        stop.hidden = run.state !== 'running'
        resume.hidden = run.state !== 'stopped'
      }
      const inPlace = { none: begin, running: stop, stopped: resume, done: begin }
      keepFocus([begin, stop, resume], switched, () => inPlace[run.state])
      progress.hidden = run.state === 'none'
      const whole = Math.max((source?.end ?? 0) - run.from, 1e-9)
      progress.value = run.state === 'done' ? 1 : Math.min(1, (run.at - run.from) / whole)
      const text = {
        none: '',
        running: state.making
          ? 'Looking through the recording for the bare bath.'
          : `Measuring, now at ${moment(run.at, state)}.`,
        stopped: `Stopped at ${moment(run.at, state)}; what was measured is kept.`,
        done: run.state === 'done' ? verdictOf(seriesOf(state).points).text + endWords(state) : '',
      }[run.state]
      const old = outOfDate(state) ? ' The settings have changed since; measure again to apply them.' : ''
      const gone = source?.withoutPictures ? ` ${noPictures}` : ''
      if (said.textContent !== text + old + gone) said.textContent = text + old + gone
    },
  }
}

/** Where the drop's life ends, if the recording shows it. */
function endWords(state: Session): string {
  const { collapse } = lifetime(state)
  if (!collapse) return ''
  return ` The drop is gone at ${moment(collapse.time, state)} ± ${seconds(collapse.uncertainty)} of the recording.`
}

const noPictures =
  'These points were kept from before. Choose the same recording again to see its pictures and to measure on.'
