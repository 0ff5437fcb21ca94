/** Frames that show something else than the drop, in recordings drawn by the test: rejected, with the reason. */
import { describe, expect, it } from 'vitest'
import { judge } from '../../src/measured/video/judge.ts'
import { lifetimeOf } from '../../src/measured/video/lifetime.ts'
import { markDrop } from '../../src/measured/video/mark.ts'
import {
  type Correction,
  curveOf,
  keyOf,
  pointsOf,
  type Reading,
  verdictOf,
} from '../../src/measured/video/series.ts'
import { type Difference, type FrameResult, plainSettings } from '../../src/measured/video/types.ts'
import { drawScene, dyes, goodLight, inventedRadius, type Scene, straw } from '../fixtures/syntheticVideo.ts'

const middle = { x: 158, y: 121 }
const bare: Scene = {
  width: 320,
  height: 240,
  drop: null,
  bath: straw,
  passes: dyes.middling,
  ...goodLight,
}
const withDrop = (r: number, change: Partial<Scene> = {}): Scene => ({
  ...bare,
  drop: { ...middle, r },
  ...change,
})

/** Scenes that several recordings share are looked at once. */
const seen = new Map<Scene, FrameResult>()

function look(scene: Scene, seed: number, difference: Difference): FrameResult {
  const known = difference === 'colour' ? seen.get(scene) : undefined
  if (known) return known
  const result = markDrop(drawScene({ seed, ...scene }), { ...plainSettings(), difference })
  if (difference === 'colour') seen.set(scene, result)
  return result
}

const read = (scenes: readonly Scene[], difference: Difference = 'colour'): Reading[] =>
  scenes.map((scene, i) => ({ time: 0.1 * i, result: look(scene, i + 1, difference) }))

const tenthOfMillimetre = { metresPerPixel: 1e-4, relativeUncertainty: 0 }
const length = (pixels: number) => `${(pixels * 0.1).toFixed(1)} mm`
const points = (readings: readonly Reading[], corrections = new Map<number, Correction>()) =>
  pointsOf(readings, corrections, tenthOfMillimetre, { start: 0, slowing: 1 }, 'area', judge(readings))
/** Which of the points count, as ones and noughts; the reasons of the others. */
const counted = (list: ReturnType<typeof points>) => list.map(({ counts }) => Number(counts)).join('')
const reasons = (list: ReturnType<typeof points>) =>
  list.map(({ rejection }) => rejection?.text(length) ?? '')

/** A drop's life in ten frames. */
const life = Array.from({ length: 10 }, (_, i) => withDrop(inventedRadius(i / 9, 70)))

describe('lamp glare', () => {
  for (const difference of ['colour', 'tint', 'brighter'] as const) {
    for (const light of [0.2, 0.6]) {
      it(`of ${light} and nothing else is no drop, marked by ${difference}`, () => {
        const list = points(
          read(
            Array.from({ length: 5 }, () => ({ ...bare, reflections: [{ x: 150, y: 110, r: 14, light }] })),
            difference,
          ),
        )
        expect(list.every(({ radius }) => Math.abs(radius - 1.4e-3) < 1e-4)).toBe(true)
        expect(counted(list)).toBe('00000')
        for (const reason of reasons(list))
          expect(reason).toMatch(/^looks like lamp glare( or the dish)?: brighter than the bath/)
        const { found, text } = verdictOf(list)
        expect(found).toBe(false)
        expect(text).toMatch(/^No drop found: of 5 frames 5 look like lamp glare/)
        const curve = curveOf(list, { name: '', file: 'a.webm', meta: {} })
        expect(curve.ok ? '' : curve.message).toMatch(/5 look like lamp glare/)
      })
    }
  }
  it('before and after a drop is left out, and the drop counts', () => {
    const glare = { reflections: [{ x: 230, y: 60, r: 10, light: 0.5 }] }
    const scenes = [bare, bare, ...life, bare, bare].map((scene) => ({ ...scene, ...glare }))
    const list = points(read(scenes))
    expect(counted(list)).toBe('00111111111100')
    expect(verdictOf(list).text).toMatch(
      /^Done: a drop in 10 of 14 frames\. Not counted: 4 look like lamp glare/,
    )
  })
  it('clipped by the picture is told from a single frame', () => {
    const [reading] = read([{ ...bare, reflections: [{ x: 150, y: 110, r: 14, light: 0.6 }] }])
    expect(judge([reading!]).get(0)?.text(length)).toMatch(/clipped on \d+ % of its area/)
  })
  it('is not what a bright drop is that grows', () => {
    const bright = life.map((scene) => ({
      ...scene,
      bath: [0.3, 0.3, 0.3] as const,
      passes: [1.5, 1.5, 1.6] as const,
    }))
    expect(counted(points(read(bright)))).toBe('1111111111')
  })
})

