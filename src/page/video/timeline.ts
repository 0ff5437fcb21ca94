/**
 * The whole recording at a glance, under the frame: the radius curve as the track of a slider for the present frame, with
 * touch-down and collapse as marks of their own. Every mark stands at a frame's own time: what is dragged shows its frame,
 * and takes that frame's time.
 */
import { keyOf, type SeriesPoint } from '../../measured/video/series.ts'
import { el, svg } from '../dom.ts'
import { plain } from '../format.ts'
import type { View } from '../store.ts'
import { pointsChanged, type Series, type Session, type SessionStore, seriesOf, slowing } from './session.ts'
import type { Stepper } from './stepping.ts'
import {
  drawTrack,
  fingerWords,
  mostOf,
  nearestPoint,
  placeOf,
  pointWords,
  type Span,
  timeAt,
  timeWords,
} from './timelineTrack.ts'
import { seconds } from './words.ts'

/** The curve is drawn anew at most this often while frames are measured, ms. */
const pace = 1200

type Mark = 'frame' | 'start' | 'collapse'

const labels: Record<Mark, string> = { frame: 'Frame', start: 'Touch-down', collapse: 'Collapse' }

/** Sets touch-down or collapse; false if the one would not lie before the other. */
export function setMoment(session: SessionStore, mark: 'start' | 'collapse', time: number | null): boolean {
  const { start, collapse } = session.getState()
  if (mark === 'start') {
    if (time === null || (collapse !== null && time >= collapse)) return false
    session.setState({ start: time, startKnown: 'hand', startSigma: 0 })
  } else {
    if (time !== null && time <= start) return false
    session.setState({ collapse: time })
  }
  return true
}

