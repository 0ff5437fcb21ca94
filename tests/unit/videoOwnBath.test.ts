/** The camera's movement, and the bath's picture made from the recording itself, against drawn recordings. */
import { describe, expect, it } from 'vitest'
import { markDrop } from '../../src/measured/video/mark.ts'
import { bathFrom, framesFor } from '../../src/measured/video/ownBath.ts'
import { movedBack, placesOf, shiftOf } from '../../src/measured/video/shift.ts'
import { type Frame, plainSettings } from '../../src/measured/video/types.ts'
import { drawnRecording, pictureOf } from '../fixtures/drawnRecordings.ts'
import { drawScene } from '../fixtures/syntheticVideo.ts'

/** A hand in a dish, before touch-down, at the beginning of the life and after the collapse. */
const { frames } = drawnRecording(9, 'hand')
const drawn = frames.map(pictureOf)
const bareScene = { ...frames[0]!.scene, over: [] }

describe('the shift of the camera', () => {
  const picture = drawScene(bareScene)
  const places = placesOf(picture)
  it('is found to a tenth of a pixel, with a drop and a hand in the picture', () => {
    for (const k of [0, 4, 8]) {
      const shift = { x: 3.3, y: -2.6 }
      const found = shiftOf(drawScene({ ...frames[k]!.scene, shift }), places)
      expect(Math.hypot(found.x - shift.x, found.y - shift.y)).toBeLessThan(0.1)
    }
  })
  it('is nought for a still camera, and where nothing is steep', () => {
    const still = shiftOf(drawn[8]!, places)
    expect(Math.hypot(still.x, still.y)).toBeLessThan(0.02)
    const empty = { ...bareScene, under: [], reflections: [] }
    const none = placesOf(drawScene(empty))
    expect(shiftOf(drawScene({ ...empty, shift: { x: 3, y: 0 } }), none)).toEqual({ x: 0, y: 0 })
  })
  it('is taken back by whole pixels in all directions, the edge is continued', () => {
    const frame: Frame = { width: 4, height: 3, data: new Uint8ClampedArray(48).map((_, i) => i >> 2) }
    const red = (by: { x: number; y: number }) => [...movedBack(frame, by).data].filter((_, i) => i % 4 === 0)
    expect(red({ x: 1, y: 0 })).toEqual([1, 2, 3, 3, 5, 6, 7, 7, 9, 10, 11, 11])
    expect(red({ x: -2, y: 1 })).toEqual([4, 4, 4, 5, 8, 8, 8, 9, 8, 8, 8, 9])
    expect(red({ x: 9, y: -9 })).toEqual(Array(12).fill(3))
  })
})

describe('a picture of the bath from the recording itself', () => {
  const own = bathFrom(drawn)
  it('shows neither hand nor drop, but the dish', () => {
    expect(own.lacks).toBe('')
    const bare = drawScene({ ...bareScene, noise: 0 })
    const off: number[] = []
    for (let i = 0; i < bare.data.length; i++) off.push(Math.abs(bare.data[i]! - own.picture!.data[i]!))
    off.sort((a, b) => a - b)
    // The noise is below 2.5 steps of a byte; the wall of the dish is drawn as steep as a lens shows it.
    expect(off[Math.floor(0.98 * off.length)]!).toBeLessThan(4)
    expect(off[Math.floor(0.999 * off.length)]!).toBeLessThan(25)
  })
  it('makes a drop in a dish be found that is not found without', () => {
    for (const k of [5, 9]) {
      const { drop } = markDrop(drawn[k]!, plainSettings(), own.picture)
      expect(Math.abs(drop!.equivalentRadius / frames[k]!.radius - 1)).toBeLessThan(0.01)
      const without = markDrop(drawn[k]!, plainSettings())
      expect(without.drop === null || without.flags.includes('touches-border')).toBe(true)
    }
  })
  it('is not made where the drop would be taken for bath', () => {
    const still = frames[7]!.scene
    const same = Array.from({ length: 6 }, (_, k) => drawScene({ ...still, seed: k }))
    expect(bathFrom(same)).toEqual({
      picture: null,
      filled: 0,
      lacks: expect.stringMatching(/nothing comes and goes/),
    })
    expect(bathFrom(drawn.slice(0, 3)).lacks).toMatch(/fewer than five/)
  })
  it('takes a bounded number of frames', () => {
    expect(framesFor(320, 240)).toBe(15)
    expect(framesFor(1920, 1080)).toBe(11)
    expect(4 * 1920 * 1080 * framesFor(1920, 1080)).toBeLessThan(96e6)
  })
})