describe('what was there before touch-down', () => {
  const mark = withDrop(20, { drop: { x: 90, y: 70, r: 20 } })
  it('is no drop, dark though it is', () => {
    const readings = read([mark, mark, mark, mark])
    const [before] = read([mark])
    const rejections = judge(readings, before!.result)
    expect([...rejections.values()].map(({ kind }) => kind)).toEqual(Array(4).fill('present'))
    expect(rejections.get(0)!.text(length)).toMatch(/was there before touch-down/)
    expect(judge(readings).size).toBe(0)
  })
  it('is asked about when there is no picture from before', () => {
    expect(verdictOf(points(read(Array(5).fill(mark)))).text).toMatch(
      /^Done: a drop in 5 of 5 frames\. Its radius is the same in all of them: see in the picture/,
    )
    expect(verdictOf(points(read(life))).text).toBe('Done: a drop in 10 of 10 frames.')
  })
  it('does not hide a drop that grows there', () => {
    const [before] = read([withDrop(40)])
    expect(judge(read(life), before!.result).size).toBe(0)
  })
})

describe('what a drop cannot do', () => {
  it('a whole life counts, in strong, middling and weak contrast', () => {
    for (const passes of Object.values(dyes)) {
      expect(counted(points(read(life.map((scene) => ({ ...scene, passes })))))).toBe('1111111111')
    }
  })
  it('a stain far away after the collapse has jumped', () => {
    const stain = { ...bare, drop: { x: 60, y: 50, r: 12 } }
    const list = points(read([...life, stain, stain, stain]))
    expect(counted(list)).toBe('1111111111000')
    // 98 px to the left and 71 px up: 12.1 mm.
    expect(reasons(list)[11]).toBe(
      'after the drop was last seen, at 0.900 s of the recording: 12.1 mm from the drop’s last place',
    )
  })
  it('what is brighter than the bath where the drop is darker does not count', () => {
    // A picture of the bath that holds the drop leaves its print, brighter, where there is no drop.
    const readings = read(life)
    const ghost = (time: number): Reading => {
      const { drop } = readings[5]!.result
      return {
        time,
        result: { flags: [], drop: { ...drop!, gain: 0.04, contrast: 0.7 * drop!.contrast } },
      }
    }
    const list = points([ghost(-0.2), ghost(-0.1), ...readings, ghost(1.1), ghost(1.2)])
    const of = list.filter(({ rejection }) => rejection?.kind === 'reversed')
    expect(of.map(({ recordingTime }) => recordingTime)).toEqual([-0.2, -0.1, 1.1, 1.2])
    expect(of[0]!.rejection!.text(length)).toBe('brighter than the bath, the drop is darker')
  })
  it('a drop that has collapsed does not grow again', () => {
    const list = points(read([...life, withDrop(18), withDrop(13), withDrop(60), withDrop(62)]))
    expect(counted(list)).toBe('11111111111100')
    expect(reasons(list)[12]).toMatch(
      /^after the drop was last seen, at 1\.100 s .*: radius 6\.0 mm, the drop’s was/,
    )
  })
  it('what comes back smaller after a gap is not the drop any more; what comes back as it was is', () => {
    const gap = [bare, bare, bare]
    const residue = { ...bare, drop: { ...middle, r: 6 } }
    const shrunk = points(read([...life.slice(0, 8), ...gap, residue, residue]))
    expect(counted(shrunk)).toBe('1111111100000')
    expect(reasons(shrunk)[11]).toMatch(/^after the drop was last seen, at 0\.700 s/)
    expect(counted(points(read([...life.slice(0, 5), ...gap, ...life.slice(5)])))).toBe('1111100011111')
  })
  it('a ring of child drops that is left is broken up', () => {
    const left = {
      ...bare,
      children: Array.from({ length: 16 }, (_, i) => ({
        x: middle.x + 20 * Math.cos(i / 2.546),
        y: middle.y + 20 * Math.sin(i / 2.546),
        r: 5,
      })),
    }
    const list = points(read([...life, left, left]))
    expect(counted(list)).toBe('111111111100')
    expect(reasons(list)[11]).toMatch(/^broken up: \d+ % of the area within the outline is bath$/)
  })
  it('a single stray radius is left out, its neighbours are not', () => {
    const list = points(read(life.map((scene, i) => (i === 5 ? withDrop(35) : scene))))
    expect(counted(list)).toBe('1111101111')
    expect(reasons(list)[5]).toMatch(/^jumped: radius 3\.5 mm, the drop’s was/)
  })
  it('two stray frames in a row do not cost those after them', () => {
    const list = points(read(life.map((scene, i) => (i === 4 || i === 5 ? withDrop(30) : scene))))
    expect(counted(list)).toBe('1111001111')
  })
  it('what little is left after the collapse is too faint', () => {
    const veil = withDrop(45, { passes: [0.975, 0.975, 0.975], noise: 1 })
    const strong = life.map((scene) => ({ ...scene, passes: dyes.strong }))
    const list = points(read([...strong.slice(0, 8), veil, veil]))
    expect(counted(list)).toBe('1111111100')
    expect(reasons(list)[9]).toMatch(
      /^too faint: differs by 2(\.\d)? % from the bath, .*(noise is|mostly by)/,
    )
  })
  it('a hand in the first frame is too ragged', () => {
    const fingers = [0, 1, 2, 3].map((i) => ({ x: 120 + 18 * i, y: 90 - 3 * i, r: 12 }))
    const hand = {
      ...bare,
      passes: [0.5, 0.5, 0.6] as const,
      children: [...fingers, { x: 150, y: 130, r: 34 }],
    }
    const list = points(read([hand, ...life]))
    expect(counted(list)).toBe('01111111111')
    expect(verdictOf(list).text).toMatch(/^Done: a drop in 10 of 11 frames\. Not counted: 1 is too ragged;/)
    expect(reasons(list)[0]).toMatch(/^ragged: the outline strays by \d+ % of the radius/)
  })
  it('round fingers at the rim do not make a drop too ragged', () => {
    const shape = (angle: number) => 1 + 0.15 * Math.max(0, Math.cos(20 * angle)) ** 3
    for (const cutChildren of [true, false]) {
      const readings = [40, 50, 60, 62].map((r, i) => ({
        time: i,
        result: markDrop(drawScene(withDrop(r, { shape })), { ...plainSettings(), cutChildren }),
      }))
      expect(judge(readings).size).toBe(0)
    }
  })
})

