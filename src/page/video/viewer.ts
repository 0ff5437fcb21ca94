/** The frame with the drop's outline over it; frames are stepped through and points are set here. */
import type { Circle, Point } from '../../measured/video/types.ts'
import { el, svg } from '../dom.ts'
import type { View } from '../store.ts'
import { place, takeBackPoint } from './placing.ts'
import {
  type Placing,
  pointsFor,
  rejectionHere,
  type Session,
  type SessionStore,
  scaleOf,
  seriesOf,
  startPlacing,
} from './session.ts'
import type { Shot } from './source.ts'
import type { Stepper } from './stepping.ts'
import { flagWords, moment } from './words.ts'

const asks: Record<Placing, string> = {
  line: 'Set two points of known distance.',
  dish: 'Set three points on the dish’s inner rim.',
  watch: 'Set three points on the circle that is to be watched.',
  outline: 'Set three points on the drop’s outline.',
}

/** What has to be done now, or what the frame shows, in words. */
function statusOf(state: Session): string {
  const { placing, placed, marked, shot } = state
  if (placing) {
    const left = pointsFor[placing] - placed.length
    return `${asks[placing]} ${left} to go. Click, or move the cross with the arrow keys and press Enter; Backspace takes back, Escape ends.`
  }
  if (!shot) return ''
  if (!marked) return `${moment(shot.time, state)}: looking …`
  const { drop, flags } = marked
  const said = flagWords(flags)
  if (!drop) return `${moment(shot.time, state)}: ${said}.`
  const radius = `radius ${drop.equivalentRadius.toFixed(2)} ± ${drop.uncertainty.toFixed(2)} px, edge ${drop.blur.toFixed(1)} px wide, roundness ${drop.roundness.toFixed(3)}, differs by ${(100 * drop.contrast).toFixed(0)} %, outline at ${(100 * drop.level).toFixed(1)} %`
  const aside = rejectionHere(state)
  const why = aside ? ` Not counted: ${aside.text(seriesOf(state).length)}.` : ''
  return `${moment(shot.time, state)}: ${radius}${said ? ` (${said})` : ''}.${why}`
}

export function createViewer(
  root: HTMLElement,
  session: SessionStore,
  stepper: Stepper,
  say: (text: string) => void,
): View {
  const canvas = el('canvas', { 'aria-hidden': 'true' })
  const overlay = svg('svg', { 'aria-hidden': 'true' })
  const status = el('p', { class: 'note video-status', role: 'status' })
  const picture = el(
    'div',
    {
      class: 'video-picture',
      tabindex: 0,
      role: 'application',
      'aria-label': 'Frame. Left and right arrow: one frame, with Shift ten; Home and End: first and last.',
    },
    canvas,
    overlay as unknown as HTMLElement,
  )
  let cross: Point = { x: 0, y: 0 }
  let painted: Shot | null = null

  const setPoint = (point: Point) => {
    const wrong = place(session, point)
    if (wrong) say(wrong)
  }

  function paint(state: Session): void {
    const { shot, source } = state
    if (!shot || !source || shot === painted) return
    painted = shot
    if (canvas.width !== source.width || canvas.height !== source.height) {
      canvas.width = source.width
      canvas.height = source.height
      picture.style.width = `min(100%, ${(70 * source.width) / source.height}vh)`
      overlay.setAttribute('viewBox', `0 0 ${source.width} ${source.height}`)
      cross = { x: source.width / 2, y: source.height / 2 }
    }
    const context = canvas.getContext('2d')
    if (shot.frame) {
      const data = new Uint8ClampedArray(shot.frame.data)
      context?.putImageData(new ImageData(data, shot.frame.width, shot.frame.height), 0, 0)
    } else context?.clearRect(0, 0, canvas.width, canvas.height)
  }

  function draw(): void {
    const state = session.getState()
    picture.classList.toggle('placing', state.placing !== null)
    paint(state)
    overlay.replaceChildren(...marksOf(state, cross))
    const text = statusOf(state)
    if (status.textContent !== text) status.textContent = text
  }

  picture.addEventListener('pointerdown', (event) => {
    if (!session.getState().placing || event.button !== 0) return
    const box = canvas.getBoundingClientRect()
    const x = ((event.clientX - box.left) / box.width) * canvas.width
    const y = ((event.clientY - box.top) / box.height) * canvas.height
    cross = { x, y }
    setPoint(cross)
  })
  picture.addEventListener('keydown', (event) => {
    const done = session.getState().placing ? placeByKey(event) : stepByKey(event, session, stepper)
    if (done) event.preventDefault()
  })

  function placeByKey(event: KeyboardEvent): boolean {
    const by = event.shiftKey ? 10 : 1
    const [dx, dy] = arrows[event.key] ?? [0, 0]
    if (dx !== 0 || dy !== 0) {
      cross = {
        x: Math.min(Math.max(cross.x + by * dx, 0), canvas.width),
        y: Math.min(Math.max(cross.y + by * dy, 0), canvas.height),
      }
      draw()
    } else if (event.key === 'Enter') setPoint(cross)
    else if (event.key === 'Backspace') takeBackPoint(session)
    else if (event.key === 'Escape') startPlacing(session, null)
    else return false
    return true
  }

  root.append(picture, status)
  draw()
  const unsubscribe = session.subscribe(draw)
  return {
    destroy() {
      unsubscribe()
      root.replaceChildren()
    },
  }
}

