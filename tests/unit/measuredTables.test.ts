/**
 * Malformed and unusual tables: a message or the right data, never wrong data, never a crash.
 * All tables are invented (Harbour Lane evening school, bench 3). What a file should mean is common practice of
 * laboratory exports, no source, except where a standard is named.
 */
import { describe, expect, it } from 'vitest'
import { readTable, readText } from '../../src/measured/read.ts'
import type { Choices, ReadResult } from '../../src/measured/types.ts'

const utf8 = (text: string) => new TextEncoder().encode(text)

/** Curves as plain numbers: s and mm, rounded far below what a test distinguishes. */
function data(result: ReadResult): Record<string, [number, number][]> {
  if (!result.ok) throw new Error(result.problems.map((p) => `${p.where}: ${p.message}`).join('\n'))
  return Object.fromEntries(
    result.curves.map((c) => [
      c.name,
      Array.from(c.time, (t, i): [number, number] => [t, Number((c.radius[i]! * 1000).toPrecision(14))]),
    ]),
  )
}

/** The table must be refused with a message (place and text) that matches every pattern. */
function refused(result: ReadResult, ...patterns: RegExp[]): void {
  expect(result.ok).toBe(false)
  if (result.ok) return
  const text = result.problems.map((p) => `${p.where}: ${p.message}`).join('\n')
  for (const pattern of patterns) expect(text).toMatch(pattern)
}

const TWO: [number, number][] = [
  [0, 5],
  [0.5, 6.25],
]

