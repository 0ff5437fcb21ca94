/** From where the stage is looked at: limits, the link's text, and where the look puts things, by closed forms. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { setCamera } from '../../src/page/actions.ts'
import {
  type Camera,
  fromText,
  limited,
  looks,
  mostPan,
  moved,
  sameCamera,
  startCamera,
  toText,
  turned,
  zoomed,
  zoomLimits,
} from '../../src/page/stage/camera.ts'
import {
  directions,
  type Framing,
  framing,
  frustum,
  marksCircle,
  project,
  radiusAt,
} from '../../src/page/stage/framing.ts'
import { afterTwoFingers, cameraAfterKey } from '../../src/page/stage/handling.ts'
import { createPageStore } from '../../src/page/store.ts'
import { syntheticPreset } from '../fixtures/syntheticLife.ts'

const degree = Math.PI / 180
const at = (change: Partial<Camera>): Camera => ({ ...startCamera, ...change })
const anyNumber = fc.double({ noNaN: false })
const anyCamera: fc.Arbitrary<Camera> = fc.record({
  turn: anyNumber,
  tilt: fc.oneof(fc.constant(null), anyNumber),
  zoom: anyNumber,
  panX: anyNumber,
  panY: anyNumber,
})
const sensible: fc.Arbitrary<Camera> = fc.record({
  turn: fc.double({ min: -3.1, max: 3.1, noNaN: true }),
  tilt: fc.oneof(fc.constant(null), fc.double({ min: 0, max: Math.PI / 2, noNaN: true })),
  zoom: fc.double({ min: zoomLimits[0], max: zoomLimits[1], noNaN: true }),
  panX: fc.double({ min: -mostPan, max: mostPan, noNaN: true }),
  panY: fc.double({ min: -mostPan, max: mostPan, noNaN: true }),
})

describe('the camera', () => {
  it('keeps within its limits whatever it is given', () => {
    fc.assert(
      fc.property(anyCamera, (camera) => {
        const { turn, tilt, zoom, panX, panY } = limited(camera)
        expect(turn > -Math.PI - 1e-9 && turn <= Math.PI + 1e-9).toBe(true)
        expect(tilt === null || (tilt >= 0 && tilt <= Math.PI / 2)).toBe(true)
        expect(zoom >= zoomLimits[0] && zoom <= zoomLimits[1]).toBe(true)
        expect(Math.max(Math.abs(panX), Math.abs(panY))).toBeLessThanOrEqual(mostPan)
        expect(sameCamera(limited(limited(camera)), limited(camera))).toBe(true)
      }),
    )
  })
  it('goes round: ten and three hundred and fifty degrees back are the same', () => {
    expect(limited(at({ turn: -350 * degree })).turn).toBeCloseTo(10 * degree, 9)
    expect(limited(at({ turn: 540 * degree })).turn).toBeCloseTo(Math.PI, 9)
  })
  it('is the front again where it is turned almost there, so that the axis is shared', () => {
    expect(turned(at({ turn: 12 * degree }), { turn: -10 * degree }, 0.5).turn).toBe(0)
    expect(turned(at({ turn: 12 * degree }), { turn: -5 * degree }, 0.5).turn).toBeCloseTo(7 * degree, 12)
  })
  it('leaves the tilt to the stage until it is tilted', () => {
    expect(turned(startCamera, { turn: 0.3 }, 0.5).tilt).toBeNull()
    expect(turned(startCamera, { tilt: 0.1 }, 0.5).tilt).toBeCloseTo(0.6, 12)
  })
  it('is changed in the store within its limits, and only if it is another', () => {
    const store = createPageStore(syntheticPreset)
    let told = 0
    store.subscribe(() => told++)
    setCamera(store, { ...startCamera })
    expect(told).toBe(0)
    setCamera(store, at({ zoom: 1e9, tilt: 4 }))
    expect(store.getState().camera).toEqual(at({ zoom: zoomLimits[1], tilt: Math.PI / 2 }))
    expect(told).toBe(1)
  })
  it('follows the keys that the help names, and no others', () => {
    const led = (key: string, shift = false) => cameraAfterKey(key, shift, startCamera, 0.5, 0.03)
    expect(led('d')!.turn).toBeGreaterThan(0)
    expect(led('A', true)!.panX).toBeLessThan(0)
    expect(led('a')!.turn).toBeLessThan(0)
    expect(led('w')!.tilt).toBeGreaterThan(0.5)
    expect(led('s')!.tilt).toBeLessThan(0.5)
    expect(led('+')!.zoom).toBeGreaterThan(1)
    expect(led('-')!.zoom).toBeLessThan(1)
    expect(cameraAfterKey('0', false, looks.above, 1, 0.03)).toEqual(startCamera)
    for (const key of ['ArrowLeft', 'ArrowUp', 'Home', 'PageUp', ' ', 'z', 'y', 'Tab'])
      expect(led(key)).toBeNull()
  })
})

describe('the camera in a link', () => {
  it('is degrees and millimetres, and nothing at the start', () => {
    expect(toText(startCamera)).toBe('')
    expect(fromText('')).toEqual(startCamera)
    expect(toText({ turn: 30 * degree, tilt: 45 * degree, zoom: 1.2, panX: 0, panY: -0.0025 })).toBe(
      '30,45,1.2,0,-2.5',
    )
    expect(toText(at({ turn: Math.PI / 2 }))).toBe('90,,1,0,0')
    expect(toText(looks.above)).toBe('0,90,1,0,0')
  })
  it('comes back as it was, to the digits of the text', () => {
    fc.assert(
      fc.property(sensible, (camera) => {
        const text = toText(camera)
        const back = fromText(text)!
        expect(back).not.toBeNull()
        expect(toText(back)).toBe(text)
        expect(Math.abs(back.turn - camera.turn)).toBeLessThan(0.06 * degree)
        expect(Math.abs((back.tilt ?? -1) - (camera.tilt ?? -1))).toBeLessThan(0.06 * degree)
        expect(Math.abs(back.zoom - camera.zoom)).toBeLessThan(6e-4)
        expect(Math.hypot(back.panX - camera.panX, back.panY - camera.panY)).toBeLessThan(1e-5)
      }),
    )
  })
  it('is refused where it is anything else', () => {
    const wrong = [
      '1',
      '1,2,3,4',
      '1,2,1,4,5,6',
      'a,2,1,4,5',
      '0,45,,0,0',
      ',45,1,0,0',
      '0,91,1,0,0',
      '0,-1,1,0,0',
      '181,45,1,0,0',
      '0,45,0,0,0',
      '0,45,21,0,0',
      '0,45,1,151,0',
      '0,45,1,0,-151',
      '0,45,1e0,0,0',
      'NaN,45,1,0,0',
      '0,45,1,0,Infinity',
      ' 0,45,1,0,0',
      '0x1,45,1,0,0',
      '30;45;1;0;0',
    ]
    for (const text of wrong) expect(fromText(text), text).toBeNull()
    fc.assert(
      fc.property(fc.string(), (text) => {
        const camera = fromText(text)
        if (camera) expect(sameCamera(limited(camera), camera)).toBe(true)
      }),
    )
  })
})

const span = 0.03
const frameOf = (camera: Camera, width = 800, height = 300): Framing =>
  framing(width, height, span, 0.01, 0.004, camera)

describe('a look that is turned', () => {
  it('is today’s picture at the start', () => {
    expect(frameOf(startCamera)).toEqual(framing(800, 300, span, 0.01, 0.004))
    expect(frameOf(startCamera).start).toBe(true)
    for (const camera of [at({ turn: 0.2 }), at({ zoom: 1.1 }), at({ panX: 1e-3 }), looks.above]) {
      expect(frameOf(camera).start).toBe(false)
    }
  })
  it('from the side: heights are full, the circle of the edge is a line', () => {
    const frame = frameOf(looks.side)
    const zero = project(frame, 0, 0, 0)
    expect(zero.y - project(frame, 0, 0.002, 0).y).toBeCloseTo(0.002 * frame.scale, 9)
    expect(project(frame, 0, 0, -0.02).y).toBeCloseTo(zero.y, 9)
    expect(frame.frontal).toBe(true)
  })
  it('from above: heights vanish, circles are circles, all of the drop is in the picture', () => {
    const frame = frameOf(looks.above)
    const zero = project(frame, 0, 0, 0)
    expect(zero.y).toBeCloseTo(150, 9)
    expect(project(frame, 0, 0.002, 0).y).toBeCloseTo(zero.y, 9)
    for (const angle of [0, 1, 2, 3, 4, 5]) {
      const p = project(frame, 0.02 * Math.cos(angle), 0, 0.02 * Math.sin(angle))
      expect(Math.hypot(p.x - zero.x, p.y - zero.y)).toBeCloseTo(0.02 * frame.scale, 9)
    }
    expect(project(frame, 0, 0, 0.94 * span).y).toBeLessThan(300)
    expect(project(frame, 0, 0, -0.94 * span).y).toBeGreaterThan(0)
    expect(frame.whole).toBe(true)
  })
  it('by a quarter: the cut’s right half comes to the front, its left half lies behind', () => {
    const frame = frameOf(at({ turn: Math.PI / 2, tilt: 0.5 }))
    const zero = project(frame, 0, 0, 0)
    const right = project(frame, 0.01, 0, 0)
    expect(right.x).toBeCloseTo(zero.x, 9)
    expect(right.y - zero.y).toBeCloseTo(0.01 * frame.scale * Math.sin(0.5), 9)
    // What lay behind now lies to the right.
    expect(project(frame, 0, 0, -0.01).x - zero.x).toBeCloseTo(0.01 * frame.scale, 9)
  })
  it('lengths across the picture are to the scale bar: a circle is twice its radius wide, however it is turned', () => {
    fc.assert(
      fc.property(sensible, (camera) => {
        const frame = frameOf(camera)
        let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
        for (let k = 0; k < 720; k++) {
          const { x } = project(
            frame,
            0.01 * Math.cos(k * 0.5 * degree),
            0,
            0.01 * Math.sin(k * 0.5 * degree),
          )
          low = Math.min(low, x)
          high = Math.max(high, x)
        }
        expect((high - low) / (0.02 * frame.scale)).toBeCloseTo(1, 4)
      }),
    )
  })
  it('the scene’s camera sees every point where the lines over it are drawn', () => {
    fc.assert(
      fc.property(
        sensible,
        fc.tuple(
          fc.double({ min: -1, max: 1, noNaN: true }),
          fc.double({ min: -1, max: 1, noNaN: true }),
          fc.double({ min: -1, max: 1, noNaN: true }),
        ),
        (camera, [a, b, c]) => {
          const frame = frameOf(camera)
          const [x, y, z] = [0.03 * a, 0.005 * b, 0.03 * c]
          const { eye, up } = directions(frame)
          // The picture's right is up × eye: all three at right angles and of length 1.
          const right = [
            up[1] * eye[2] - up[2] * eye[1],
            up[2] * eye[0] - up[0] * eye[2],
            up[0] * eye[1] - up[1] * eye[0],
          ]
          expect(eye[0] * up[0] + eye[1] * up[1] + eye[2] * up[2]).toBeCloseTo(0, 12)
          expect(Math.hypot(...eye)).toBeCloseTo(1, 12)
          expect(Math.hypot(...right)).toBeCloseTo(1, 12)
          const u = right[0]! * x + right[1]! * y + right[2]! * z
          const v = up[0] * x + up[1] * y + up[2] * z
          const { left, right: end, top, bottom } = frustum(frame)
          const p = project(frame, x, y, z)
          expect((800 * (u - left)) / (end - left)).toBeCloseTo(p.x, 6)
          expect((300 * (top - v)) / (top - bottom)).toBeCloseTo(p.y, 6)
        },
      ),
    )
  })
  it('a place that is pointed at means the radius that is drawn there', () => {
    fc.assert(
      fc.property(sensible, fc.double({ min: 0, max: span, noNaN: true }), (camera, r) => {
        const frame = frameOf(camera)
        if (marksCircle(frame)) {
          for (const angle of [0.3, 1.7, 2.9]) {
            const p = project(frame, r * Math.cos(angle), 0, -r * Math.sin(angle))
            expect(radiusAt(frame, p.x, p.y)).toBeCloseTo(r, 9)
          }
        } else if (Math.abs(Math.cos(frame.turn)) > 0.05) {
          expect(radiusAt(frame, project(frame, -r, 0, 0).x, 7)).toBeCloseTo(r, 9)
        }
      }),
    )
  })
  it('changes without a jump as it is turned and tilted', () => {
    for (const [name, span2] of [
      ['turn', 2 * Math.PI],
      ['tilt', Math.PI / 2],
    ] as const) {
      let last = frameOf(at({ tilt: 0.3, turn: 0, [name]: 0 }))
      for (let k = 1; k <= 2000; k++) {
        const frame = frameOf(limited(at({ tilt: 0.3, [name]: (k / 2000) * span2 })))
        expect(Math.abs(frame.cutRow - last.cutRow)).toBeLessThan(1)
        expect(Math.abs(frame.scale / last.scale - 1)).toBeLessThan(0.01)
        last = frame
      }
    }
  })
  it('zooms about a place, which stays where it is', () => {
    fc.assert(
      fc.property(sensible, fc.double({ min: 0.3, max: 3, noNaN: true }), (camera, factor) => {
        const frame = frameOf(camera)
        const [u, v] = [0.004, 0.001]
        const next = zoomed(camera, factor, u, v)
        if (Math.max(Math.abs(next.panX), Math.abs(next.panY)) >= mostPan) return
        const then = frameOf(next)
        expect(then.axis + u * then.scale).toBeCloseTo(frame.axis + u * frame.scale, 6)
        expect(then.cutRow - v * then.scale).toBeCloseTo(frame.cutRow - v * frame.scale, 6)
      }),
    )
  })
  it('moves with the hand: so many pixels are so many', () => {
    const camera = at({ zoom: 2 })
    const frame = frameOf(camera)
    const then = frameOf(moved(camera, -30 / frame.scale, 20 / frame.scale))
    expect(then.axis - frame.axis).toBeCloseTo(30, 9)
    expect(then.cutRow - frame.cutRow).toBeCloseTo(20, 9)
  })
  it('two fingers: spread apart by two it is twice as large about their middle, and it goes with them', () => {
    const frame = frameOf(startCamera)
    const from = { a: { x: 300, y: 150 }, b: { x: 400, y: 150 } }
    const to = { a: { x: 270, y: 160 }, b: { x: 470, y: 160 } }
    const next = afterTwoFingers(startCamera, frame, from, to)
    expect(next.zoom).toBeCloseTo(2, 12)
    expect(next.turn).toBe(0)
    const then = frameOf(next)
    const [u, v] = [(350 - frame.axis) / frame.scale, (frame.cutRow - 150) / frame.scale]
    expect(then.axis + u * then.scale).toBeCloseTo(370, 9)
    expect(then.cutRow - v * then.scale).toBeCloseTo(160, 9)
    const quarter = { a: { x: 350, y: 100 }, b: { x: 350, y: 200 } }
    // Clockwise on the screen: what is at the right comes down, to the front.
    expect(afterTwoFingers(startCamera, frame, from, quarter).turn).toBeGreaterThan(1)
  })
})
