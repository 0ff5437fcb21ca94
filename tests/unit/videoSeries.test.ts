/** Scale, time, corrections, curve, and what is said about files that cannot be shown. */
import { describe, expect, it } from 'vitest'
import { circleThrough, scaleOfCircle, scaleOfTwoPoints } from '../../src/measured/video/scale.ts'
import {
  type Correction,
  curveOf,
  keyOf,
  metaOf,
  pointsOf,
  type Reading,
  slowingOf,
} from '../../src/measured/video/series.ts'
import { mediaTypeOf, sniff, videoFailure } from '../../src/measured/video/sniff.ts'
import type { DropMark, Flag, FrameResult } from '../../src/measured/video/types.ts'
import { randomOf } from '../fixtures/syntheticVideo.ts'

describe('scale', () => {
  it('two points 200 px apart on 50 mm', () => {
    const result = scaleOfTwoPoints({ x: 10, y: 20 }, { x: 130, y: 180 }, 0.05)
    if (!result.ok) throw new Error(result.message)
    expect(result.scale.metresPerPixel).toBeCloseTo(0.00025, 12)
    expect(result.scale.relativeUncertainty).toBeCloseTo(Math.SQRT2 / 200, 12)
    const known = scaleOfTwoPoints({ x: 0, y: 0 }, { x: 1e4, y: 0 }, 0.05, 0.0005)
    expect(known.ok && known.scale.relativeUncertainty).toBeCloseTo(0.01, 4)
  })
  it('three points of a circle give the circle', () => {
    const at = (angle: number) => ({ x: 7 + 40 * Math.cos(angle), y: -3 + 40 * Math.sin(angle) })
    const circle = circleThrough(at(0.1), at(2), at(4.4))!
    expect(circle.x).toBeCloseTo(7, 9)
    expect(circle.y).toBeCloseTo(-3, 9)
    expect(circle.r).toBeCloseTo(40, 9)
    const result = scaleOfCircle([at(0.1), at(2), at(4.4)], 0.14)
    expect(result.ok && result.scale.metresPerPixel).toBeCloseTo(0.14 / 80, 12)
  })
  it('the stated uncertainty is the scatter of points that err by one pixel', () => {
    const random = randomOf(11)
    const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
    const angles = [0, 2.1, 4.2]
    const draw = (error: number) =>
      angles.map((angle) => ({
        x: 200 * Math.cos(angle) + error * normal(),
        y: 200 * Math.sin(angle) + error * normal(),
      }))
    const exact = scaleOfCircle(draw(0), 0.1)
    if (!exact.ok) throw new Error(exact.message)
    const radii = Array.from({ length: 4000 }, () => {
      const [a, b, c] = draw(1)
      return circleThrough(a!, b!, c!)!.r
    })
    const spread = Math.sqrt(radii.reduce((sum, r) => sum + (r - 200) ** 2, 0) / radii.length) / 200
    expect(Math.abs(exact.scale.relativeUncertainty / spread - 1)).toBeLessThan(0.06)
  })
  it('refuses what gives no scale', () => {
    const near = scaleOfTwoPoints({ x: 1, y: 1 }, { x: 4, y: 5 }, 0.05)
    expect(near.ok ? '' : near.message).toMatch(/less than 10 pixels/)
    for (const known of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
      const result = scaleOfTwoPoints({ x: 0, y: 0 }, { x: 99, y: 0 }, known)
      expect(result.ok ? '' : result.message).toMatch(/above 0/)
    }
    const line = scaleOfCircle(
      [0, 1, 2].map((i) => ({ x: 10 * i, y: 20 * i })),
      0.1,
    )
    expect(line.ok ? '' : line.message).toMatch(/No circle/)
    expect(scaleOfCircle([{ x: 0, y: 0 }], 0.1).ok).toBe(false)
  })
})

const dropOf = (r: number): DropMark => ({
  area: Math.PI * r * r,
  equivalentRadius: r,
  edgeRadius: r + 1,
  x: 0,
  y: 0,
  roundness: 1,
  blur: 2,
  uncertainty: 0.5,
  own: 0.5,
  threshold: 0,
  children: 0,
  level: 0.2,
  contrast: 0.4,
  noise: 0.01,
  calmNoise: 0.005,
  ragged: 0.01,
  loose: 0,
  bridged: 0,
  clipped: 0,
  gain: -0.3,
  outline: new Float32Array(),
})
const reading = (time: number, r: number | null, ...flags: Flag[]): Reading => ({
  time,
  result: { flags: r === null ? ['no-drop', ...flags] : flags, drop: r === null ? null : dropOf(r) },
})
const scale = { metresPerPixel: 1e-4, relativeUncertainty: 0.01 }
const none = new Map<number, Correction>()
const naming = { name: 'bench 3', file: 'clip.webm', meta: {} }

