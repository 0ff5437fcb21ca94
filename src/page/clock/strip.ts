/** The clock strip: R(t) is the time bar. Drag along the curve, or step with the keys. */

import { seriesAt } from '../../life/sample.ts'
import { MEAN } from '../../measured/replicates.ts'
import { setPlaying, setSpeed, setTime } from '../actions.ts'
import { el, oncePerFrame, svg } from '../dom.ts'
import { duration, length } from '../format.ts'
import { pinLife } from '../lives/pins.ts'
import { drawnCurves } from '../measured/grouping.ts'
import { inTurn } from '../measured/inTurn.ts'
import { besideIn, residualText } from '../measured/residual.ts'
import { markerSwatch } from '../measured/swatch.ts'
import { playedTo } from '../spans.ts'
import { type State, type Store, type View, watch } from '../store.ts'
import { lookOf } from '../theme.ts'
import { drawCurves, type Scales, scalesFor } from './drawing.ts'

const speeds = [0.1, 0.25, 0.5, 1, 2, 5, 20]

const endOf = playedTo

const radiusAt = (state: State): number =>
  state.life && state.life.series.t.length > 0 ? seriesAt(state.life.series, state.time).R : Number.NaN

/** What a moment is called: "3.60 s, radius 24.6 mm". */
const momentText = (state: State): string => {
  const time = Math.min(state.time, endOf(state))
  return `${time < 10 ? `${time.toFixed(2)} s` : duration(time)}, radius ${length(radiusAt(state))}`
}

/** Most curves that are named beside the strip; the list of measured curves has all. */
const mostNamed = 24

/** Measured curves by marker, name and residual. */
function fillLegend(legend: HTMLElement, state: State): void {
  const drawn = drawnCurves(state)
  const entries = drawn.slice(0, mostNamed).map(({ curve, index }) => {
    const known = residualText(besideIn(state, curve))
    return el(
      'span',
      { class: curve.id.startsWith(MEAN) ? 'entry mean' : 'entry' },
      markerSwatch(curve, lookOf(state.measured, index)),
      el('span', { class: 'name' }, curve.name),
      ` ${known}`,
    )
  })
  const more = drawn.length - entries.length
  legend.replaceChildren(...entries, ...(more > 0 ? [`and ${more} more`] : []))
}

function createHead(root: HTMLElement, store: Store): () => void {
  const play = el('button', {
    type: 'button',
    class: 'play',
    onclick: () => setPlaying(store, !store.getState().playing),
  })
  const speed = el('select', { onchange: () => setSpeed(store, Number(speed.value)) })
  for (const value of speeds) speed.add(new Option(`${value} ×`, String(value)))
  const moment = el('output', { class: 'moment' })
  const pin = el('button', { type: 'button', class: 'pin', onclick: () => pinLife(store) }, 'Pin this life')
  const legend = el('span', { class: 'legend' })
  const speedLabel = el('label', {}, el('span', {}, 'Speed '), speed)
  root.append(el('div', { class: 'clock-head' }, play, speedLabel, pin, moment, legend))
  const unwatch = [
    watch(
      store,
      ({ measured, hidden, grouped, life, ownLives }) => [measured, hidden, grouped, life, ownLives],
      oncePerFrame(() => inTurn(store, (state) => fillLegend(legend, state))),
    ),
    watch(
      store,
      (state) => [state.playing],
      ([playing]) => {
        play.textContent = playing ? 'Pause' : 'Play'
      },
    ),
    watch(
      store,
      (state) => [state.speed],
      ([value]) => {
        speed.value = String(value)
      },
    ),
    watch(
      store,
      (state) => [state.time, state.life],
      oncePerFrame(() => {
        const state = store.getState()
        moment.textContent = state.life ? momentText(state) : ''
      }),
    ),
  ]
  return () => {
    for (const end of unwatch) end()
  }
}

/** Steps of the keys, as parts of the time span. */
const steps: Record<string, number> = {
  ArrowLeft: -0.005,
  ArrowDown: -0.005,
  ArrowRight: 0.005,
  ArrowUp: 0.005,
  PageDown: -0.05,
  PageUp: 0.05,
}