export function createTimeline(root: HTMLElement, session: SessionStore, stepper: Stepper): View {
  const picture = svg('svg', { class: 'timeline-curve', preserveAspectRatio: 'none', 'aria-hidden': 'true' })
  const thumb = (mark: Mark) =>
    el(
      'div',
      {
        class: `timeline-mark ${mark === 'frame' ? 'present' : mark}`,
        role: 'slider',
        tabindex: 0,
        'aria-label': labels[mark],
        'data-mark': mark,
      },
      el('span', { 'aria-hidden': 'true' }, mark === 'frame' ? '' : labels[mark]),
    )
  const marks: Record<Mark, HTMLElement> = {
    frame: thumb('frame'),
    start: thumb('start'),
    collapse: thumb('collapse'),
  }
  const track = el(
    'div',
    { class: 'timeline-track' },
    picture as unknown as HTMLElement,
    marks.start,
    marks.collapse,
    marks.frame,
  )
  const scale = el('p', { class: 'note timeline-scale', 'aria-hidden': 'true' })
  const told = el('p', { class: 'note timeline-told' })
  root.append(scale, track, told)

  let series: Series = seriesOf(session.getState())
  let byKey = new Map<number, SeriesPoint>()
  let timer = 0
  /** The mark that goes where the shown frame goes, and the one that the pointer holds. */
  let following: 'start' | 'collapse' | null = null
  let dragged: Mark | null = null
  let pointed: SeriesPoint | null = null

  function span(): Span {
    const { source } = session.getState()
    return { from: 0, to: source?.end ?? 1, width: track.clientWidth || 400, height: 64 }
  }

  const wordsAt = (time: number): string => {
    const state = session.getState()
    const key = keyOf(time)
    const words = pointWords(byKey.get(key), series, state.start, state.collapse)
    const fingers = fingerWords(state.readings.get(key)?.result.fingers)
    return `${timeWords(time, state.start, slowing(state))}: ${words}${fingers}`
  }

  function timeOf(mark: Mark, { shot, start, collapse, source }: Session): number {
    if (mark === 'frame') return shot?.time ?? 0
    return mark === 'start' ? start : (collapse ?? source?.end ?? 0)
  }

  function placeMarks(): void {
    const state = session.getState()
    const room = span()
    for (const mark of ['frame', 'start', 'collapse'] as const) {
      const time = timeOf(mark, state)
      const unset = mark === 'collapse' && state.collapse === null
      const element = marks[mark]
      element.style.left = `${placeOf(time, room)}px`
      element.setAttribute('aria-valuemin', '0')
      element.setAttribute('aria-valuemax', room.to.toFixed(3))
      element.setAttribute('aria-valuenow', Math.min(Math.max(time, 0), room.to).toFixed(3))
      element.setAttribute(
        'aria-valuetext',
        unset ? 'not set' : mark === 'frame' ? wordsAt(time) : seconds(time),
      )
      element.setAttribute('aria-disabled', String(state.run.state === 'running'))
      element.classList.toggle('unset', unset)
      // Two flags side by side: each label goes to the side on which there is room.
      element.classList.toggle('leftward', mark !== 'frame' && placeOf(time, room) > room.width / 2)
    }
    const time = pointed?.recordingTime ?? state.shot?.time ?? 0
    const text = wordsAt(time)
    if (told.textContent !== text) told.textContent = text
  }

  function drawCurve(): void {
    timer = 0
    const state = session.getState()
    series = seriesOf(state)
    byKey = new Map(series.points.map((point) => [point.key, point]))
    const room = span()
    picture.setAttribute('viewBox', `0 0 ${room.width} ${room.height}`)
    const [first, last] = [placeOf(state.start, room), placeOf(state.collapse ?? room.to, room)]
    const outside = [
      [0, first],
      [last, room.width],
    ].map(([from, to]) =>
      svg('rect', { x: from!, y: 0, width: Math.max(0, to! - from!), height: room.height }),
    )
    picture.replaceChildren(...outside, ...drawTrack(series.points, room))
    const most = mostOf(series.points)
    const unit = series.scaled ? `${plain(1e3 * most, 3)} mm` : `${plain(most, 3)} px`
    const hollow = series.points.filter(({ counts }) => !counts).length
    scale.textContent =
      series.points.length === 0
        ? `0 to ${seconds(room.to)}; the radius appears here as it is measured.`
        : `Radius, 0 to ${unit}, over 0 to ${seconds(room.to)}. ${hollow > 0 ? `Hollow: ${hollow} that do not count.` : ''}`
    placeMarks()
  }

  function onChange(state: Session, before: Session): void {
    if (following && state.shot && state.shot !== before.shot) {
      if (!setMoment(session, following, state.shot.time)) following = null
    }
    const running = state.run.state === 'running'
    const ended = before.run.state === 'running' && !running
    if (pointsChanged(state, before) || ended) {
      if (!running) clearTimeout(timer)
      timer = running && timer !== 0 ? timer : window.setTimeout(drawCurve, running ? pace : 0)
    }
    placeMarks()
  }

  const busy = () => session.getState().run.state === 'running'
  /** Where the pointer is, px from the left of the track. */
  const placeIn = (event: PointerEvent): number => event.clientX - track.getBoundingClientRect().left

  /** To the frame whose time is nearest, where frames are evenly spaced. */
  const goNear = (event: PointerEvent) => {
    const half = (session.getState().source?.interval ?? 0) / 2
    stepper.go(timeAt(placeIn(event), span()) + half)
  }

  track.addEventListener('pointerdown', (event) => {
    if (event.button !== 0 || busy()) return
    const mark = (event.target as Element).closest<HTMLElement>('[data-mark]')?.dataset.mark as
      | Mark
      | undefined
    dragged = mark ?? 'frame'
    marks[dragged].focus({ preventScroll: true })
    // Only now: the focus leaves another mark, which then follows no longer.
    following = dragged === 'frame' ? null : dragged
    track.setPointerCapture(event.pointerId)
    event.preventDefault()
    if (!mark) goNear(event)
  })
  track.addEventListener('pointermove', (event) => {
    if (dragged) {
      goNear(event)
      return
    }
    pointed = nearestPoint(series.points, placeIn(event), span())
    placeMarks()
  })
  track.addEventListener('pointerleave', () => {
    pointed = null
    placeMarks()
  })
  for (const end of ['pointerup', 'pointercancel'] as const) {
    track.addEventListener(end, () => {
      dragged = null
    })
  }
  track.addEventListener('focusout', () => {
    following = null
  })
  track.addEventListener('keydown', (event) => {
    const mark = (event.target as HTMLElement).dataset.mark as Mark | undefined
    if (mark && !busy() && moveByKey(mark, event)) event.preventDefault()
  })

  function moveByKey(mark: Mark, event: KeyboardEvent): boolean {
    if (event.ctrlKey || event.metaKey || event.altKey) return false
    const { shot, source } = session.getState()
    if (!source || !shot) return false
    if (mark === 'collapse' && (event.key === 'Delete' || event.key === 'Backspace')) {
      following = null
      return setMoment(session, 'collapse', null)
    }
    const steps = stepsOf(event)
    const far = { PageUp: 0.1, PageDown: -0.1 }[event.key]
    const end = { Home: 0, End: source.end }[event.key]
    if (steps === 0 && far === undefined && end === undefined) return false
    const from = timeOf(mark, session.getState())
    const there = mark === 'frame' || following === mark || Math.abs(shot.time - from) < 1e-6
    following = mark === 'frame' ? null : mark
    if (end !== undefined) stepper.go(end)
    else if (far !== undefined) stepper.go(Math.min(Math.max(from + far * source.end, 0), source.end))
    else {
      if (!there) stepper.go(from + 1e-6)
      stepper.step(steps)
    }
    return true
  }

  const size = new ResizeObserver(drawCurve)
  size.observe(track)
  const unsubscribe = session.subscribe(onChange)
  drawCurve()
  return {
    destroy() {
      clearTimeout(timer)
      size.disconnect()
      unsubscribe()
      root.replaceChildren()
    },
  }
}

function stepsOf({ key, shiftKey }: KeyboardEvent): number {
  const by = shiftKey ? 10 : 1
  if (key === 'ArrowRight' || key === 'ArrowUp') return by
  return key === 'ArrowLeft' || key === 'ArrowDown' ? -by : 0
}