describe('tables that are read', () => {
  const good: [string, string, Choices?][] = [
    ['comma, LF', 'time (s),radius (mm)\n0,5\n0.5,6.25\n'],
    ['semicolon', 'time (s);radius (mm)\n0;5\n0.5;6.25\n'],
    ['tab', 'time (s)\tradius (mm)\n0\t5\n0.5\t6.25\n'],
    ['CR LF', 'time (s),radius (mm)\r\n0,5\r\n0.5,6.25\r\n'],
    ['CR alone', 'time (s),radius (mm)\r0,5\r0.5,6.25\r'],
    ['no line end at the end', 'time (s),radius (mm)\n0,5\n0.5,6.25'],
    ['mixed line ends', 'time (s),radius (mm)\r\n0,5\n0.5,6.25\r'],
    ['byte order mark', '\uFEFFtime (s),radius (mm)\n0,5\n0.5,6.25\n'],
    ['decimal comma', 'time (s);radius (mm)\n0,0;5,0\n0,5;6,25\n'],
    ['decimal comma, tab', 'time (s)\tradius (mm)\n0\t5\n0,5\t6,25\n'],
    ['quoted decimal comma between commas', '"time (s)","radius (mm)"\n"0,0","5,0"\n"0,5","6,25"\n'],
    ['short names', 't_s,R_mm\n0,5\n0.5,6.25\n'],
    ['German', 'Zeit [s];Radius [mm]\n0;5\n0,5;6,25\n'],
    ['French', 'temps (s);rayon (mm)\n0;5\n0,5;6,25\n'],
    ['unit behind a slash', 't/s,R/mm\n0,5\n0.5,6.25\n'],
    ['unit behind a slash with blanks', 't / s,R / mm\n0,5\n0.5,6.25\n'],
    ['unit in words', 'time in seconds,radius in millimetres\n0,5\n0.5,6.25\n'],
    ['capitals', 'TIME (S),RADIUS (MM)\n0,5\n0.5,6.25\n'],
    ['argument in the name', 't (s),R(t) (mm)\n0,5\n0.5,6.25\n'],
    ['units in a second line', 'time,radius\ns,mm\n0,5\n0.5,6.25\n'],
    ['units in a second line with brackets', 'time,radius\n[s],[mm]\n0,5\n0.5,6.25\n'],
    ['milliseconds', 'time (ms),radius (mm)\n0,5\n500,6.25\n'],
    ['micrometres, micro sign U+00B5', 'time (s),radius (\u00B5m)\n0,5000\n0.5,6250\n'],
    ['micrometres, Greek mu U+03BC', 'time (s),radius (\u03BCm)\n0,5000\n0.5,6250\n'],
    ['micrometres, um', 'time (s),radius (um)\n0,5000\n0.5,6250\n'],
    ['centimetres', 'time (s),radius (cm)\n0,0.5\n0.5,0.625\n'],
    ['metres', 'time (s),radius (m)\n0,0.005\n0.5,6.25e-3\n'],
    ['radius first', 'radius (mm),time (s)\n5,0\n6.25,0.5\n'],
    ['comments', '# bench 3\n% second dish\ntime (s),radius (mm)\n0,5\n# a door slammed\n0.5,6.25\n'],
    ['header kept in a comment', '# time (s),radius (mm)\n0,5\n0.5,6.25\n'],
    ['header in a comment, blanks between columns', '# time (s) radius (mm)\n0 5\n0.5 6.25\n'],
    ['blanks, right aligned', '  time_s   R_mm\n    0.0   5.00\n    0.5   6.25\n'],
    ['separator line of spreadsheets', 'sep=;\ntime (s);radius (mm)\n0;5\n0.5;6.25\n'],
    ['title above the header', 'Bench 3,\n,\ntime (s),radius (mm)\n0,5\n0.5,6.25\n'],
    ['empty columns between and behind', 'time (s),,radius (mm),,\n0,,5,,\n0.5,,6.25,,\n'],
    ['blank lines', 'time (s),radius (mm)\n\n0,5\n\n\n0.5,6.25\n\n'],
    ['lines of separators only', 'time (s),radius (mm)\n0,5\n,\n0.5,6.25\n,\n'],
    ['blanks around cells', ' time (s) , radius (mm) \n 0 , 5 \n 0.5 , 6.25 \n'],
    ['no-break spaces', '\u00A0time (s),radius\u00A0(mm)\n0\u00A0,5\n0.5,\u00A06.25\n'],
    ['plus signs and exponents', 'time (s),radius (mm)\n+0e0,+5.0E+0\n5e-1,625e-2\n'],
    ['all cells quoted', '"time (s)","radius (mm)"\n"0","5"\n"0.5","6.25"\n'],
    ['line end inside a quoted header', '"time\n(s)","radius\n(mm)"\n0,5\n0.5,6.25\n'],
    ['separator inside a quoted header', '"time, since contact (s)","radius, mean (mm)"\n0,5\n0.5,6.25\n'],
    ['other quantities beside', 'time (s),T (°C),radius (mm),dR/dt (mm/s)\n0,21,5,0\n0.5,21,6.25,2.5\n'],
    ['frame number beside a time', 'frame,time (s),radius (mm)\n0,0,5\n15,0.5,6.25\n'],
    ['frames with a stated rate', 'frame (30 fps),radius (mm)\n0,5\n15,6.25\n'],
    ['frames with the rate asked for', 'frame,radius (mm)\n0,5\n15,6.25\n', { framesPerSecond: 30 }],
    ['diameter', 'time (s),diameter (mm)\n0,10\n0.5,12.5\n'],
    ['clock times', 'time,radius (mm)\n00:00.0,5\n00:00.5,6.25\n', { timeUnit: 's' }],
    ['clock times with hours', 'time (s),radius (mm)\n0:00:00,5\n0:00:00.5,6.25\n'],
    ['units asked for', 't,R\n0,5\n0.5,6.25\n', { timeUnit: 's', radiusUnit: 'mm' }],
    ['no header, units asked for', '0,5\n0.5,6.25\n', { timeUnit: 's', radiusUnit: 'mm' }],
    ['rows to be sorted', 'time (s),radius (mm)\n0.5,6.25\n0,5\n', { sort: true }],
    ['long fractions decided by another cell', 'time (s);radius (mm)\n0,0;5,000\n0,5;6,250\n'],
    ['long fractions, decimal comma chosen', 't (s);R (mm)\n0;5,000\n0,5;6,250\n', { decimalMark: ',' }],
    ['hyphen-like minus', 'time (s),radius (mm)\n\u22121,4\n0,5\n0.5,6.25\n'],
    ['a semicolon in the header only', 'time (s),radius; mean (mm)\n0,5\n0.5,6.25\n'],
    [
      'columns named otherwise',
      't,a,b\n0,5,9\n0.5,6.25,9\n',
      {
        columns: [
          { index: 0, role: 'time', unit: 's' },
          { index: 1, role: 'radius', unit: 'mm' },
        ],
      },
    ],
  ]

  it.each(good)('%s', (_, text, choices) => {
    const curves = Object.values(data(readTable(utf8(text), 'bench.csv', choices)))
    expect(curves).toHaveLength(1)
    expect(curves[0]!.filter(([t]) => t >= 0)).toEqual(TWO)
  })

  it('thousands separators are left out, with a warning', () => {
    for (const text of [
      'time (ms),radius (µm)\n0.0,"5,000.0"\n"1,500.0","6,250.5"\n',
      'time (ms);radius (µm)\n0,0;5.000,0\n1.500,0;6.250,5\n',
      'time (ms);radius (µm)\n0;5 000,0\n1 500;6 250,5\n',
      'time (ms);radius (µm)\n0;5\u202F000,0\n1\u00A0500;6\u202F250,5\n',
      "time (ms);radius (µm)\n0;5'000.0\n1'500;6’250.5\n",
      'time (ms);radius (µm)\n0.0;5,000.0\n1,500;6250.5\n',
    ]) {
      const result = readTable(utf8(text), 'a.csv')
      expect(Object.values(data(result))[0], text).toEqual([
        [0, 5],
        [1.5, 6.2505],
      ])
      expect(result.ok && result.warnings.join()).toMatch(/thousands/)
    }
  })

  it('UTF-16 with and without byte order mark, little and big endian', () => {
    const text = 'time (s),radius (µm)\n0,5000\n0.5,6250\n'
    const wide = (mark: string, big: boolean) => {
      const units = Array.from(mark + text, (c) => c.charCodeAt(0))
      return Uint8Array.from(units.flatMap((u) => (big ? [u >> 8, u & 255] : [u & 255, u >> 8])))
    }
    for (const bytes of [wide('\uFEFF', false), wide('\uFEFF', true), wide('', false), wide('', true)]) {
      expect(Object.values(data(readTable(bytes, 'a.csv')))).toEqual([TWO])
    }
  })

  it('Windows-1252: µ is the byte B5, ± is B1; a warning says so', () => {
    const text = 'time (s);radius (µm);± (µm)\n0;5000;50\n0,5;6250;60\n'
    const result = readTable(
      Uint8Array.from(text, (c) => c.charCodeAt(0)),
      'a.csv',
    )
    expect(Object.values(data(result))).toEqual([TWO])
    expect(result.ok && result.warnings.join()).toMatch(/Windows-1252/)
    expect(
      result.ok && Array.from(result.curves[0]!.uncertainty!, (u) => Number((u * 1e6).toPrecision(12))),
    ).toEqual([50, 60])
  })

  it('one time column with several radii, each with its own length', () => {
    const result = readText('t (s),40 % R (mm),50 % R (mm)\n0,5,6\n1,6,7\n2,,8\n', 'a.csv')
    expect(data(result)).toEqual({
      '40 %': [
        [0, 5],
        [1, 6],
      ],
      '50 %': [
        [0, 6],
        [1, 7],
        [2, 8],
      ],
    })
    expect(result.ok && result.skipped).toEqual([{ line: 4, reason: 'no radius in "40 % R (mm)"' }])
  })

  it('pairs of columns under merged names', () => {
    const result = readText('40 %,,50 %,\nt (s),R (mm),t (s),R (mm)\n0,5,0,6\n1,6,2,7\n2,7,,\n', 'a.csv')
    expect(data(result)).toEqual({
      '40 %': [
        [0, 5],
        [1, 6],
        [2, 7],
      ],
      '50 %': [
        [0, 6],
        [2, 7],
      ],
    })
  })

  it('a column of names, also merged cells below a name', () => {
    const long = 'run;t (s);R (mm)\na;0;5\na;1;6\nb;0;7\nb;1;8\n'
    const merged = 'run;t (s);R (mm)\na;0;5\n;1;6\nb;0;7\n;1;8\n'
    const wanted = {
      a: [
        [0, 5],
        [1, 6],
      ],
      b: [
        [0, 7],
        [1, 8],
      ],
    }
    expect(data(readText(long, 'a.csv'))).toEqual(wanted)
    const result = readText(merged, 'a.csv')
    expect(data(result)).toEqual(wanted)
    expect(result.ok && result.warnings.join()).toMatch(/2 rows without a series name/)
  })

  it('interleaved runs told apart by a number', () => {
    expect(data(readText('t (s),run,R (mm)\n0,1,5\n0,2,7\n1,1,6\n1,2,8\n', 'a.csv'))).toEqual({
      1: [
        [0, 5],
        [1, 6],
      ],
      2: [
        [0, 7],
        [1, 8],
      ],
    })
  })

  it('uncertainties: own unit, percent, none; diameters halve theirs', () => {
    const sigma = (text: string) => {
      const result = readText(text, 'a.csv')
      if (!result.ok) throw new Error(result.problems[0]!.message)
      return Array.from(result.curves[0]!.uncertainty!, (u) => Number((u * 1e6).toPrecision(12)))
    }
    expect(sigma('t (s),R (mm),err (µm)\n0,5,100\n1,6,200\n')).toEqual([100, 200])
    expect(sigma('t (s),R (mm),uncertainty (%)\n0,5,2\n1,6,5\n')).toEqual([100, 300])
    expect(sigma('t (s),R (mm),sigma\n0,5,0.1\n1,6,\n')).toEqual([100, Number.NaN])
    expect(sigma('t (s),D (mm),± (mm)\n0,10,0.2\n1,12,0.4\n')).toEqual([100, 200])
    expect(sigma('t (s),R (mm),dR (mm)\n0,5,.1\n1,6,.2\n')).toEqual([100, 200])
    // A share of nothing is no uncertainty.
    expect(sigma('t (s),R (mm),uncertainty (%)\n0,0,2\n1,6,5\n')).toEqual([Number.NaN, 300])
  })

  it('missing and infinite values are left out and listed with their lines', () => {
    const text = 't (s),R (mm)\n0,5\n1,NaN\n2,\n3,n/a\n4,Inf\n,7\n-Infinity,8\n7,9\n8,-\n'
    const result = readText(text, 'a.csv')
    expect(Object.values(data(result))).toEqual([
      [
        [0, 5],
        [7, 9],
      ],
    ])
    expect(result.ok && result.skipped).toEqual([
      { line: 3, last: 5, reason: 'no radius in "R (mm)"' },
      { line: 6, reason: 'the radius in "R (mm)" is not finite' },
      { line: 7, reason: 'no time for "R (mm)"' },
      { line: 8, reason: 'the time is not finite' },
      { line: 10, reason: 'no radius in "R (mm)"' },
    ])
  })

  it('uncertainties find their radius by name or by place, or are left out with a warning', () => {
    const read = (text: string) => {
      const result = readText(text, 'a.csv')
      if (!result.ok) throw new Error(result.problems[0]!.message)
      const sigmas = result.curves.map(
        (c) => c.uncertainty && Array.from(c.uncertainty, (u) => Math.round(u * 1e6)),
      )
      return [sigmas, result.warnings.join()] as const
    }
    const rows = (header: string, row: string) => `${header}\n0,${row}\n1,${row}\n`
    const apart = [
      [1000, 1000],
      [2000, 2000],
    ]
    expect(read(rows('t (s),R1 (mm),err (mm),R2 (mm),err (mm)', '5,1,6,2'))).toEqual([apart, ''])
    expect(read(rows('t (s),R1 (mm),R2 (mm),err R1 (mm),err R2 (mm)', '5,6,1,2'))).toEqual([apart, ''])
    expect(read(rows('t (s),R 40 % (mm),R 50 % (mm),σ 50 % (mm),σ 40 % (mm)', '5,6,2,1'))).toEqual([
      apart,
      '',
    ])
    for (const header of ['err (mm),err (mm)', 'err first (mm),err second (mm)']) {
      const [sigmas, warning] = read(rows(`t (s),R1 (mm),R2 (mm),${header}`, '5,6,1,2'))
      expect(sigmas).toEqual([undefined, undefined])
      expect(warning).toMatch(/not clear which radius/)
    }
    expect(read(rows('t (s),R1 (mm),R2 (mm),err (mm)', '5,6,1'))[0]).toEqual([undefined, undefined])
  })

  it('a running number is not a name', () => {
    expect(Object.values(data(readText('No.,t (s),R (mm)\n1,0,5\n2,0.5,6.25\n', 'a.csv')))).toEqual([TWO])
  })

  it('halving of diameters, sorting, clock times and columns left out are said', () => {
    const warnings = (text: string, choices: Choices = {}) => {
      const result = readText(text, 'a.csv', choices)
      return result.ok ? result.warnings.join('\n') : 'refused'
    }
    expect(warnings('t (s),diameter (mm)\n0,5\n1,6\n')).toMatch(/"diameter \(mm\)".*halved/)
    expect(warnings('t (s),R (mm)\n1,5\n0,6\n', { sort: true })).toMatch(/sorted/)
    expect(warnings('t (s),R (mm)\n0:00:01,5\n0:00:02,6\n')).toMatch(/hours:minutes:seconds/)
    expect(warnings('t (s),R (mm),speed (mm/s)\n0,5,1\n1,6,1\n')).toMatch(/"speed \(mm\/s\)"/)
    expect(warnings('t (s),R (mm),err\n0,5,1\n1,6,1\n')).toMatch(/"err" has no unit/)
    expect(warnings('t (s),R (mm)\n0,5\n1,6\n')).toBe('')
  })

  it('a comment line in the data and lines above the header are listed', () => {
    const result = readText('Bench 3,\nt (s),R (mm)\n0,5\n# 0.2,5.5\n1,6\n', 'a.csv')
    expect(result.ok && result.skipped).toEqual([
      { line: 1, reason: 'above the header' },
      { line: 4, reason: 'comment' },
    ])
  })

  it('the same table has the same id, another one another', () => {
    const id = (text: string) => {
      const result = readText(text, 'a.csv')
      return result.ok ? result.curves[0]!.id : ''
    }
    expect(id('t (s),R (mm)\n0,5\n1,6\n')).toBe(id('t (ms);R (mm)\n0;5\n1000;6\n'))
    expect(id('t (s),R (mm)\n0,5\n1,6\n')).not.toBe(id('t (s),R (mm)\n0,5\n1,6.1\n'))
  })
})

