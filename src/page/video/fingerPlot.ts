/** The plot "Fingers: counted and computed": in sight once fingers could be counted in some frame. */
import { atLargest, type FingerPoint, fingerPoints, isCounted } from '../../measured/video/fingerSeries.ts'
import { el } from '../dom.ts'
import { duration } from '../format.ts'
import { keyParts } from '../plots/cursorKeys.ts'
import { Figure, plotColours } from '../plots/figure.ts'
import { paperColours } from '../plots/seriesColours.ts'
import type { State, Store, View } from '../store.ts'
import { type Computed, computedAt, computedOf, countWords, fingerPanel, tallyOf } from './fingerPanel.ts'
import { pointsChanged, type Session, type SessionStore, scaleOf, seriesOf } from './session.ts'

/** The plot is drawn anew at most this often while frames are measured, ms. */
const pace = 1200

const title = 'Fingers: counted and computed'

export function createFingerPlot(root: HTMLElement, session: SessionStore, store: Store): View {
  const said = el('p', { class: 'note' })
  const holder = el('div', { class: 'finger-plot' })
  root.append(el('h3', {}, title), said, holder)
  let points: FingerPoint[] = []
  let scaled = false
  let computed: Computed | null = null
  let time = 0
  let timer = 0

  const figure = new Figure(holder, {
    label: 'Time along the counted fingers',
    right: 74,
    top: 17,
    leastHeight: 120,
    saved: () => ({
      panels: [fingerPanel(points, computed, scaled, paperColours)],
      title,
      subtitle: session.getState().source?.name ?? '',
      name: 'fingers',
    }),
    point: (at) => moveTo(at),
    resized: () => paint(),
  })
  figure.area.addEventListener('keydown', (event) => {
    const by = keyParts[event.key]
    if (by === undefined || event.ctrlKey || event.metaKey || event.altKey) return
    event.preventDefault()
    moveTo(time + by * lastTime())
  })
  const lastTime = () => points.filter(isCounted).at(-1)?.time ?? 0

  /** To the counted frame that is nearest, seen from there into the direction of movement. */
  function moveTo(at: number): void {
    const times = points.filter(isCounted).map((point) => point.time)
    const ahead =
      at > time
        ? times.find((t) => t >= at - 1e-9 && t > time)
        : times.findLast((t) => t <= at + 1e-9 && t < time)
    time = ahead ?? (at > time ? (times.at(-1) ?? 0) : (times[0] ?? 0))
    tell()
  }

  function tell(): void {
    const here = points.find((point) => isCounted(point) && Math.abs(point.time - time) < 1e-9)
    if (!here) return
    const { count, countError, spacing } = here.reading
    const counted = countWords(count, countError, spacing * here.scale, scaled)
    const other = computedAt(computed, time)
    const words = `${counted}${other ? `; computed ${other}` : ''}`
    figure.setCursor(time, { fingers: words })
    figure.setWords(0, lastTime(), time, `${duration(time)} after touch-down: ${words}`)
  }

  function paint(): void {
    if (root.hidden) return
    const colours = plotColours(store.getState().dark)
    figure.update([fingerPanel(points, computed, scaled, colours)], colours, false)
    tell()
  }

  function draw(): void {
    timer = 0
    const state = session.getState()
    const scale = scaleOf(state)
    scaled = scale?.ok === true
    points = fingerPoints(seriesOf(state).points, state.readings, scale?.ok ? scale.scale.metresPerPixel : 1)
    root.hidden = !points.some(isCounted)
    if (root.hidden) return
    const { life, neighbours, stale } = store.getState()
    computed = life && !stale && life.status === 'done' ? computedOf(life, neighbours.fingers) : null
    if (!points.some((point) => isCounted(point) && point.time === time)) {
      time = points.find(isCounted)!.time
    }
    said.textContent = summary()
    paint()
  }

  function summary(): string {
    const largest = atLargest(points)
    const seen = largest
      ? ` Near the largest radius: ${countWords(largest.count, largest.error, largest.spacing, scaled)}.`
      : ''
    const other =
      computed && computed.time.length > 0
        ? ` The line is the number of beads computed for the drop on this page (${computed.basis}); whether that is the drop of the recording is for you to say.`
        : ' For the drop on this page no beads are computed.'
    return `Fingers ${tallyOf(points)}.${seen}${other}`
  }

  const ask = (running: boolean) => {
    if (!running) clearTimeout(timer)
    timer = running && timer !== 0 ? timer : window.setTimeout(draw, running ? pace : 0)
  }
  const onSession = (state: Session, before: Session) => {
    const running = state.run.state === 'running'
    const ended = before.run.state === 'running' && !running
    if (ended || pointsChanged(state, before)) ask(running)
  }
  const onStore = (state: State, before: State) => {
    if (state.life !== before.life || state.stale !== before.stale || state.neighbours !== before.neighbours)
      ask(false)
    else if (state.dark !== before.dark) paint()
  }
  const ends = [session.subscribe(onSession), store.subscribe(onStore)]
  draw()
  return {
    destroy() {
      clearTimeout(timer)
      for (const end of ends) end()
      figure.destroy()
      root.replaceChildren()
    },
  }
}