describe('points and curve', () => {
  const readings = [reading(0.5, 30), reading(0.1, 10), reading(0.3, 20), reading(0.7, null)]
  it('come in the order of time, in seconds since the start and in metres', () => {
    const points = pointsOf(readings, none, scale, { start: 0.3, slowing: 1 }, 'area')
    expect(points.map(({ counts }) => counts)).toEqual([false, true, true, false])
    const result = curveOf(points, naming)
    if (!result.ok) throw new Error(result.message)
    expect([...result.curve.time].map((t) => Number(t.toFixed(9)))).toEqual([0, 0.2])
    expect(result.curve.radius[1]).toBeCloseTo(3e-3, 12)
    expect(result.curve.uncertainty![1]).toBeCloseTo(Math.hypot(0.5e-4, 3e-5), 12)
    expect(pointsOf(readings, none, scale, { start: 0, slowing: 1 }, 'edge')[0]!.radius).toBeCloseTo(
      1.1e-3,
      12,
    )
  })
  it('keep what all points err by together apart, in metres per standard uncertainty of the cause', () => {
    const parts = { own: 0.3, threshold: 0.4, children: 1.2, uncertainty: 1.3 }
    const two: Reading[] = [20, 30].map((r, i) => ({
      time: i,
      result: { flags: [], drop: { ...dropOf(r), ...parts } },
    }))
    const byHand = new Map<number, Correction>([[keyOf(1), { radius: 3e-3 }]])
    const make = (corrections: Map<number, Correction>) => {
      const result = curveOf(pointsOf(two, corrections, scale, { start: 0, slowing: 1 }, 'area'), naming)
      if (!result.ok) throw new Error(result.message)
      return result.curve
    }
    const { shared, uncertainty } = make(new Map())
    expect(shared!.map(({ cause }) => cause)).toEqual(['scale', 'threshold', 'children'])
    const rounded = shared!.map(({ shift }) => [...shift].map((value) => Number(value.toPrecision(9))))
    expect(rounded).toEqual([
      [2e-5, 3e-5],
      [4e-5, 4e-5],
      [1.2e-4, 1.2e-4],
    ])
    expect(uncertainty![0]).toBeCloseTo(Math.hypot(3e-5, 2e-5, 4e-5, 1.2e-4), 12)
    // A radius by hand knows nothing of the picture's level; with a sure scale and no doubt nothing is shared.
    expect([...make(byHand).shared![1]!.shift][1]).toBe(0)
    const clean = two.map(({ time, result }) => ({
      time,
      result: { ...result, drop: { ...result.drop!, threshold: 0, children: 0 } },
    }))
    const sure = curveOf(
      pointsOf(clean, none, { ...scale, relativeUncertainty: 0 }, { start: 0, slowing: 1 }, 'area'),
      naming,
    )
    expect(sure.ok && sure.curve.shared).toBeUndefined()
  })
  it('a recording of 240 frames per second played with 30 lasts eight times too long', () => {
    expect(slowingOf(240, 30)).toBe(8)
    expect(slowingOf(null, 30)).toBe(1)
    const points = pointsOf(readings, none, scale, { start: 0.1, slowing: 8 }, 'area')
    expect(points[2]!.time).toBeCloseTo(0.05, 12)
  })
  it('corrections by hand count, also where no drop was found; dropped points do not', () => {
    const corrections = new Map<number, Correction>([
      [keyOf(0.7), { radius: 5e-3 }],
      [keyOf(0.3), { dropped: true }],
    ])
    const points = pointsOf(readings, corrections, scale, { start: 0, slowing: 1 }, 'area')
    expect(points.map(({ counts }) => counts)).toEqual([true, false, true, true])
    expect(points[3]!.radius).toBe(5e-3)
    expect(points[3]!.uncertainty).toBeGreaterThan(0)
    expect(points[3]!.byHand).toBe(true)
  })
  it('frames at the border or of another size do not count', () => {
    const points = pointsOf(
      [reading(0, 9, 'touches-border'), reading(1, 9, 'bridged'), reading(2, 9, 'size-changed')],
      none,
      scale,
      { start: 0, slowing: 1 },
      'area',
    )
    expect(points.map(({ counts }) => counts)).toEqual([false, true, false])
  })
  it('says why there is no curve', () => {
    const empty = curveOf(
      pointsOf([reading(0, null), reading(1, null)], none, scale, { start: 0, slowing: 1 }, 'area'),
      naming,
    )
    expect(empty.ok ? '' : empty.message).toMatch(/No drop was found in any frame/)
    const single = curveOf(
      pointsOf([reading(0, 9), reading(1, null)], none, scale, { start: 0, slowing: 1 }, 'area'),
      naming,
    )
    expect(single.ok ? '' : single.message).toMatch(/at least two points.*there is one/)
  })
  it('the same points give the same id, others another', () => {
    const make = (r: number) => {
      const result = curveOf(
        pointsOf([reading(0, 9), reading(1, r)], none, scale, { start: 0, slowing: 1 }, 'area'),
        naming,
      )
      return result.ok ? result.curve.id : ''
    }
    expect(make(8)).toBe(make(8))
    expect(make(8)).not.toBe(make(8.01))
  })
  it('fraction and volume are checked', () => {
    expect(metaOf('60', 'volume', '7,5', ' a ')).toEqual({
      ok: true,
      meta: { note: 'a', alcoholFraction: 0.6, fractionBasis: 'volume', volume_uL: 7.5 },
    })
    expect(metaOf('', 'mass', '', '')).toEqual({ ok: true, meta: {} })
    for (const fraction of ['101', '-1', 'much']) expect(metaOf(fraction, 'mass', '', '').ok).toBe(false)
    for (const volume of ['0', '-3', 'x']) expect(metaOf('', 'mass', volume, '').ok).toBe(false)
  })
})