function listenToKeys(bar: HTMLElement, store: Store): void {
  bar.addEventListener('keydown', (event) => {
    const state = store.getState()
    const step = steps[event.key]
    if (event.ctrlKey || event.metaKey || event.altKey) return
    if (step !== undefined)
      setTime(store, Math.min(state.time, endOf(state)) + step * state.timeSpan * (event.shiftKey ? 10 : 1))
    else if (event.key === 'Home') setTime(store, 0)
    else if (event.key === 'End') setTime(store, endOf(state))
    else if (event.key === ' ') setPlaying(store, !state.playing)
    else return
    if (event.key !== ' ') setPlaying(store, false)
    event.preventDefault()
  })
}

function listenToPointer(bar: HTMLElement, store: Store, scales: () => Scales): void {
  const moveTo = (event: PointerEvent) => {
    const x = event.clientX - bar.getBoundingClientRect().left
    setTime(store, Math.min(scales().timeAt(x), endOf(store.getState())))
  }
  bar.addEventListener('pointerdown', (event) => {
    if (event.button !== 0) return
    bar.setPointerCapture(event.pointerId)
    setPlaying(store, false)
    moveTo(event)
  })
  bar.addEventListener('pointermove', (event) => {
    if (bar.hasPointerCapture(event.pointerId)) moveTo(event)
  })
}

function createHand(): { group: SVGGElement; place(state: State, scales: Scales): void } {
  const line = svg('line', { class: 'hand' })
  const dot = svg('circle', { class: 'hand', r: 7 })
  const group = svg('g', {}, line, dot)
  return {
    group,
    place(state, scales) {
      const radius = radiusAt(state)
      group.toggleAttribute('hidden', Number.isNaN(radius))
      if (Number.isNaN(radius)) return
      const x = scales.x(Math.min(state.time, endOf(state)))
      line.setAttribute('x1', String(x))
      line.setAttribute('x2', String(x))
      line.setAttribute('y1', String(scales.y(scales.radiusTop)))
      line.setAttribute('y2', String(scales.y(0)))
      dot.setAttribute('cx', String(x))
      dot.setAttribute('cy', String(scales.y(radius)))
    },
  }
}

/** The parts of the state that the curves, their scales and flags are made of. */
const drawnKeys = [
  'life',
  'outgoing',
  'stale',
  'pins',
  'measured',
  'hidden',
  'grouped',
  'timeSpan',
  'dark',
  'neighbours',
  'physics',
  'place',
] as const satisfies readonly (keyof State)[]

export function createClockStrip(root: HTMLElement, store: Store): View {
  const unwatchHead = createHead(root, store)
  const curves = svg('g')
  const hand = createHand()
  const picture = svg('svg', { 'aria-hidden': 'true' }, curves, hand.group)
  const bar = el('div', {
    class: 'bar-of-time',
    role: 'slider',
    tabindex: 0,
    'aria-label': 'Moment in the life of the drop',
  })
  bar.append(picture)
  root.append(bar)
  let scales = scalesFor(store.getState(), 600, 160)

  const placeHand = oncePerFrame(() => {
    const state = store.getState()
    hand.place(state, scales)
    bar.setAttribute('aria-valuemin', '0')
    bar.setAttribute('aria-valuemax', endOf(state).toFixed(2))
    bar.setAttribute('aria-valuenow', Math.min(state.time, endOf(state)).toFixed(2))
    bar.setAttribute('aria-valuetext', state.life ? momentText(state) : 'no life yet')
  })
  const redraw = oncePerFrame(() => {
    const state = store.getState()
    const { width, height } = bar.getBoundingClientRect()
    if (width < 20 || height < 20) return
    scales = scalesFor(state, width, height)
    picture.setAttribute('viewBox', `0 0 ${width} ${height}`)
    curves.replaceChildren(...drawCurves(state, scales))
    placeHand()
  })

  listenToKeys(bar, store)
  listenToPointer(bar, store, () => scales)
  const resized = new ResizeObserver(redraw)
  resized.observe(bar)
  const unwatch = [
    unwatchHead,
    watch(store, (state) => drawnKeys.map((key) => state[key]), redraw),
    watch(store, (state) => [state.time], placeHand),
  ]
  return {
    destroy() {
      resized.disconnect()
      for (const end of unwatch) end()
      root.replaceChildren()
    },
  }
}