describe('tables that are refused, with line and column where there is one', () => {
  const bad: [string, string, ...RegExp[]][] = [
    ['empty', '', /file is empty/],
    ['blanks and line ends only', ' \n\r\n \t \n', /no rows of data/],
    ['comments only', '# nothing\n% here\n', /no rows of data/],
    ['header only', 'time (s),radius (mm)\n', /no rows of data below the header/],
    ['one row', 'time (s),radius (mm)\n0,5\n', /Only one row/, /at least two/],
    ['one usable row', 'time (s),radius (mm)\n0,5\n1,NaN\n', /Only one row/],
    ['no usable row', 'time (s),radius (mm)\n0,NaN\n1,NaN\n', /No row has both a time and a radius/],
    ['one column', 'radius (mm)\n5\n6\n', /Only one column|No column of times/],
    [
      'text in a number column',
      'time (s),radius (mm)\n0,5\n1,large\n',
      /line 3, column 2 \(radius \(mm\)\): "large"/,
    ],
    [
      'text in the time column',
      'time (s),radius (mm)\nstart,5\n1,6\n',
      /line 2, column 1 \(time \(s\)\): "start"/,
    ],
    [
      'text behind a quoted header of two lines',
      '"time\n(s)","radius\n(mm)"\n0,5\nx,6\n',
      /line 5, column 1/,
    ],
    [
      'unit inside the cells',
      'time (s),radius (mm)\n0,5 mm\n1,6 mm\n',
      /line 2, column 2/,
      /unit in the header/,
    ],
    ['percent inside the cells', 'time (s),radius (mm),err (%)\n0,5,2 %\n1,6,2 %\n', /line 2, column 3/],
    [
      'date and time',
      'time (s),radius (mm)\n2031-05-01 10:00:01,5\n2031-05-01 10:00:02,6\n',
      /line 2, column 1/,
      /looks like a date/,
    ],
    ['dates of spreadsheets', 'time (s),radius (mm)\n01.05.2031,5\n02.05.2031,6\n', /looks like a date/],
    [
      'radius turned into a date',
      'time (s);radius (mm)\n0;5,2\n1;06. Mai\n',
      /line 3, column 2/,
      /looks like a date/,
    ],
    [
      'clock times that may be hours and minutes',
      'time (s),radius (mm)\n00:01,5\n00:02,6\n',
      /line 2, column 1/,
      /hours:minutes/,
    ],
    [
      'clock times mixed with seconds',
      'time (s),radius (mm)\n00:01.5,5\n2,6\n',
      /line 3, column 1/,
      /different ways/,
    ],
    ['clock times of two kinds', 'time (s),radius (mm)\n0:00:01,5\n00:02.5,6\n', /line 3, column 1/],
    ['seconds beyond 59', 'time (s),radius (mm)\n00:01.5,5\n00:75.5,6\n', /line 3, column 1/, /59/],
    [
      'unknown length unit',
      'time (s),radius (furlong)\n0,5\n1,6\n',
      /column 2/,
      /"furlong"/,
      /mm, cm, m, µm/,
    ],
    ['megametres', 'time (s),radius (Mm)\n0,5\n1,6\n', /"Mm"/],
    ['unknown time unit', 'time (fortnight),radius (mm)\n0,5\n1,6\n', /column 1/, /"fortnight"/, /ms, min/],
    ['radius already scaled', 'time (s),R/R_max\n0,0.5\n1,0.6\n', /"R_max"/],
    ['unknown unit of the uncertainty', 'time (s),R (mm),err (ell)\n0,5,1\n1,6,1\n', /column 3/, /"ell"/],
    ['unsorted times', 'time (s),radius (mm)\n0,5\n2,6\n1,7\n', /line 4 is earlier than line 3/],
    ['times going backwards', 'time (s),radius (mm)\n2,5\n1,6\n0,7\n', /line 3 is earlier than line 2/],
    [
      'two runs one below the other',
      'time (s),radius (mm)\n0,5\n1,6\n0,5\n1,6\n',
      /line 4 is earlier/,
      /Several runs/,
    ],
    ['repeated time', 'time (s),radius (mm)\n0,5\n1,6\n1,7\n2,8\n', /Lines 3 and 4 have the same time/],
    ['negative radius', 'time (s),radius (mm)\n0,5\n1,-6\n', /line 3, column 2/, /cannot be negative/],
    [
      'negative diameter',
      'time (s),diameter (mm)\n0,5\n1,-6\n',
      /line 3, column 2/,
      /diameter cannot be negative/,
    ],
    ['uncertainty of zero', 'time (s),radius (mm),err (mm)\n0,5,0\n1,6,1\n', /line 2, column 3/, /above 0/],
    ['infinite uncertainty', 'time (s),radius (mm),err (mm)\n0,5,1\n1,6,inf\n', /line 3, column 3/, /finite/],
    ['a volume of nothing', 't (s),R (mm),volume (uL)\n0,5,0\n1,6,\n', /line 2, column 3/, /above 0/],
    ['a point used or not', 't (s),R (mm),used\n0,5,1\n1,6,maybe\n', /line 3, column 3/, /1 .* or 0/],
    [
      'a bath without depth',
      't (s),R (mm),bath depth (mm)\n0,5,0\n1,6,\n',
      /line 2, column 3/,
      /depth is above 0/,
    ],
    ['negative uncertainty', 'time (s),radius (mm),err (mm)\n0,5,1\n1,6,-1\n', /line 3, column 3/],
    [
      'decimal commas between commas',
      'time (s),radius (mm)\n0,5,6,25\n1,0,7,5\n',
      /line 2/,
      /4 cells, the header 2/,
      /semicolons/,
    ],
    ['decimal commas between commas, later', 'time (s),radius (mm)\n0,5\n0,5,6,25\n', /line 3/],
    [
      'decimal commas between commas, no header',
      '0,0,5,0\n0,5,6,2\n',
      /decimal marks and separators at once/,
    ],
    ['points and commas mixed', 'time (s);radius (mm)\n0.5;5\n1.5;6,25\n', /line 3, column 2/, /mixed/],
    [
      'thousands or decimal',
      'time (s);radius (µm)\n0;5,123\n1;6,250\n',
      /line 2, column 2/,
      /decimal fraction or a number with a thousands/,
    ],
    ['thousands or decimal, point', 'time (s);radius (µm)\n0,5;5.123\n1,5;6.250\n', /line 2, column 2/],
    ['wrong groups of thousands', 'time (s);radius (µm)\n0;50,12,300\n1;6\n', /line 2, column 2/],
    ['two decimal points', 'time (s),radius (mm)\n0,5.1.2\n1,6\n', /line 2, column 2/],
    ['letter O for zero', 'time (s),radius (mm)\n0,5\n1,6.O\n', /line 3, column 2/],
    ['hexadecimal', 'time (s),radius (mm)\n0,0x10\n1,6\n', /line 2, column 2/],
    ['formula', 'time (s),radius (mm)\n0,=1+4\n1,6\n', /line 2, column 2/],
    ['spreadsheet error', 'time (s),radius (mm)\n0,#REF!\n1,6\n', /line 2, column 2/],
    ['comparison sign', 'time (s),radius (mm)\n0,<5\n1,6\n', /line 2, column 2/],
    ['two numbers in a cell', 'time (s),radius (mm)\n0,5 6\n1,6\n', /line 2, column 2/],
    ['value with its error in a cell', 'time (s),radius (mm)\n0,5±0.1\n1,6±0.1\n', /line 2, column 2/],
    ['quotation mark that never closes', 'time (s),radius (mm)\n0,5\n1,"6\n2,7\n', /line 3/, /never closes/],
    [
      'text behind a closing quotation mark',
      'time (s),radius (mm)\n0,"5"6\n1,6\n',
      /line 2/,
      /closing quotation mark/,
    ],
    ['unpaired quotation mark in the header', '"time (s),radius (mm)\n0,5\n1,6\n', /line 1/, /never closes/],
    [
      'repeated header in the middle',
      'time (s),radius (mm)\n0,5\n1,6\ntime (s),radius (mm)\n2,7\n',
      /line 4, column 1/,
    ],
    ['mean at the foot', 'time (s),radius (mm)\n0,5\n1,6\nmean,5.5\n', /line 4, column 1/],
    ['remark at the foot', 'time (s),radius (mm)\n0,5\n1,6\nmeasured by bench 3\n', /line 4, column 1/],
    ['no radius column', 'time (s),remark\n0,good\n1,bad\n', /No column of radii/],
    ['words only', 'the drop spread\nand then it vanished\n', /No column of times/],
    ['one long line', `time (s)${',radius (mm)'.repeat(500)}\n`, /501 columns/, /200/],
    ['millimetres called metres', 'time (s),radius (m)\n0,5\n1,25\n', /would be 25 m/, /check the unit/],
    ['web page', '<!DOCTYPE html>\n<html><body>time,radius</body></html>', /web page/],
    ['JSON', '{"time":[0,1],"radius":[5,6]}', /JSON/],
    ['XML', '<?xml version="1.0"?><table/>', /XML/],
    ['rich text', '{\\rtf1 time radius}', /rich-text/],
    ['zero frame rate', 'frame (0 fps),radius (mm)\n0,5\n1,6\n', /frames/],
    [
      'alcohol fraction beyond 1',
      't (s),R (mm),alcohol mass fraction\n0,5,40\n1,6,40\n',
      /line 2, column 3/,
      /between 0 and 1/,
    ],
    [
      'alcohol fraction that changes',
      't (s),R (mm),alcohol mass fraction\n0,5,0.4\n1,6,0.5\n',
      /line 3, column 3/,
      /same in all rows/,
    ],
  ]

  it.each(bad)('%s', (_, text, ...patterns) => refused(readTable(utf8(text), 'bench.csv'), ...patterns))

  it('more than sixty malformed tables are tried', () => expect(bad.length).toBeGreaterThanOrEqual(60))

  it('a frame rate that is no rate', () => {
    for (const framesPerSecond of [0, -25, Number.NaN, Infinity]) {
      refused(readText('frame,R (mm)\n0,5\n1,6\n', 'a.csv', { framesPerSecond }), /frame rate/)
    }
  })

  it('many bad cells give a short list and a count', () => {
    const rows = Array.from({ length: 500 }, (_, i) => `${i},x${i}`).join('\n')
    const result = readText(`time (s),radius (mm)\n${rows}\n`, 'a.csv')
    refused(result, /line 2, column 2/, /480 more/)
    expect(!result.ok && result.problems.length).toBeLessThan(30)
  })

  it('binary files say what they seem to be', () => {
    const start = (...bytes: number[]) => Uint8Array.from([...bytes, ...new Array(64).fill(0), 1, 2, 3])
    const letters = (text: string) => Array.from(text, (c) => c.charCodeAt(0))
    const kinds: [Uint8Array, RegExp][] = [
      [start(0x89, ...letters('PNG\r\n\x1a\n')), /PNG/],
      [start(0xff, 0xd8, 0xff, 0xe0), /JPEG/],
      [start(...letters('GIF89a')), /GIF/],
      [start(...letters('PK\x03\x04')), /spreadsheet workbook/],
      [start(0xd0, 0xcf, 0x11, 0xe0), /old spreadsheet/],
      [start(...letters('%PDF-1.7\n')), /PDF/],
      [start(0x1f, 0x8b, 8), /gzip/],
      [start(0, 0, 0, 0x20, ...letters('ftypisom')), /MP4/],
      [start(0x1a, 0x45, 0xdf, 0xa3), /WebM/],
      [start(...letters('RIFF....AVI ')), /AVI/],
      [start(...letters('BM')), /BMP/],
      [start(0xff, 0xfe, 0, 0), /UTF-32/],
      [start(...letters('time,radius\n0,5\n')), /binary/],
      [Uint8Array.from({ length: 5000 }, (_, i) => (i * 7919 + 13) % 256 || 1), /binary/],
      [Uint8Array.of(0xff, 0xfe, 0x41), /binary/],
    ]
    for (const [bytes, pattern] of kinds) refused(readTable(bytes, 'x.csv'), pattern)
  })

  it('50 MB are refused before they are looked at: size and limit are named', () => {
    refused(readTable(new Uint8Array(50_000_000), 'big.csv'), /big\.csv/, /50 MB/, /limit is 40 MB/)
  })
})

