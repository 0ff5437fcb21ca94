/**
 * Pointing at the stage, and turning it. Moving over it marks a radius; dragging turns and tilts, dragging with Shift or
 * the right button moves. The wheel zooms with Ctrl or while the stage has the focus, else the page scrolls. One finger
 * marks (or scrolls the page), two fingers zoom, turn and move.
 */
import { setCamera, setCursorRadius } from '../actions.ts'
import type { Store } from '../store.ts'
import { type Camera, looks, moved, steps, turned, zoomed } from './camera.ts'
import { type Framing, radiusAt } from './framing.ts'

/** Turn and tilt per pixel, rad; a drag begins after so many pixels. */
const perPixel = 0.007
const leastDrag = 4
/** Fingers that zoom or move seldom keep their direction to the last: so much of a twist does not count, rad. */
const slack = 0.12
/** Growth per pixel of the wheel; a pinch on a touchpad comes as Ctrl with small steps. */
const perWheel = { wheel: 0.0015, pinch: 0.01 } as const
const pixelsPerLine = 16

/** What the keys do, for those who ask. */
export const keysText =
  'Arrow keys move the marked radius. A and D turn, W and S tilt, plus and minus zoom, Shift with A, D, W or S moves the picture, 0 goes back to the start.'

interface Spot {
  x: number
  y: number
}

/** What a key makes of the camera; null if nothing. */
export function cameraAfterKey(
  key: string,
  shift: boolean,
  camera: Camera,
  tilt: number,
  span: number,
): Camera | null {
  const letter = key.toLowerCase()
  if (letter === '0') return looks.start
  if (letter === '+' || letter === '=') return zoomed(camera, steps.zoom)
  if (letter === '-' || letter === '−') return zoomed(camera, 1 / steps.zoom)
  const across = letter === 'd' ? 1 : letter === 'a' ? -1 : 0
  const up = letter === 'w' ? 1 : letter === 's' ? -1 : 0
  if (across === 0 && up === 0) return null
  const far = (steps.pan * span) / camera.zoom
  if (shift) return moved(camera, across * far, up * far)
  return turned(camera, { turn: across * steps.turn, tilt: up * steps.tilt }, tilt)
}

export class Handling {
  private readonly box: HTMLElement
  private readonly store: Store
  private readonly frame: () => Framing
  private readonly endings: (() => void)[] = []
  /** A drag by mouse or pen: where it began, and from which camera. */
  private drag: { spot: Spot; camera: Camera; tilt: number; pans: boolean; begun: boolean } | null = null
  /** Fingers on the stage, and how a gesture of two of them began. */
  private readonly fingers = new Map<number, Spot>()
  private pair: { ids: [number, number]; a: Spot; b: Spot; camera: Camera; frame: Framing } | null = null

  /** @param frame how the picture lies at present */
  constructor(box: HTMLElement, store: Store, frame: () => Framing) {
    this.box = box
    this.store = store
    this.frame = frame
    const touches = (event: PointerEvent) => event.pointerType === 'touch'
    this.on('pointermove', (event) => (touches(event) ? this.touchMove(event) : this.move(event)))
    this.on('pointerdown', (event) => (touches(event) ? this.touchDown(event) : this.down(event)))
    for (const name of ['pointerup', 'pointercancel'] as const) this.on(name, (event) => this.up(event))
    this.on('wheel', (event) => this.wheel(event), { passive: false })
    this.on('keydown', (event) => this.key(event))
    // The browser would scroll with two fingers; one finger's scrolling stays.
    this.on(
      'touchstart',
      (event) => {
        if (event.touches.length > 1 && event.cancelable) event.preventDefault()
      },
      { passive: false },
    )
    this.on('contextmenu', (event) => {
      if (event.button === 2) event.preventDefault()
    })
  }

  private on<K extends keyof HTMLElementEventMap>(
    name: K,
    react: (event: HTMLElementEventMap[K]) => void,
    options?: AddEventListenerOptions,
  ): void {
    this.box.addEventListener(name, react, options)
    this.endings.push(() => this.box.removeEventListener(name, react, options))
  }

  private spot(event: { clientX: number; clientY: number }): Spot {
    const { left, top } = this.box.getBoundingClientRect()
    return { x: event.clientX - left, y: event.clientY - top }
  }

  private mark(event: PointerEvent): void {
    markAt(this.store, this.frame(), this.spot(event))
  }

  private down(event: PointerEvent): void {
    // The middle button would start scrolling by itself.
    if (event.button === 1) event.preventDefault()
    if (event.button > 2) return
    const { camera } = this.store.getState()
    const pans = event.shiftKey || event.button > 0
    this.drag = { spot: this.spot(event), camera, tilt: this.frame().tilt, pans, begun: false }
    this.box.setPointerCapture(event.pointerId)
  }

  private touchDown(event: PointerEvent): void {
    this.fingers.set(event.pointerId, this.spot(event))
    if (this.fingers.size === 1) this.mark(event)
    const [first, second] = [...this.fingers.entries()]
    if (this.fingers.size > 2 || !first || !second) return
    const { camera } = this.store.getState()
    this.pair = { ids: [first[0], second[0]], a: first[1], b: second[1], camera, frame: this.frame() }
  }

