/** The set of curves as one file: exact, and refused with place and reason when it is wrong. Our own format, no source. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { looksLikeCurvesFile, readCurvesFile, writeCurvesFile } from '../../src/measured/curvesFile.ts'
import { CURVE_COLOURS } from '../../src/measured/metaCheck.ts'
import { readText } from '../../src/measured/read.ts'
import { sameCurve } from '../../src/measured/sameCurve.ts'
import type { MeasuredCurve } from '../../src/measured/types.ts'

const finite = { noNaN: true, noDefaultInfinity: true }
const optional = <T>(arbitrary: fc.Arbitrary<T>) => fc.option(arbitrary, { nil: undefined })

const meta = fc
  .record({
    alcohol: optional(fc.string({ unit: 'binary', maxLength: 20 })),
    alcoholFraction: optional(fc.double({ min: 0, max: 1, ...finite })),
    fractionBasis: optional(fc.constantFrom('mass' as const, 'volume' as const)),
    volume_uL: optional(fc.double({ min: 5e-324, max: 1e6, ...finite })),
    startTime_s: optional(fc.double(finite)),
    depth_mm: optional(fc.double({ min: 1e-9, max: 1e6, ...finite })),
    temperature_C: optional(fc.double({ min: -200, max: 900, ...finite })),
    relativeHumidity: optional(fc.double({ min: 0, max: 1, ...finite })),
    oil: optional(fc.string({ maxLength: 20 })),
    date: optional(fc.constantFrom('2026-11-29', '2024-02-29')),
    group: optional(fc.string({ maxLength: 20 })),
    sigma: optional(
      fc.record(
        { volume_uL: fc.double({ min: 1e-9, max: 10, ...finite }), radiusScale: fc.constant(0.1) },
        { requiredKeys: [] },
      ),
    ),
    conditions: optional(fc.string({ maxLength: 40 })),
    note: optional(fc.string({ maxLength: 40 })),
    colour: optional(fc.constantFrom(...CURVE_COLOURS)),
  })
  .map((one) => Object.fromEntries(Object.entries(one).filter(([, value]) => value !== undefined)))

const curve = fc
  .record({
    name: fc.string({ unit: 'binary', maxLength: 20 }),
    file: fc.string({ maxLength: 20 }),
    times: fc.uniqueArray(fc.double(finite), { minLength: 2, maxLength: 20, comparator: (a, b) => a === b }),
    radii: fc.array(fc.double({ min: 0, ...finite }), { minLength: 20, maxLength: 20 }),
    sigmas: optional(
      fc.array(fc.oneof(fc.constant(Number.NaN), fc.double({ min: 5e-324, ...finite })), {
        minLength: 20,
        maxLength: 20,
      }),
    ),
    aside: optional(fc.array(fc.nat(1), { minLength: 20, maxLength: 20 })),
    shifts: optional(fc.array(fc.double(finite), { minLength: 20, maxLength: 20 })),
    provenance: optional(
      fc.constantFrom(
        { sha256: 'ab'.repeat(32), metresPerPixel: 1.3e-4, level: 'found' as const },
        { level: 0.2 },
      ),
    ),
    meta,
  })
  .map(({ name, file, times, radii, sigmas, aside, shifts, provenance, meta: about }): MeasuredCurve => {
    const time = Float64Array.from(times).sort()
    const excluded = aside && Uint8Array.from(aside.slice(0, time.length))
    return {
      id: '',
      name,
      file,
      time,
      radius: Float64Array.from(radii.slice(0, time.length)),
      ...(sigmas ? { uncertainty: Float64Array.from(sigmas.slice(0, time.length)) } : {}),
      ...(excluded?.includes(1) ? { excluded } : {}),
      ...(shifts
        ? {
            shared: [{ cause: 'threshold' as const, shift: Float64Array.from(shifts.slice(0, time.length)) }],
          }
        : {}),
      ...(provenance ? { provenance } : {}),
      meta: about,
    }
  })

const read = (text: string) => {
  const result = readCurvesFile(text)
  if (!result.ok) throw new Error(JSON.stringify(result.problems))
  return result.curves
}

describe('a written set', () => {
  it('reads back to the last bit, with everything that is known', () => {
    fc.assert(
      fc.property(fc.array(curve, { maxLength: 4 }), (list) => {
        const curves = list.map((one, i) => ({ ...one, id: `c${i}` }))
        const text = writeCurvesFile(curves)
        const back = read(text)
        expect(back).toHaveLength(curves.length)
        back.forEach((one, i) => {
          expect(one.id).toBe(curves[i]!.id)
          expect(sameCurve(one, curves[i]!)).toBe(true)
          expect(one.provenance).toEqual(curves[i]!.provenance)
        })
        expect(writeCurvesFile(back)).toBe(text)
        expect(looksLikeCurvesFile(text)).toBe(true)
      }),
      { numRuns: 200, seed: 4 },
    )
  })

  it('keeps what the reading of the table told', () => {
    const result = readText('t (s),R (mm),speed\n0,5,1\n1,,1\n2,6,1\n', 'a.csv')
    if (!result.ok) throw new Error('refused')
    const origin = { skipped: result.skipped, warnings: result.warnings }
    expect(read(writeCurvesFile([{ ...result.curves[0]!, origin }]))[0]!.origin).toEqual(origin)
  })

  it('is plain JSON with units in the keys', () => {
    const one = { id: 'a', name: 'a', file: '', meta: { volume_uL: 10 } }
    const text = writeCurvesFile([
      {
        ...one,
        time: Float64Array.of(-0, 0.1),
        radius: Float64Array.of(0.002, 1e-7),
        uncertainty: Float64Array.of(Number.NaN, 1e-4),
        excluded: Uint8Array.of(0, 1),
      },
    ])
    expect(JSON.parse(text)).toEqual({
      format: 'rimtide-curves',
      version: 1,
      curves: [
        { ...one, time_s: [-0, 0.1], radius_m: [0.002, 1e-7], uncertainty_m: [null, 1e-4], excluded: [2] },
      ],
    })
  })
})

describe('a file made elsewhere', () => {
  const base = { name: '60 %', time_s: [0, 1], radius_m: [0.002, 0.01] }
  const file = (...curves: unknown[]) => JSON.stringify({ format: 'rimtide-curves', version: 1, curves })

  it('may leave out id, file and meta: the id follows from the numbers', () => {
    const [one] = read(file(base))
    expect(one).toMatchObject({ name: '60 %', file: '', meta: {} })
    expect(read(file(base))[0]!.id).toBe(one!.id)
    expect(read(file({ ...base, radius_m: [0.002, 0.011] }))[0]!.id).not.toBe(one!.id)
  })

  it('may begin with a byte order mark', () => expect(read(`\uFEFF${file(base)}`)).toHaveLength(1))

  it('refuses shared errors and stated uncertainties that make no sense, with the place', () => {
    const problem = (more: object) => {
      const result = readCurvesFile(file({ ...base, ...more }))
      return result.ok ? '' : result.problems.map(({ where, message }) => `${where}: ${message}`).join(' ')
    }
    expect(problem({ shared_m: { lamp: [0, 0] } })).toMatch(/curve 1 .*scale, threshold, children/)
    expect(problem({ shared_m: { scale: [0] } })).toMatch(/2 finite numbers/)
    expect(problem({ meta: { sigma: { volume_uL: 0 } } })).toMatch(
      /sigma\.volume_uL is 0\. Permitted: above 0/,
    )
    expect(problem({ meta: { sigma: { oil: 1 } } })).toMatch(/sigma\.oil is not known/)
    expect(problem({ meta: { date: '2026-02-30' } })).toMatch(/date is "2026-02-30"/)
    expect(problem({ shared_m: { scale: [0, 0.001] }, meta: { date: '2026-02-28' } })).toBe('')
  })

  const bad: [string, string, RegExp][] = [
    ['nothing', '', /Malformed JSON at line 1, column 1/],
    ['cut short', file(base).slice(0, -9), /Malformed JSON at line 1, column/],
    ['not JSON', 'curves: 3', /Malformed JSON/],
    ['a list', '[]', /would begin with "format": "rimtide-curves"/],
    ['a preset', '{"format":"rimtide-preset","version":1}', /no file of measured curves/],
    ['a newer version', '{"format":"rimtide-curves","version":2,"curves":[]}', /version is 2; .* version 1/],
    ['no curves', '{"format":"rimtide-curves","version":1}', /curves is missing/],
    [
      'a key twice',
      '{"format":"rimtide-curves","version":1,"curves":[],"version":1}',
      /"version" is given twice/,
    ],
    ['an unknown key', file({ ...base, radius_mm: [1, 2] }), /curve 1 \(“60 %”\): "radius_mm" is not known/],
    ['no name', file({ ...base, name: undefined }), /name is nothing/],
    ['times as text', file({ ...base, time_s: ['0', '1'] }), /curve 1 \(“60 %”\), point 1: time_s holds "0"/],
    ['no radii', file({ ...base, radius_m: undefined }), /radius_m is nothing/],
    ['a radius without value', file({ ...base, radius_m: [null, 1] }), /point 1: radius_m holds null/],
    ['more times', file({ ...base, time_s: [0, 1, 2] }), /3 times, 2 radii/],
    ['one point', file({ ...base, time_s: [0], radius_m: [1] }), /at least two/],
    ['equal times', file({ ...base, time_s: [1, 1] }), /point 2: The time 1 s does not come after 1 s/],
    ['a negative radius', file({ ...base, radius_m: [0, -1] }), /point 2: The radius is -1 m/],
    ['a number too large', file(base).replace('0.01', '1e999'), /radius is Infinity/],
    ['an uncertainty of 0', file({ ...base, uncertainty_m: [0, 1] }), /point 1: The uncertainty is 0 m/],
    ['too few uncertainties', file({ ...base, uncertainty_m: [1] }), /1 uncertainties/],
    ['a point that is not there', file({ ...base, excluded: [3] }), /from 1 to 2/],
    [
      'a fraction in per cent',
      file({ ...base, meta: { alcoholFraction: 60 } }),
      /alcoholFraction is 60\. Permitted: 0 to 1/,
    ],
    [
      'an unknown colour',
      file({ ...base, meta: { colour: 'red' } }),
      /colour is "red"\. Permitted: vermilion/,
    ],
    ['an unknown entry', file({ ...base, meta: { alcohl: 'x' } }), /alcohl is not known/],
    ['a volume of 0', file({ ...base, meta: { volume_uL: 0 } }), /volume_uL is 0\. Permitted: above 0/],
    [
      'the same id twice',
      file({ ...base, id: 'a' }, { ...base, id: 'a' }),
      /curve 2: It has the same id as curve 1/,
    ],
    ['a curve that is none', file(7), /curve 1: A curve is a group/],
  ]
  it.each(bad)('%s is refused', (_, text, words) => {
    const result = readCurvesFile(text)
    expect(result.ok).toBe(false)
    const said = result.ok ? '' : result.problems.map((p) => `${p.where}: ${p.message}`).join('\n')
    expect(said).toMatch(words)
  })

  it('reports all that is wrong at once', () => {
    const result = readCurvesFile(
      file({ ...base, time_s: [1, 0], meta: { depth_mm: -1 } }, { ...base, radius_m: 'x' }),
    )
    expect(!result.ok && result.problems.length).toBe(3)
  })

  it('never throws, whatever the text', () => {
    const piece = fc.constantFrom(
      '{',
      '}',
      '[',
      ']',
      ',',
      ':',
      '"format"',
      '"rimtide-curves"',
      '1',
      '-',
      'null',
      '"',
      '"curves"',
      '\\',
    )
    fc.assert(
      fc.property(
        fc.oneof(
          fc.array(piece).map((p) => p.join('')),
          fc.json(),
        ),
        (text) => {
          const result = readCurvesFile(text)
          expect(result.ok || result.problems.length > 0).toBe(true)
        },
      ),
      { numRuns: 1000, seed: 5 },
    )
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        const result = readCurvesFile(file(value, { ...base, meta: value, origin: value, excluded: value }))
        expect(result.ok || result.problems.length > 0).toBe(true)
      }),
      { numRuns: 500, seed: 6 },
    )
    expect(readCurvesFile('['.repeat(200_000)).ok).toBe(false)
  })
})
