import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { checkCurve, SHARED_CAUSES } from '../../src/measured/checkCurve.ts'
import { readRows, readTable, readText } from '../../src/measured/read.ts'
import type { Choices, Column, MeasuredCurve } from '../../src/measured/types.ts'
import { guardText, unguardText, writeCurves } from '../../src/measured/write.ts'

const read = (text: string) => {
  const result = readTable(new TextEncoder().encode(text), 'round.csv')
  if (!result.ok) throw new Error(JSON.stringify(result.problems))
  return result.curves
}

/** Bits of the numbers: −0 differs from 0, NaN equals NaN. */
const bits = (values: Float64Array | undefined) => values && [...new BigUint64Array(values.slice().buffer)]

const NAN = bits(Float64Array.of(Number.NaN))![0]

const finite = { noNaN: true, noDefaultInfinity: true }
const name = fc.oneof(
  fc.string({ maxLength: 12 }),
  fc.constantFrom(
    '=SUM(A1)',
    '+40',
    '-1',
    '@x',
    "'=x",
    "''@",
    '40 %',
    'a,b',
    'a"b',
    '#3',
    '%',
    'NaN',
    'é µ ±',
    '1,5',
  ),
)

const curve = fc
  .record({
    name,
    times: fc.uniqueArray(fc.double({ min: -1e9, max: 1e9, ...finite }), { minLength: 2, maxLength: 12 }),
    radii: fc.array(fc.double({ min: 1e-5, max: 1, ...finite }), { minLength: 12, maxLength: 12 }),
    sigmas: fc.option(
      fc.array(fc.oneof(fc.constant(Number.NaN), fc.double({ min: 1e-12, max: 1e-2, ...finite })), {
        minLength: 12,
        maxLength: 12,
      }),
    ),
    fraction: fc.option(fc.double({ min: 0, max: 1, ...finite })),
    basis: fc.constantFrom('mass' as const, 'volume' as const),
    volume: fc.option(fc.double({ min: 1e-3, max: 1e3, ...finite })),
    start: fc.option(fc.double({ min: -1e9, max: 1e9, ...finite }).map((t) => t + 0)),
    depth: fc.option(fc.double({ min: 1e-3, max: 1e3, ...finite })),
    warmth: fc.option(fc.double({ min: -50, max: 90, ...finite }).map((t) => t + 0)),
    words: fc.option(fc.constantFrom('=1+1', 'rapeseed; "fresh", 1 cm', '-', '2-propanol', '# 3')),
    humidity: fc.option(fc.double({ min: 0, max: 1, ...finite }).map((t) => t + 0)),
    sigma: fc.option(
      fc.record(
        Object.fromEntries(
          (
            [
              'alcoholFraction',
              'volume_uL',
              'startTime_s',
              'depth_mm',
              'temperature_C',
              'relativeHumidity',
              'radiusScale',
            ] as const
          ).map((key) => [key, fc.double({ min: 1e-9, max: 10, ...finite })]),
        ),
        { requiredKeys: [] },
      ),
    ),
    shared: fc.option(
      fc.uniqueArray(fc.constantFrom('scale' as const, 'threshold' as const, 'children' as const), {
        minLength: 1,
        maxLength: 3,
      }),
    ),
    shifts: fc.array(fc.double({ min: -1e-3, max: 1e-3, ...finite }), { minLength: 12, maxLength: 12 }),
    provenance: fc.option(
      fc.record(
        {
          sha256: fc.constant('0123456789abcdef'.repeat(4)),
          metresPerPixel: fc.double({ min: 1e-9, max: 1, ...finite }),
          scaleUncertainty: fc.double({ min: 0, max: 1, ...finite }).map((t) => t + 0),
          framesPerSecond: fc.double({ min: 1e-3, max: 1e6, ...finite }),
          difference: fc.constantFrom('darker than the bath', '=x'),
          level: fc.oneof(
            fc.constant('found' as const),
            fc.double({ min: 0, max: 1, ...finite }).map((t) => t + 0),
          ),
          version: fc.constant('0.1.0'),
          made: fc.constant('2026-11-29T03:00:00Z'),
        },
        { requiredKeys: [] },
      ),
    ),
    aside: fc.option(fc.array(fc.nat(1), { minLength: 12, maxLength: 12 })),
  })
  .map((r): MeasuredCurve => {
    const time = Float64Array.from(new Set(r.times.map((t) => t + 0))).sort()
    return {
      id: '',
      name: r.name,
      time,
      radius: Float64Array.from(r.radii.slice(0, time.length)),
      ...(r.shared
        ? {
            shared: SHARED_CAUSES.filter((cause) => r.shared!.includes(cause)).map((cause) => ({
              cause,
              shift: Float64Array.from(r.shifts.slice(0, time.length)),
            })),
          }
        : {}),
      ...(r.provenance && Object.keys(r.provenance).length > 0 ? { provenance: r.provenance } : {}),
      ...(r.sigmas ? { uncertainty: Float64Array.from(r.sigmas.slice(0, time.length)) } : {}),
      meta: {
        ...(r.fraction === null ? {} : { alcoholFraction: r.fraction, fractionBasis: r.basis }),
        ...(r.volume === null ? {} : { volume_uL: r.volume }),
        ...(r.start === null ? {} : { startTime_s: r.start }),
        ...(r.depth === null ? {} : { depth_mm: r.depth }),
        ...(r.warmth === null ? {} : { temperature_C: r.warmth }),
        ...(r.words === null
          ? {}
          : { alcohol: r.words, conditions: r.words, oil: r.words, group: r.words, date: '2026-11-28' }),
        ...(r.humidity === null ? {} : { relativeHumidity: r.humidity }),
        ...(r.sigma && Object.keys(r.sigma).length > 0 ? { sigma: r.sigma } : {}),
      },
      ...(r.aside?.slice(0, time.length).includes(1)
        ? { excluded: Uint8Array.from(r.aside.slice(0, time.length)) }
        : {}),
      file: 'round.csv',
    }
  })
  .filter((c) => c.time.length > 1 && c.time.every((t, i) => i === 0 || t > c.time[i - 1]!))