  private move(event: PointerEvent): void {
    if (!this.drag) {
      if (event.buttons === 0) this.mark(event)
      return
    }
    const { spot, camera, tilt, pans } = this.drag
    const now = this.spot(event)
    const [dx, dy] = [now.x - spot.x, now.y - spot.y]
    if (!this.drag.begun && Math.hypot(dx, dy) < leastDrag) return
    this.drag.begun = true
    this.box.classList.add('is-turning')
    const { scale } = this.frame()
    setCamera(
      this.store,
      pans
        ? moved(camera, -dx / scale, dy / scale)
        : turned(camera, { turn: -perPixel * dx, tilt: perPixel * dy }, tilt),
    )
  }

  private touchMove(event: PointerEvent): void {
    if (!this.fingers.has(event.pointerId)) return
    this.fingers.set(event.pointerId, this.spot(event))
    if (!this.pair) {
      if (this.fingers.size === 1) this.mark(event)
      return
    }
    const [a, b] = this.pair.ids.map((id) => this.fingers.get(id)) as [Spot?, Spot?]
    if (a && b) setCamera(this.store, afterTwoFingers(this.pair.camera, this.pair.frame, this.pair, { a, b }))
  }

  private up(event: PointerEvent): void {
    this.drag = null
    this.box.classList.remove('is-turning')
    this.fingers.delete(event.pointerId)
    // The finger that is left marks nothing: the pair is over when both are gone.
    if (this.fingers.size === 0) this.pair = null
  }

  private wheel(event: WheelEvent): void {
    const { store, box } = this
    if (!event.ctrlKey && document.activeElement !== box) return
    const pixels = event.deltaY * (event.deltaMode === 0 ? 1 : pixelsPerLine)
    const small = event.ctrlKey && Math.abs(pixels) < 40
    const { camera } = store.getState()
    const at = fromCentre(this.frame(), this.spot(event))
    const next = zoomed(camera, Math.exp(-(small ? perWheel.pinch : perWheel.wheel) * pixels), at.x, at.y)
    // At its limit the wheel is the page's again, but Ctrl must not zoom the page by surprise.
    if (next.zoom === camera.zoom && !event.ctrlKey) return
    event.preventDefault()
    setCamera(store, next)
  }

  private key(event: KeyboardEvent): void {
    if (event.ctrlKey || event.metaKey || event.altKey || event.target !== this.box) return
    const { camera, radialSpan } = this.store.getState()
    const next = cameraAfterKey(event.key, event.shiftKey, camera, this.frame().tilt, radialSpan)
    if (!next) return
    event.preventDefault()
    setCamera(this.store, next)
  }

  destroy(): void {
    for (const end of this.endings) end()
  }
}

function markAt(store: Store, frame: Framing, { x, y }: Spot): void {
  setCursorRadius(store, radiusAt(frame, x, y))
}

/** For a stage that is only looked at: moving over it marks a radius. */
export function followPointing(box: HTMLElement, store: Store, frame: () => Framing): () => void {
  const mark = (event: PointerEvent) => {
    if (event.pointerType !== 'mouse' && event.buttons === 0) return
    const { left, top } = box.getBoundingClientRect()
    markAt(store, frame(), { x: event.clientX - left, y: event.clientY - top })
  }
  for (const name of ['pointermove', 'pointerdown'] as const) box.addEventListener(name, mark)
  return () => {
    for (const name of ['pointermove', 'pointerdown'] as const) box.removeEventListener(name, mark)
  }
}

/** A place in the picture by its distance from the drop's centre, right and up, m. */
const fromCentre = (frame: Framing, { x, y }: Spot): Spot => ({
  x: (x - frame.axis) / frame.scale,
  y: (frame.cutRow - y) / frame.scale,
})

interface Pair {
  a: Spot
  b: Spot
}

/** The camera after two fingers went from one pair of places to another: what lay between them stays between them. */
export function afterTwoFingers(camera: Camera, frame: Framing, from: Pair, to: Pair): Camera {
  const middle = ({ a, b }: Pair) => ({ x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 })
  const apart = ({ a, b }: Pair) => Math.max(20, Math.hypot(b.x - a.x, b.y - a.y))
  const direction = ({ a, b }: Pair) => Math.atan2(b.y - a.y, b.x - a.x)
  const turn = direction(to) - direction(from)
  const twist = Math.atan2(Math.sin(turn), Math.cos(turn))
  const counted = Math.sign(twist) * Math.max(0, Math.abs(twist) - slack)
  const [before, now] = [middle(from), middle(to)]
  const at = fromCentre(frame, before)
  const larger = zoomed(camera, apart(to) / apart(from), at.x, at.y)
  const perMetre = (frame.scale * larger.zoom) / camera.zoom
  const shifted = moved(larger, -(now.x - before.x) / perMetre, (now.y - before.y) / perMetre)
  return counted === 0 ? shifted : turned(shifted, { turn: counted }, frame.tilt)
}