describe('touch-down and collapse', () => {
  const lifetime = (scenes: readonly Scene[]) => {
    const readings = read(scenes)
    return lifetimeOf(readings, judge(readings))
  }
  it('lie between the frames that show them, a twelfth of the interval squared off', () => {
    const { touchDown, collapse } = lifetime([bare, bare, ...life, bare, bare])
    // Frames are 0.1 s apart; the drop is seen from 0.2 s to 1.1 s.
    expect(touchDown!.time).toBeCloseTo(0.15, 9)
    expect(collapse!.time).toBeCloseTo(1.15, 9)
    for (const moment of [touchDown, collapse])
      expect(moment!.uncertainty).toBeCloseTo(0.1 / Math.sqrt(12), 9)
  })
  it('a single frame is no touch-down', () => {
    expect(lifetime([bare, life[0]!, bare, ...life.slice(2), bare]).touchDown!.time).toBeCloseTo(0.25, 9)
  })
  it('are not known where the recording begins or ends with the drop', () => {
    expect(lifetime(life)).toEqual({ touchDown: null, collapse: null })
    expect(lifetime([bare, bare])).toEqual({ touchDown: null, collapse: null })
  })
})

describe('a rejected frame', () => {
  const readings = read([...life, { ...bare, drop: { x: 60, y: 50, r: 12 } }])
  const last = keyOf(readings.at(-1)!.time)
  it('is taken in by hand, and keeps its measured radius and its reason', () => {
    const list = points(readings, new Map([[last, { taken: true }]]))
    const point = list.at(-1)!
    expect(point.counts).toBe(true)
    expect(Math.abs(point.radius - 1.2e-3)).toBeLessThan(5e-5)
    expect(point.rejection?.kind).toBe('collapsed')
    expect(verdictOf(list).text).toBe('Done: a drop in 11 of 11 frames.')
  })
  it('counts with a radius by hand, and not when it is dropped', () => {
    expect(points(readings, new Map([[last, { radius: 2e-3 }]])).at(-1)!.counts).toBe(true)
    expect(points(readings, new Map([[last, { taken: true, dropped: true }]])).at(-1)!.counts).toBe(false)
  })
})