describe('written curves read back', () => {
  it('to the last bit, with what is known about the drop', () => {
    fc.assert(
      fc.property(fc.array(curve, { minLength: 1, maxLength: 4 }), (curves) => {
        const back = read(writeCurves(curves))
        expect(back).toHaveLength(curves.length)
        const anySigma = curves.some((c) => c.uncertainty)
        back.forEach((b, k) => {
          const c = curves[k]!
          expect(bits(b.time)).toEqual(bits(c.time))
          expect(bits(b.radius)).toEqual(bits(c.radius))
          const none = anySigma ? Array.from(c.time, () => NAN) : undefined
          expect(bits(b.uncertainty)).toEqual(c.uncertainty ? bits(c.uncertainty) : none)
          expect(b.meta).toEqual(c.meta)
          expect(b.excluded).toEqual(c.excluded)
          expect(b.shared?.map(({ cause, shift }) => [cause, bits(shift)])).toEqual(
            c.shared?.map(({ cause, shift }) => [cause, bits(shift)]),
          )
          expect(b.provenance).toEqual(c.provenance)
        })
      }),
      { numRuns: 300, seed: 7 },
    )
  })

  it('subnormal times, minus zero and neighbouring doubles', () => {
    const time = Float64Array.of(-1 / 3, -0, 5e-324, 0.1, 0.1 + 2 ** -56, 1e21, 1.7976931348623157e308)
    const radius = Float64Array.from(time, (_, i) => 0.005 + i * Number.EPSILON)
    const back = read(writeCurves([{ id: '', name: 'x', time, radius, meta: {}, file: '' }]))
    expect(bits(back[0]!.time)).toEqual(bits(time))
    expect(bits(back[0]!.radius)).toEqual(bits(radius))
  })

  it('one row a point with units in the titles, short where the numbers are, conditions in each row', () => {
    const text = writeCurves([
      {
        id: '',
        name: 'run 1',
        time: Float64Array.of(0, 0.5),
        radius: Float64Array.of(5 / 1000, 6.25 / 1000),
        uncertainty: Float64Array.of(0.1 / 1000, Number.NaN),
        shared: [{ cause: 'scale', shift: Float64Array.of(0.05 / 1000, 0.0625 / 1000) }],
        meta: { group: '60 %', volume_uL: 10, sigma: { volume_uL: 0.2 }, note: 'a, b' },
        file: '',
      },
    ])
    expect(text).toBe(
      'time_s,radius_mm,uncertainty_mm,shared_scale_mm,curve,group,volume_uL,sigma_volume_uL,note\n' +
        '0,5,0.1,0.05,"run 1","60 %",10,0.2,"a, b"\n' +
        '0.5,6.25,,0.0625,"run 1","60 %",10,0.2,\n',
    )
  })

  it('tables that this program wrote before are read', () => {
    const before =
      'time (s),radius (m),uncertainty (m),used,curve,alcohol fraction by mass,contact (s),bath depth (mm),bath temperature (C),kind of alcohol,conditions,volume (uL)\n' +
      '0,0.005,0.0001,1,"run 1",0.5,0.2,10,21,"ethanol","calm",10\n1,0.006,,0,"run 1",,,,,,,\n'
    const [curve] = read(before)
    expect(curve!.meta).toEqual({
      alcohol: 'ethanol',
      alcoholFraction: 0.5,
      fractionBasis: 'mass',
      startTime_s: 0.2,
      depth_mm: 10,
      temperature_C: 21,
      conditions: 'calm',
      volume_uL: 10,
    })
    expect([...curve!.radius, ...curve!.excluded!]).toEqual([0.005, 0.006, 0, 1])
  })

  it('what is wrong in such a table is said', () => {
    const said = (title: string, cell: string) => {
      const result = readText(`time_s,radius_mm,${title}\n0,5,${cell}\n1,6,\n`, 'a.csv')
      return result.ok ? 'read' : result.problems.map((p) => p.message).join()
    }
    expect(said('date_iso8601', '29.11.2026')).toMatch(/no day/)
    expect(said('sigma_volume_uL', '-1')).toMatch(/above 0/)
    expect(said('relative_humidity', '45')).toMatch(/between 0 and 1/)
    expect(said('shared_scale_mm', '0.1')).toMatch(/in all rows of a curve/)
    expect(said('shared_scale_mm', 'much')).toMatch(/a number is wanted/)
  })

  it('names come back; equal and empty ones are told apart', () => {
    const make = (n: string): MeasuredCurve => ({
      id: '',
      name: n,
      time: Float64Array.of(0, 1),
      radius: Float64Array.of(0.005, 0.006),
      meta: n === '=SUM(A1:A9)' ? { note: '+ a "note",\nof two lines' } : {},
      file: '',
    })
    const names = ['=SUM(A1:A9)', "'=x", '-3', '', 'a', 'a', '# 4', 'x;y,"z"']
    const back = read(writeCurves(names.map(make)))
    expect(back.map((c) => c.name)).toEqual([
      '=SUM(A1:A9)',
      "'=x",
      '-3',
      'curve 4',
      'a',
      'a (2)',
      '# 4',
      'x;y,"z"',
    ])
    expect(back[0]!.meta.note).toBe('+ a "note", of two lines')
  })

  it('no cell of text begins like a formula', () => {
    // Characters that begin a formula: OWASP, CSV Injection (=, +, -, @, tab, carriage return).
    fc.assert(
      fc.property(name, (n) => {
        const guarded = guardText(n)
        expect(guarded).not.toMatch(/^[=+\-@\t\r]/)
        expect(unguardText(guarded)).toBe(n.replace(/[\r\n\t]+/g, ' ').trim())
      }),
    )
  })
})