const arrows: Record<string, readonly [number, number]> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
}

function stepByKey(event: KeyboardEvent, session: SessionStore, stepper: Stepper): boolean {
  if (event.ctrlKey || event.metaKey || event.altKey) return false
  const by = event.shiftKey ? 10 : 1
  const { source } = session.getState()
  if (event.key === 'ArrowRight') stepper.step(by)
  else if (event.key === 'ArrowLeft') stepper.step(-by)
  else if (event.key === 'Home') stepper.go(0)
  else if (event.key === 'End' && source) stepper.go(source.end)
  else return false
  return true
}

const ring = ({ x, y, r }: Circle, name: string): SVGElement =>
  svg('circle', { cx: x, cy: y, r, class: name })

const dot = ({ x, y }: Point): SVGElement =>
  svg('path', { d: `M${x - 6} ${y}h12M${x} ${y - 6}v12`, class: 'point' })

function marksOf(state: Session, cross: Point): SVGElement[] {
  const { marked, settings, scalePoints, placed, placing } = state
  const list: SVGElement[] = []
  if (settings.watch) list.push(ring(settings.watch, 'watch'))
  const scale = scaleOf({ ...state, knownLength: '1' })
  if (scale?.ok && scale.circle) list.push(ring(scale.circle, 'scale'))
  if (scalePoints?.of === 'line') {
    const [a, b] = scalePoints.points
    list.push(svg('path', { d: `M${a!.x} ${a!.y}L${b!.x} ${b!.y}`, class: 'scale' }))
  }
  for (const point of scalePoints?.points ?? []) list.push(dot(point))
  if (marked?.drop) list.push(...outlineOf(marked.drop.outline), dot(marked.drop))
  for (const point of placed) list.push(dot(point))
  if (placing) {
    const d = `M${cross.x - 14} ${cross.y}h10m8 0h10M${cross.x} ${cross.y - 14}v10m0 8v10`
    list.push(svg('path', { d, class: 'cross' }))
  }
  return list
}

/** A dark line under a bright one: seen on any picture. */
function outlineOf(outline: Float32Array): SVGElement[] {
  let d = ''
  for (let i = 0; i < outline.length; i += 2) {
    d += `${i === 0 ? 'M' : 'L'}${outline[i]!.toFixed(2)} ${outline[i + 1]!.toFixed(2)}`
  }
  return ['under', 'over'].map((name) => svg('path', { d: `${d}Z`, class: `outline ${name}` }))
}
