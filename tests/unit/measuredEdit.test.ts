/**
 * Points corrected by hand, and curves that join others. What should come out is told by plain lists of points (time,
 * radius, uncertainty, set aside), changed the slow way. Numbers are invented.
 */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { checkCurve } from '../../src/measured/checkCurve.ts'
import {
  pointsIn,
  rescaled,
  withExcluded,
  withManyExcluded,
  withoutPoint,
  withPoint,
} from '../../src/measured/edit.ts'
import type { MeasuredCurve } from '../../src/measured/types.ts'
import { usedPoints } from '../../src/measured/usable.ts'
import { joinCurves, joinedWords } from '../../src/page/measured/joining.ts'

type Point = { t: number; r: number; u: number; out: number }

const NAN = Number.NaN

function curveOf(points: readonly Point[], more: Partial<MeasuredCurve> = {}): MeasuredCurve {
  const marks = points.map(({ out }) => out)
  const sigmas = points.map(({ u }) => u)
  return {
    id: 'a',
    name: 'a',
    file: 'a.csv',
    meta: {},
    time: Float64Array.from(points, ({ t }) => t),
    radius: Float64Array.from(points, ({ r }) => r),
    ...(sigmas.every(Number.isNaN) ? {} : { uncertainty: Float64Array.from(sigmas) }),
    ...(marks.includes(1) ? { excluded: Uint8Array.from(marks) } : {}),
    ...more,
  }
}

const points = fc
  .uniqueArray(
    fc.record({
      t: fc.double({ min: -5, max: 60, noNaN: true }).map((t) => t + 0),
      r: fc.double({ min: 0, max: 0.07, noNaN: true }),
      u: fc.oneof(fc.constant(NAN), fc.double({ min: 1e-6, max: 1e-3, noNaN: true })),
      out: fc.constantFrom(0, 0, 1),
    }),
    { minLength: 2, maxLength: 8, selector: ({ t }) => t },
  )
  .map((list) => list.sort((a, b) => a.t - b.t))

const some = fc.record({ list: points, at: fc.nat(), now: points })

describe('a point', () => {
  it('gets new numbers and its place in the order of time; the others stay as they are', () => {
    fc.assert(
      fc.property(some, ({ list, at, now }) => {
        const index = at % list.length
        const { t, r, u } = now[0]!
        const before = curveOf(list)
        const copy = structuredClone(before)
        const edited = withPoint(before, index, { time: t, radius: r, uncertainty: u })
        expect(before).toEqual(copy)
        const twin = list.findIndex((one) => one.t === t)
        if (twin >= 0 && twin !== index) expect(edited).toMatchObject({ ok: false })
        else {
          const wanted = list.with(index, { t, r, u, out: list[index]!.out }).sort((a, b) => a.t - b.t)
          const sigma = before.uncertainty ? { uncertainty: Float64Array.from(wanted, (one) => one.u) } : {}
          expect(edited).toEqual({ ok: true, curve: { ...curveOf(wanted), ...sigma } })
        }
      }),
      { seed: 3, numRuns: 200 },
    )
  })

  it('is deleted with all that belongs to it, down to two points', () => {
    fc.assert(
      fc.property(some, ({ list, at }) => {
        const index = at % list.length
        const edited = withoutPoint(curveOf(list), index)
        const rest = list.toSpliced(index, 1)
        if (rest.length < 2)
          expect(edited).toMatchObject({ ok: false, message: expect.stringMatching(/two/) })
        else
          expect(edited.ok && [...edited.curve.time, ...(edited.curve.excluded ?? [])]).toEqual([
            ...rest.map(({ t }) => t),
            ...(rest.some(({ out }) => out) ? rest.map(({ out }) => out) : []),
          ])
      }),
      { seed: 4, numRuns: 100 },
    )
  })

  it('is set aside and taken back', () => {
    const plain = curveOf([0, 1, 2].map((t) => ({ t, r: 0.01, u: NAN, out: 0 })))
    const aside = withExcluded(plain, 1, true)
    expect(aside.excluded).toEqual(Uint8Array.of(0, 1, 0))
    expect(withExcluded(aside, 1, false)).toEqual(plain)
    expect(withExcluded(withExcluded(aside, 2, true), 1, false).excluded).toEqual(Uint8Array.of(0, 0, 1))
  })

  it.each([
    [{ time: NAN }, /number of seconds/],
    [{ time: Infinity }, /number of seconds/],
    [{ radius: -1e-9 }, /0 mm or more/],
    [{ radius: Infinity }, /0 mm or more/],
    [{ uncertainty: 0 }, /above 0 mm/],
    [{ uncertainty: Infinity }, /above 0 mm/],
    [{ time: 2 }, /Another point is at 2 s/],
  ])('%o is refused', (change, pattern) => {
    const plain = curveOf([0, 1, 2].map((t) => ({ t, r: 0.01, u: NAN, out: 0 })))
    expect(withPoint(plain, 1, change)).toEqual({ ok: false, message: expect.stringMatching(pattern) })
  })
})

