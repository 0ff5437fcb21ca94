/**
 * What the hand does to the picture: events of a pointer, wheel and keys, through the store's camera, to where points of the drop are
 * drawn. That a thing that is dragged goes with the hand is common practice, no source.
 */
import { describe, expect, it } from 'vitest'
import { defaultPreset } from '../../src/life/preset.ts'
import { setCamera } from '../../src/page/actions.ts'
import { looks, moved, startCamera, zoomed } from '../../src/page/stage/camera.ts'
import { type Framing, framing, project } from '../../src/page/stage/framing.ts'
import { afterTwoFingers, cameraAfterKey, Handling } from '../../src/page/stage/handling.ts'
import { createPageStore } from '../../src/page/store.ts'

const span = 0.03
const pointer = { button: 0, buttons: 1, shiftKey: false, pointerId: 1, pointerType: 'mouse', ctrlKey: false }
type Given = Partial<typeof pointer> & { clientX?: number; clientY?: number; deltaY?: number; key?: string }

/** A stage of 800 × 300 px at (100, 50) of the window, without a browser: its box takes events only. */
function stage() {
  const store = createPageStore(defaultPreset())
  const box = Object.assign(new EventTarget(), {
    getBoundingClientRect: () => ({ left: 100, top: 50 }),
    setPointerCapture() {},
    classList: { add() {}, remove() {} },
  })
  const frame = (): Framing => framing(800, 300, span, 0.01, 0.004, store.getState().camera)
  new Handling(box as unknown as HTMLElement, store, frame)
  const fire = (name: string, given: Given) => {
    const event = new Event(name, { cancelable: true })
    box.dispatchEvent(Object.assign(event, { ...pointer, deltaMode: 0, ...given }))
    return event
  }
  const drag = (dx: number, dy: number, given: Given = {}) => {
    const spot = (x: number, y: number) => ({ clientX: 100 + x, clientY: 50 + y })
    fire('pointerdown', { ...spot(400, 150), ...given })
    fire('pointermove', { ...spot(400 + dx / 2, 150 + dy / 2), ...given })
    fire('pointermove', { ...spot(400 + dx, 150 + dy), ...given })
    fire('pointerup', { ...spot(400 + dx, 150 + dy), ...given })
  }
  return { store, frame, fire, drag }
}

describe('the hand on the stage', () => {
  it('takes the front of the drop along to the right and to the left', () => {
    for (const by of [60, -60]) {
      const { frame, drag } = stage()
      const before = project(frame(), 0, 0, 0.01).x
      drag(by, 0)
      expect(Math.sign(project(frame(), 0, 0, 0.01).x - before)).toBe(Math.sign(by))
    }
  })
  it('pulls the front down, so that more is seen from above, and pushes it up', () => {
    for (const by of [40, -40]) {
      const { store, frame, drag } = stage()
      const open = Math.sin(frame().tilt)
      drag(0, by)
      expect(Math.sign(Math.sin(frame().tilt) - open)).toBe(Math.sign(by))
      expect(store.getState().camera.turn).toBe(0)
    }
  })
  it('moves the picture with Shift or the right button, as far as itself goes, at every zoom', () => {
    for (const given of [{ shiftKey: true }, { button: 2 }])
      for (const zoom of [1, 2.5]) {
        const { store, frame, drag } = stage()
        setCamera(store, { ...startCamera, tilt: 0.5, zoom })
        const before = project(frame(), 0.004, 0, 0.002)
        drag(30, 20, given)
        const after = project(frame(), 0.004, 0, 0.002)
        expect(after.x - before.x).toBeCloseTo(30, 6)
        expect(after.y - before.y).toBeCloseTo(20, 6)
      }
  })
  it('marks the radius that it points at, and turns nothing by that', () => {
    const { store, frame, fire } = stage()
    setCamera(store, looks.above)
    const p = project(frame(), 0, 0, 0.003)
    fire('pointermove', { buttons: 0, clientX: 100 + p.x, clientY: 50 + p.y })
    expect(store.getState().cursorRadius).toBeCloseTo(0.003, 9)
    expect(store.getState().camera).toEqual(looks.above)
  })
  it('a press without a move turns nothing', () => {
    const { store, drag } = stage()
    drag(2, 2)
    expect(store.getState().camera).toEqual(startCamera)
  })
  it('the wheel forward brings nearer what is under the pointer, which stays there; backward takes it away', () => {
    for (const deltaY of [-100, 100]) {
      const { store, frame, fire } = stage()
      setCamera(store, looks.above)
      const point = [0.006, 0, -0.004] as const
      const before = project(frame(), ...point)
      const event = fire('wheel', { deltaY, ctrlKey: true, clientX: 100 + before.x, clientY: 50 + before.y })
      expect(event.defaultPrevented).toBe(true)
      expect(Math.sign(Math.log(store.getState().camera.zoom))).toBe(-Math.sign(deltaY))
      const after = project(frame(), ...point)
      expect(after.x).toBeCloseTo(before.x, 6)
      expect(after.y).toBeCloseTo(before.y, 6)
    }
  })
  it('keys move the picture by the same part of it, whatever the zoom', () => {
    const part = (zoom: number): number => {
      const camera = zoomed(startCamera, zoom)
      const next = cameraAfterKey('d', true, camera, 0.5, span)!
      return (next.panX - camera.panX) * zoom
    }
    expect(part(1)).toBeGreaterThan(0)
    expect(part(4)).toBeCloseTo(part(1), 12)
  })
  it('two fingers turn what lies between them with them', () => {
    for (const angle of [0.6, -0.6]) {
      const camera = looks.above
      const frame = framing(800, 300, span, 0.01, 0.004, camera)
      const centre = project(frame, 0, 0, 0)
      const pair = (phi: number) => ({
        a: { x: centre.x - 80 * Math.cos(phi), y: centre.y - 80 * Math.sin(phi) },
        b: { x: centre.x + 80 * Math.cos(phi), y: centre.y + 80 * Math.sin(phi) },
      })
      const next = framing(800, 300, span, 0.01, 0.004, afterTwoFingers(camera, frame, pair(0), pair(angle)))
      const [before, after] = [project(frame, 0.01, 0, 0), project(next, 0.01, 0, 0)]
      // What lay at the right goes down where the right finger does.
      expect(Math.sign(after.y - before.y)).toBe(Math.sign(angle))
      expect(after.x).toBeLessThan(before.x)
    }
  })
  it('a picture that was moved shows what lies to the right of and above the middle', () => {
    const frame = framing(800, 300, span, 0.01, 0.004, moved({ ...looks.above }, 0.004, 0.002))
    const at = framing(800, 300, span, 0.01, 0.004, looks.above)
    expect(frame.axis).toBeLessThan(at.axis)
    expect(frame.cutRow).toBeGreaterThan(at.cutRow)
  })
})