describe('questions', () => {
  const needs = (text: string, choices: Choices = {}) => {
    const result = readText(text, 'a.csv', choices)
    return result.ok ? 'ok' : { ...result.needs, askOnly: result.askOnly }
  }

  it('missing units, likeliest first', () => {
    expect(needs('t,R\n0,5\n9,25\n')).toEqual({
      timeUnit: ['s', 'ms', 'min', 'frame'],
      radiusUnit: ['mm', 'cm', 'm', 'µm', 'px'],
      askOnly: true,
    })
    const result = readText('t,R\n0,5000\n9000,25000\n', 'a.csv')
    expect(!result.ok && result.needs?.timeUnit?.[0]).toBe('ms')
    expect(!result.ok && result.needs?.radiusUnit?.[0]).toBe('µm')
    expect(needs('t (s),R\n0,5\n9,25\n', { radiusUnit: 'mm' })).toBe('ok')
  })

  it('answers to all questions give the data', () => {
    const text = 'a;b\n0;5,123\n1;6,250\n'
    expect(needs(text)).toMatchObject({
      timeUnit: expect.anything(),
      radiusUnit: expect.anything(),
      askOnly: true,
    })
    const answers: Choices = { timeUnit: 's', radiusUnit: 'mm', decimalMark: ',' }
    expect(Object.values(data(readText(text, 'a.csv', answers)))).toEqual([
      [
        [0, 5.123],
        [1, 6.25],
      ],
    ])
    const point: Choices = { ...answers, radiusUnit: 'µm', decimalMark: '.' }
    expect(Object.values(data(readText(text, 'a.csv', point)))).toEqual([
      [
        [0, 5.123],
        [1, 6.25],
      ],
    ])
  })

  it('the frame rate, with the rate a comment mentions', () => {
    const result = readText('# camera: 50 fps\nframe,R (mm)\n0,5\n1,6\n', 'a.csv')
    expect(!result.ok && result.needs).toEqual({ framesPerSecond: { guess: 50 } })
  })

  it('columns that are not named as radius', () => {
    expect(needs('t (s),height (mm)\n0,5\n1,6\n')).toEqual({ columns: true, askOnly: true })
    const columns = [
      { index: 0, role: 'time' as const },
      { index: 1, role: 'radius' as const },
    ]
    expect(needs('t (s),height (mm)\n0,5\n1,6\n', { columns, timeUnit: 's', radiusUnit: 'mm' })).toBe('ok')
    expect(needs('t (s),height (mm)\n0,5\n1,6\n', { columns })).toMatchObject({
      timeUnit: ['s', 'ms', 'min', 'frame'],
    })
  })

  it('an area is not taken for a radius because its unit was asked for', () => {
    for (const title of ['area', 'volume (mm³)', 'film (mm²)']) {
      const text = `t (s),${title}\n0,5\n1,6\n`
      expect(needs(text), title).toMatchObject({ columns: true })
      expect(needs(text, { radiusUnit: 'mm' }), title).toMatchObject({ columns: true })
    }
    const area = readText('t (s),area (mm²)\n0,5\n1,6\n', 'a.csv', { radiusUnit: 'mm' })
    expect(area.ok && area.curves[0]!.radius[1]! * 1e3).toBeCloseTo(Math.sqrt(6 / Math.PI), 12)
  })

  it('columns without telling names', () => {
    const text = 'x,y\n0,5\n1,6\n'
    expect(needs(text)).toMatchObject({
      timeUnit: expect.anything(),
      radiusUnit: expect.anything(),
      askOnly: true,
    })
    expect(needs(text, { timeUnit: 's', radiusUnit: 'mm' })).toBe('ok')
  })

  it('a unit that is not credible can be corrected or confirmed', () => {
    const text = 't (s),R (m)\n0,0.5\n1,1.5\n'
    expect(needs(text)).toMatchObject({ askOnly: true, radiusUnit: expect.anything() })
    expect(Object.values(data(readText(text, 'a.csv', { radiusUnit: 'mm' })))).toEqual([
      [
        [0, 0.5],
        [1, 1.5],
      ],
    ])
    const kept = readText(text, 'a.csv', { radiusUnit: 'm' })
    expect(Object.values(data(kept))).toEqual([
      [
        [0, 500],
        [1, 1500],
      ],
    ])
    expect(kept.ok && kept.warnings.join()).toMatch(/check the unit/)
  })

  it('a text that is wrong anyway is reported together with the questions', () => {
    const result = readText('t,R\n0,5\n1,big\n', 'a.csv')
    refused(result, /unit of the time is missing/, /line 3, column 2 \(R\): "big"/)
    expect(!result.ok && result.askOnly).toBe(false)
  })

  it('a preview has header, first rows and roles', () => {
    const result = readText('run;t (s);R (mm)\na;0;5\na;1;6\n', 'a.csv')
    expect(result.ok && result.preview).toEqual({
      header: ['run', 't (s)', 'R (mm)'],
      rows: [
        ['a', '0', '5'],
        ['a', '1', '6'],
      ],
      lines: [2, 3],
      columns: [
        { index: 0, role: 'series' },
        { index: 1, role: 'time', unit: 's' },
        { index: 2, role: 'radius', unit: 'mm' },
      ],
      headerLine: 1,
      first: [
        { line: 1, cells: ['run', 't (s)', 'R (mm)'] },
        { line: 2, cells: ['a', '0', '5'] },
        { line: 3, cells: ['a', '1', '6'] },
      ],
      separator: ';',
      doubts: [],
    })
  })

  it('a title that could be meant otherwise is said, and marked for the page to show', () => {
    const unsure = (text: string) => {
      const result = readText(text, 'a.csv')
      return result.ok ? [result.unsure, result.warnings.join()] : ['refused']
    }
    expect(unsure('t_min,R_mm\n0,5\n1,6\n')).toEqual([
      true,
      expect.stringMatching(/"t_min" was read as minutes/),
    ])
    expect(unsure('t (s),R_m\n0,.005\n1,.006\n')).toEqual([
      true,
      expect.stringMatching(/"R_m" was read as metres/),
    ])
    for (const header of [
      't_s,R_mm',
      't (min),R (mm)',
      't/min,R/m',
      'time in min,R in m',
      'time,radius\nmin,m',
    ]) {
      expect(unsure(`${header}\n0,.005\n1,.006\n`), header).toEqual([false, ''])
    }
  })

  it('the header row, the separator and rows to be left out can be said', () => {
    const text = 'bench 3;first\nt (s);R (mm)\n0;5\n0,5;6,25\n'
    const numbers = (choices: Choices, of = text) => Object.values(data(readText(of, 'a.csv', choices)))[0]
    expect(numbers({})).toEqual(TWO)
    expect(numbers({ headerLine: 2, separator: ';' })).toEqual(TWO)
    const swapped = 't (ms);R (cm)\nt (s);R (mm)\n0;5\n0,5;6,25\n'
    expect(numbers({ headerLine: 2 }, swapped)).toEqual(TWO)
    refused(readText(swapped, 'a.csv', { headerLine: 1 }), /line 2, column 1/)
    const headless: Choices = { headerLine: 0, timeUnit: 's', radiusUnit: 'mm' }
    expect(numbers(headless, '0;5\n0,5;6,25\n')).toEqual(TWO)
    refused(readText(text, 'a.csv', { separator: '\t' }), /one column|No column/i)
    refused(
      readText(text, 'a.csv', { headerLine: 77, timeUnit: 's', radiusUnit: 'mm' }),
      /No column of times/,
    )
  })

  it('rows whose cells hold no numbers can be left out, each with its line and reason', () => {
    const text = 't (s),R (mm)\n0,5\nlamp on,\n0.5,6.25\nmean,5.6\n'
    const asked = readText(text, 'a.csv')
    refused(asked, /line 3, column 1 \(t \(s\)\): "lamp on"/)
    expect(!asked.ok && [asked.needs, asked.askOnly]).toEqual([{ skipBad: true }, false])
    const result = readText(text, 'a.csv', { skipBad: true })
    expect(Object.values(data(result))).toEqual([TWO])
    expect(result.ok && result.skipped).toEqual([
      { line: 3, reason: '"lamp on": a number is wanted here' },
      { line: 5, reason: '"mean": a number is wanted here' },
    ])
    const mixed = 't (s);R (mm)\n0.5;5\n1.5;6,25\n'
    refused(readText(mixed, 'a.csv', { skipBad: true }), /mixed in this table/)
    const clocks = 'time (s),radius (mm)\n00:01.5,5\n2,6\n'
    refused(readText(clocks, 'a.csv', { skipBad: true }), /different ways/)
  })
})

describe('size', () => {
  it('a million rows are read', () => {
    const rows = ['time (s),radius (mm)']
    for (let i = 0; i < 1_000_000; i++)
      rows.push(`${(i / 1000).toFixed(3)},${(5 + (i % 1000) / 100).toFixed(2)}`)
    const result = readTable(utf8(rows.join('\n')), 'long.csv')
    expect(result.ok && result.curves[0]!.time.length).toBe(1_000_000)
    expect(result.ok && result.curves[0]!.time[999_999]).toBe(999.999)
    expect(result.ok && result.curves[0]!.radius[999_999]).toBe(14.99 / 1000)
  })

  it('a hundred thousand names of one row each end with a message', () => {
    const rows = Array.from({ length: 100_000 }, (_, i) => `run${i};${i};5`).join('\n')
    refused(readText(`run;t (s);R (mm)\n${rows}\n`, 'a.csv'), /Only one row/)
  })
})