describe('curves that come in', () => {
  const two: Point[] = [0, 1].map((t) => ({ t, r: 0.01, u: NAN, out: 0 }))
  const first = curveOf(two)

  it('are added once, also after the one that is here got another name', () => {
    expect(joinCurves([first], [first], 'a.csv')).toEqual({ fresh: [], known: 1, beside: 0 })
    const renamed = { ...first, name: 'second dish' }
    expect(joinCurves([renamed], [first], 'a.csv')).toEqual({ fresh: [], known: 1, beside: 0 })
  })

  it('stand beside one that was corrected since, under an id and a name of their own, and only once', () => {
    const corrected = { ...first, radius: Float64Array.of(0.01, 0.02) }
    const joined = joinCurves([corrected], [first], 'a.csv')
    expect(joined).toMatchObject({ known: 0, beside: 1, fresh: [{ name: 'a (from a.csv)' }] })
    expect(joined.fresh[0]!.id).not.toBe(first.id)
    expect(joined.fresh[0]!.radius).toBe(first.radius)
    expect(joinedWords(joined)).toMatch(/differs from its namesake/)
    expect(joinCurves([corrected, ...joined.fresh], [first], 'a.csv')).toMatchObject({ fresh: [], known: 1 })
  })

  it('never share a name', () => {
    const other = (id: string) => curveOf(two, { id, radius: Float64Array.of(id.charCodeAt(0), 0.03) })
    const { fresh } = joinCurves([first], [other('b'), other('c')], 'b.csv')
    expect(fresh.map(({ name }) => name)).toEqual(['a (from b.csv)', 'a (from b.csv) (2)'])
    expect(fresh.map(({ id }) => id)).toEqual(['b', 'c'])
    expect(joinedWords({ fresh, known: 0, beside: 0 })).toBe('')
  })
})

describe('all points at once', () => {
  const whole: MeasuredCurve = {
    id: 'w',
    name: 'w',
    file: '',
    time: Float64Array.of(0, 1, 2, 3),
    radius: Float64Array.of(0.004, 0.01, 0.012, 0.008),
    uncertainty: Float64Array.of(1e-4, 1e-4, Number.NaN, 1e-4),
    shared: [{ cause: 'scale', shift: Float64Array.of(4e-5, 1e-4, 1.2e-4, 8e-5) }],
    meta: { startTime_s: 0.5, sigma: { startTime_s: 0.02, volume_uL: 0.1 }, volume_uL: 10 },
    provenance: { metresPerPixel: 1e-4, framesPerSecond: 30 },
  }

  it('scale and shift take all along that hangs on them', () => {
    const made = rescaled(whole, { radius: 2, time: 0.5, shift: 1 })
    if (!made.ok) throw new Error(made.message)
    const { curve } = made
    expect([...curve.time]).toEqual([1, 1.5, 2, 2.5])
    expect([...curve.radius]).toEqual([0.008, 0.02, 0.024, 0.016])
    expect([...curve.uncertainty!]).toEqual([2e-4, 2e-4, Number.NaN, 2e-4])
    expect([...curve.shared![0]!.shift]).toEqual([8e-5, 2e-4, 2.4e-4, 1.6e-4])
    expect(curve.meta).toEqual({
      startTime_s: 1.25,
      sigma: { startTime_s: 0.01, volume_uL: 0.1 },
      volume_uL: 10,
    })
    expect(curve.provenance).toEqual({ metresPerPixel: 2e-4, framesPerSecond: 60 })
    expect(checkCurve(curve, 'w')).toMatchObject({ ok: true })
    // The points lie as they did on the clock that begins with the contact, but for the factor.
    expect([...usedPoints(curve).time]).toEqual([...usedPoints(whole).time].map((t) => t / 2))
    expect([...whole.time]).toEqual([0, 1, 2, 3])
  })

  it('numbers that would spoil the curve are refused with words', () => {
    for (const [by, words] of [
      [{ radius: 0, time: 1, shift: 0 }, /radius is a number above 0/],
      [{ radius: 1, time: -1, shift: 0 }, /time is a number above 0/],
      [{ radius: 1, time: Number.NaN, shift: 0 }, /time is a number above 0/],
      [{ radius: 1, time: 1, shift: Number.NaN }, /number of seconds/],
      [{ radius: 1, time: 1e-320, shift: 5 }, /same time/],
      [{ radius: 1e308, time: 1, shift: 1e17 }, /same time/],
      [{ radius: Number.MAX_VALUE, time: Number.MAX_VALUE, shift: 0 }, /same time, or at none/],
    ] as const) {
      const made = rescaled(whole, by)
      expect(made.ok ? 'done' : made.message).toMatch(words)
    }
  })

  it('a frame holds its borders; its points are set aside and taken back together', () => {
    const index = pointsIn(whole, { from: 1, to: 3, low: 0.008, high: 0.01 })
    expect(index).toEqual([1, 3])
    const out = withManyExcluded(whole, index, true)
    expect([...out.excluded!]).toEqual([0, 1, 0, 1])
    expect(whole.excluded).toBeUndefined()
    expect([...withManyExcluded(out, [1], false).excluded!]).toEqual([0, 0, 0, 1])
    expect(withManyExcluded(out, [1, 3], false).excluded).toBeUndefined()
  })
})