describe('any layout of the same numbers reads the same', () => {
  const layout = fc.record({
    points: fc.array(fc.tuple(fc.integer({ min: 1, max: 9999 }), fc.integer({ min: 10, max: 99999 })), {
      minLength: 2,
      maxLength: 30,
    }),
    separator: fc.constantFrom(',', ';', '\t'),
    end: fc.constantFrom('\n', '\r\n', '\r'),
    comma: fc.boolean(),
    quote: fc.boolean(),
    bom: fc.boolean(),
    units: fc.constantFrom(
      ['s', 'mm', 1, 1000] as const,
      ['ms', 'cm', 1000, 100] as const,
      ['min', 'm', 1 / 60, 1] as const,
    ),
    style: fc.constantFrom('$ (#)', '$ [#]', '$/#', '$_#', '$ #', '$ in #'),
    padding: fc.constantFrom('', ' '),
    comments: fc.boolean(),
  })

  it('whatever the separator, line end, decimal mark, quotes and way of writing units', () => {
    fc.assert(
      fc.property(layout, (l) => {
        let t = 0
        const points = l.points.map(([dt, r]) => {
          t += dt
          return [t / 100, r / 1000] as const
        })
        const cell = (x: number) => {
          const text = l.comma ? String(x).replace('.', ',') : String(x)
          return l.quote || (l.comma && l.separator === ',') ? `"${text}"` : `${l.padding}${text}`
        }
        const [timeUnit, lengthUnit] = l.units
        const title = (word: string, unit: string) => l.style.replace('$', word).replace('#', unit)
        const lines = [
          title('time', timeUnit) + l.separator + title('radius', lengthUnit),
          // A first row that leaves no doubt about the decimal mark.
          cell(0.25) + l.separator + cell(0.25),
          ...points.map(([a, b]) => cell(a + 1) + l.separator + cell(b / 1000)),
        ]
        if (l.comments) lines.splice(1, 0, '# "a remark, with; marks')
        const text = (l.bom ? '\uFEFF' : '') + lines.join(l.end) + l.end
        const result = readText(text, 'a.csv')
        if (!result.ok) throw new Error(`${JSON.stringify(text)} ${JSON.stringify(result.problems)}`)
        const c = result.curves[0]!
        expect(c.time).toHaveLength(points.length + 1)
        points.forEach(([a, b], i) => {
          expect(c.time[i + 1]! * l.units[2]).toBeCloseTo(a + 1, 9)
          expect(c.radius[i + 1]! * l.units[3]).toBeCloseTo(b / 1000, 12)
        })
      }),
      { numRuns: 400, seed: 9 },
    )
  })

  it('rubbish never crashes and never gives curves that break the contract', () => {
    const piece = fc.constantFrom(
      't (s)',
      'R (mm)',
      'time',
      '0',
      '1',
      '2.5',
      '3,5',
      '-1',
      'NaN',
      '"',
      '""',
      ',',
      ';',
      '\t',
      '\n',
      '\r',
      '#',
      '%',
      ' ',
      '1e5',
      'x',
      '±',
      '0:01.5',
      '=',
      'frame',
      'run',
      'err',
      '\u0000',
      '\uFEFF',
      '1.234',
      '1,234',
      '\n1,6\n',
      '\n2,7\n',
      'Inf',
    )
    const text = fc.oneof(
      fc.array(piece, { maxLength: 60 }).map((parts) => parts.join('')),
      fc.array(piece, { maxLength: 40 }).map((parts) => `t (s),R (mm)\n0,5\n${parts.join('')}`),
      fc.string({ unit: 'binary', maxLength: 80 }),
    )
    const roles = ['time', 'radius', 'diameter', 'uncertainty', 'series', 'used', 'alcohol', 'note'] as const
    const units = ['s', 'frame', 'mm', '%', 'volume %', undefined] as const
    const column = fc.record({ role: fc.constantFrom(...roles), unit: fc.constantFrom(...units) })
    const columns = fc
      .array(column, { minLength: 2, maxLength: 4 })
      .map((list) => list.map(({ role, unit }, index) => ({ index, role, ...(unit ? { unit } : {}) })))
    const usual: Column[] = [
      { index: 0, role: 'time', unit: 's' },
      { index: 1, role: 'radius', unit: 'mm' },
    ]
    const choices: fc.Arbitrary<Choices> = fc.oneof(
      fc.constantFrom({}, { timeUnit: 's', radiusUnit: 'mm' } as const, { sort: true }),
      fc.record(
        {
          timeUnit: fc.constantFrom('s', 'frame'),
          radiusUnit: fc.constantFrom('mm', 'm'),
          headerLine: fc.nat({ max: 4 }),
          separator: fc.constantFrom(',', ';', '\t', ' '),
          decimalMark: fc.constantFrom('.', ','),
          skipBad: fc.constant(true),
          sort: fc.constant(true),
          framesPerSecond: fc.constantFrom(25, 0, Number.NaN),
          columns: fc.oneof(fc.constant(usual), columns),
        },
        { requiredKeys: [] },
      ),
    )
    let curves = 0
    fc.assert(
      fc.property(text, choices, (t, c) => {
        const result = readText(t, 'a.csv', c)
        if (!result.ok) {
          expect(result.problems.length).toBeGreaterThan(0)
          for (const p of result.problems) expect(p.message.length).toBeGreaterThan(5)
          return
        }
        expect(result.curves.length).toBeGreaterThan(0)
        for (const curve of result.curves) {
          curves++
          expect(curve.time.length).toBeGreaterThan(1)
          expect(curve.time.length).toBe(curve.radius.length)
          curve.time.forEach((now, i) => {
            expect(Number.isFinite(now) && (i === 0 || now > curve.time[i - 1]!)).toBe(true)
            expect(Number.isFinite(curve.radius[i]!) && curve.radius[i]! >= 0).toBe(true)
          })
          expect(checkCurve(curve, 'curve')).toMatchObject({ ok: true })
        }
      }),
      { numRuns: 4000, seed: 3 },
    )
    expect(curves).toBeGreaterThan(20)
  })

  it('random bytes never crash', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => {
        const result = readTable(bytes, 'x')
        expect(result.ok || result.problems.length > 0).toBe(true)
      }),
      { numRuns: 2000, seed: 3 },
    )
  })
})