describe('files', () => {
  const bytes = (...parts: (string | number[])[]) =>
    Uint8Array.from(
      parts.flatMap((part) => (typeof part === 'string' ? [...part].map((c) => c.charCodeAt(0)) : part)),
    )
  const mp4 = bytes([0, 0, 0, 24], 'ftypisom', [0, 0, 0, 0], 'moov stsd hvc1')
  it('are told apart by their first bytes', () => {
    expect(sniff(bytes([0x89], 'PNG')).kind).toBe('picture')
    expect(sniff(bytes([0xff, 0xd8, 0xff, 0xe0])).format).toBe('JPEG')
    expect(sniff(mp4)).toEqual({ kind: 'video', format: 'MP4', codec: 'H.265' })
    expect(sniff(bytes([0x1a, 0x45, 0xdf, 0xa3], 'webm', 'V_VP9'))).toEqual({
      kind: 'video',
      format: 'WebM',
      codec: 'VP9',
    })
    expect(sniff(bytes([0, 0, 0, 24], 'ftypqt  ', 'mdat'), bytes('moov avc1')).codec).toBe('H.264')
    expect(sniff(bytes('t (s),R (mm)\n0,1\n')).kind).toBe('unknown')
    expect(sniff(new Uint8Array()).kind).toBe('empty')
  })
  it('each failure has its own words', () => {
    expect(videoFailure('a.mp4', sniff(mp4), false)).toMatch(
      /a\.mp4 holds H\.265 video, which this browser cannot decode/,
    )
    expect(videoFailure('a.mp4', sniff(mp4), true)).toMatch(/damaged or cut short/)
    expect(videoFailure('a.avi', sniff(bytes('RIFF', [0, 0, 0, 0], 'AVI LIST')))).toMatch(/AVI file/)
    expect(videoFailure('a.csv', sniff(bytes('t;R\n')))).toMatch(/not a video or a picture/)
    expect(videoFailure('a.mp4', sniff(new Uint8Array()))).toMatch(/empty/)
    expect(mediaTypeOf(sniff(mp4))).toMatch(/hvc1/)
    expect(mediaTypeOf({ kind: 'video', format: 'MP4' })).toBeNull()
  })
})

it('points after the collapse do not count, and those at it do', () => {
  const result: FrameResult = { flags: [], drop: { equivalentRadius: 10, uncertainty: 0.1 } as DropMark }
  const readings = [0, 1, 2, 3].map((time) => ({ time, result }))
  const scale = { metresPerPixel: 1e-4, relativeUncertainty: 0 }
  const counting = (collapse?: number | null) =>
    pointsOf(
      readings,
      new Map(),
      scale,
      { start: 1, slowing: 1, ...(collapse === undefined ? {} : { collapse }) },
      'area',
    )
      .filter(({ counts }) => counts)
      .map(({ recordingTime }) => recordingTime)
  expect(counting()).toEqual([1, 2, 3])
  expect(counting(null)).toEqual([1, 2, 3])
  expect(counting(2)).toEqual([1, 2])
})