describe('rows with columns set by the user', () => {
  const rows = [
    ['12', '0', 'x', '10'],
    ['13', '1', 'y', '12'],
  ]
  const columns: Column[] = [
    { index: 1, role: 'time', unit: 'min' },
    { index: 0, role: 'radius', unit: 'cm', name: 'outer' },
    { index: 3, role: 'diameter', unit: 'mm', name: 'inner' },
  ]

  it('are read by these', () => {
    const result = readRows(rows, columns, { file: 'pasted' })
    if (!result.ok) throw new Error(JSON.stringify(result.problems))
    expect(result.curves.map((c) => [c.name, [...c.time], [...c.radius]])).toEqual([
      ['outer', [0, 60], [0.12, 0.13]],
      ['inner', [0, 60], [0.005, 0.006]],
    ])
  })

  it('line numbers of the caller stand in messages', () => {
    const result = readRows([...rows, ['1', 'soon', '', '']], columns, { file: 'pasted', lines: [4, 5, 9] })
    expect(!result.ok && result.problems[0]).toEqual({
      where: 'pasted, line 9, column 2',
      message: '"soon": a number is wanted here.',
    })
  })

  it('missing units, roles and columns are told', () => {
    const bad: [Column[], RegExp][] = [
      [[], /No column of times/],
      [[{ index: 0, role: 'radius', unit: 'mm' }], /No column of times/],
      [[{ index: 1, role: 'time', unit: 's' }], /No column of radii/],
      [
        [
          { index: 1, role: 'time' },
          { index: 0, role: 'radius', unit: 'mm' },
        ],
        /unit of the time is missing/,
      ],
      [
        [
          { index: 1, role: 'time', unit: 'mm' },
          { index: 0, role: 'radius', unit: 'mm' },
        ],
        /"mm" of the time is not known/,
      ],
      [
        [
          { index: 1, role: 'time', unit: 's' },
          { index: 9, role: 'radius', unit: 'mm' },
        ],
        /No row has both/,
      ],
      [
        [
          { index: 1, role: 'time', unit: 's' },
          { index: -1, role: 'radius', unit: 'mm' },
        ],
        /no column -1/,
      ],
      [
        [
          { index: 1, role: 'time', unit: 'frame' },
          { index: 0, role: 'radius', unit: 'mm' },
        ],
        /frames were taken per second/,
      ],
    ]
    for (const [set, pattern] of bad) {
      const result = readRows(rows, set)
      expect(result.ok ? 'read' : result.problems.map((p) => p.message).join()).toMatch(pattern)
    }
  })

  it('no rows at all', () => expect(readRows([], columns).ok).toBe(false))
})
