/**
 * Workbooks: message or the right data, never wrong data. Moments are days since the origin of the calendar: ISO/IEC 29500-1,
 * 18.17.4; formats: 18.8.30. Tables are invented (Harbour Lane evening school, bench 3).
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { zipSync } from 'fflate'
import { afterAll, describe, expect, it } from 'vitest'
import { loadCurves } from '../../src/cli/load.ts'
import { writeCurvesFile } from '../../src/measured/curvesFile.ts'
import { readTable, readText } from '../../src/measured/read.ts'
import type { Choices, MeasuredCurve } from '../../src/measured/types.ts'
import { readWorkbook } from '../../src/measured/workbook.ts'
import { type TestSheets, workbook, workbookParts } from '../fixtures/workbooks.ts'

const folder = mkdtempSync(join(tmpdir(), 'rimtide-workbook-'))
afterAll(() => rmSync(folder, { recursive: true }))

async function sheetsOf(bytes: Uint8Array) {
  const result = await readWorkbook(bytes, 'bench.xlsx')
  if (!result.ok) throw new Error(result.problems.map(({ message }) => message).join())
  return result.sheets
}

/** The curves of the first sheet as numbers, s and mm, or what was said. */
async function read(bytes: Uint8Array, choices: Choices = {}): Promise<[number, number][][] | string> {
  const book = await readWorkbook(bytes, 'bench.xlsx')
  if (!book.ok) return book.problems.map(({ message }) => message).join('\n')
  const result = readText(book.sheets[0]!.text, 'bench.xlsx', { separator: '\t', ...choices })
  if (!result.ok) return result.problems.map(({ where, message }) => `${where}: ${message}`).join('\n')
  return result.curves.map(({ time, radius }) =>
    Array.from(time, (t, i): [number, number] => [t, Number((1e3 * radius[i]!).toPrecision(12))]),
  )
}

const TWO = [
  [0, 5],
  [0.5, 6.25],
]
const DAY = 86_400
const HEAD = ['time (s)', 'radius (mm)']

describe('workbooks that are read', () => {
  const good: [string, TestSheets, Choices?, (readonly string[])?][] = [
    ['numbers', { A: [HEAD, [0, 5], [0.5, 6.25]] }],
    [
      'formulas give their last result',
      { A: [HEAD, [0, { f: '10/2', v: 5 }], [{ f: 'A2+0.5', v: 0.5 }, 6.25]] },
    ],
    [
      'a formula that gives text',
      {
        A: [
          [{ f: 'CONCATENATE(1)', v: 'time (s)' }, HEAD[1]!],
          [0, 5],
          [0.5, 6.25],
        ],
      },
    ],
    ['numbers kept as text', { A: [HEAD, ['0', '5'], ['0.5', '6.25']] }],
    ['text with decimal commas', { A: [HEAD, ['0,0', '5,0'], ['0,5', '6,25']] }],
    ['minutes and seconds', { A: [HEAD, [{ v: 0, s: 1 }, 5], [{ v: 0.5 / DAY, s: 1 }, 6.25]] }],
    [
      'a format of one’s own for durations',
      { A: [HEAD, [{ v: 0, s: 2 }, 5], [{ v: 0.5 / DAY, s: 2 }, 6.25]] },
    ],
    ['a unit in the format of numbers', { A: [HEAD, [{ v: 0, s: 4 }, 5], [{ v: 0.5, s: 4 }, 6.25]] }],
    ['titles above, empty rows between', { A: [['Bench 3'], [], HEAD, [], [0, 5], [], [0.5, 6.25]] }],
    [
      'empty columns',
      {
        A: [
          [null, ...HEAD],
          [null, 0, 5],
          [null, 0.5, 6.25],
        ],
      },
    ],
    [
      'units in a second row',
      {
        A: [
          ['time', 'radius'],
          ['s', 'mm'],
          [0, 5],
          [0.5, 6.25],
        ],
      },
    ],
    [
      'units in a second row, with #',
      {
        A: [
          ['t', 'R'],
          ['#', 'px'],
          [0, 50],
          [5, 62.5],
        ],
      },
      { framesPerSecond: 10, millimetresPerPixel: 0.1 },
    ],
    [
      'areas',
      {
        A: [
          ['time (s)', 'area (mm²)'],
          [0, 25 * Math.PI],
          [0.5, 6.25 ** 2 * Math.PI],
        ],
      },
    ],
    [
      'a cell with tabs and line ends',
      {
        A: [
          ['time\n(s)', 'radius\t(mm)'],
          [0, 5],
          [0.5, 6.25],
        ],
      },
    ],
    [
      'a quotation mark',
      {
        A: [
          [...HEAD, 'note'],
          [0, 5, '"so'],
          [0.5, 6.25, 'a "b"'],
        ],
      },
    ],
    ['merged names above the columns', { A: [['run 1', null], HEAD, [0, 5], [0.5, 6.25]] }, {}, ['A1:B1']],
    [
      'letters of other alphabets, < and &',
      {
        A: [
          ['Zeit (s)', 'Radius (mm)', 'a<b & c'],
          [0, 5, 'é'],
          [0.5, 6.25, 'µ'],
        ],
      },
    ],
    [
      'an error that leaves a row out',
      { A: [HEAD, [0, 5], [0.2, { t: 'e', f: '1/0', v: '#DIV/0!' }], [0.5, 6.25]] },
    ],
    ['very exact numbers', { A: [HEAD, [0, 5], [0.5, '6.2500000000000000001']] }],
    ['more sheets, empty ones', { A: [HEAD, [0, 5], [0.5, 6.25]], B: [], C: [[null]] }],
  ]

  it.each(good)('%s', async (_, sheets, choices, merged = []) => {
    expect(await read(workbook(sheets, { merged }), choices)).toEqual([TWO])
  })

  it('a merged name of a series is that of the rows below it', async () => {
    const rows = [
      ['run', ...HEAD],
      ['a', 0, 5],
      [null, 0.5, 6.25],
      ['b', 0, 3],
      [null, 1, 4],
    ]
    const curves = await read(workbook({ A: rows }, { merged: ['A2:A3', 'A4:A5'] }))
    expect(curves).toEqual([
      TWO,
      [
        [0, 3],
        [1, 4],
      ],
    ])
  })

  it('moments to a millisecond and below, whatever the last digits of the days', async () => {
    for (const seconds of [5.5, 5.499, 0.001, 59.9, 3599.875, 86_400.25, 0.0333]) {
      const text = (
        await sheetsOf(workbook({ A: [HEAD, [{ v: 0, s: 1 }, 5], [{ v: seconds / DAY, s: 1 }, 6]] }))
      )[0]!.text
      const made = readText(text, 'a', { separator: '\t' })
      expect(made.ok && made.curves[0]!.time[1], String(seconds)).toBeCloseTo(seconds, 9)
    }
  })

  it('a day is a day in both calendars, and no time', async () => {
    // 2026-11-29 is day 46355 (1900) and 44893 (1904): days since 1970-01-01 and 25569, 24107.
    const day = Date.UTC(2026, 10, 29) / 864e5
    for (const from1904 of [false, true]) {
      const v = day + (from1904 ? 25_569 - 1462 : 25_569)
      const [sheet] = await sheetsOf(
        workbook(
          {
            A: [
              [...HEAD, 'date_iso8601'],
              [0, 5, { v, s: 3 }],
              [1, 6, { v, s: 3 }],
            ],
          },
          { from1904 },
        ),
      )
      const made = readText(sheet!.text, 'a', { separator: '\t' })
      expect(made.ok && made.curves[0]!.meta.date).toBe('2026-11-29')
    }
    expect(
      await read(workbook({ A: [HEAD, [{ v: 46_355.4, s: 3 }, 5], [{ v: 46_355.5, s: 3 }, 6]] })),
    ).toMatch(/looks like a date/)
  })
})

describe('workbooks that are not read', () => {
  const whole = workbook({ A: [HEAD, [0, 5], [0.5, 6.25]] })
  const parts = workbookParts({ A: [HEAD, [0, 5]] })
  const without = (path: string) =>
    zipSync(Object.fromEntries(Object.entries(parts).filter(([key]) => key !== path)))
  const damaged = (part: string, from: string, to: string) =>
    zipSync({
      ...parts,
      [part]: new TextEncoder().encode(new TextDecoder().decode(parts[part]).replace(from, to)),
    })
  const bad: [string, Uint8Array, RegExp][] = [
    ['cut off', whole.slice(0, whole.length / 2), /damaged or cut off/],
    ['only its beginning', whole.slice(0, 30), /damaged or cut off/],
    ['another archive', zipSync({ 'a.txt': Uint8Array.of(1) }), /no workbook/],
    ['another office document', zipSync({ 'content.xml': Uint8Array.of(60) }), /no workbook/],
    ['no cells', workbook({ A: [] }), /holds no cells/],
    ['a sheet is missing', without('xl/worksheets/sheet1.xml'), /cannot be read|holds no cells/],
    ['its list of parts is missing', without('xl/_rels/workbook.xml.rels'), /cannot be read/],
    [
      'a text that is not there',
      damaged('xl/worksheets/sheet1.xml', '<v>5</v>', '<v>5x</v>'),
      /cannot be read|a number is wanted/,
    ],
    ['only one column', workbook({ A: [['R (mm)'], [5], [6]] }), /Only one column/],
    ['words where numbers belong', workbook({ A: [HEAD, [0, 5], [1, 'big']] }), /a number is wanted/],
    ['a unit in the cell', workbook({ A: [HEAD, [0, '5 mm'], [1, '6 mm']] }), /unit in the header/],
    [
      'no units',
      workbook({
        A: [
          ['t', 'R'],
          [0, 5],
          [1, 6],
        ],
      }),
      /unit of the time is missing/,
    ],
    [
      'negative days as a moment',
      workbook({ A: [HEAD, [{ v: -1, s: 1 }, 5], [{ v: 0, s: 1 }, 6]] }),
      /a number is wanted/,
    ],
    ['times of two kinds', workbook({ A: [HEAD, [0, 5], [{ v: 1 / DAY, s: 1 }, 6]] }), /different ways/],
  ]
  it.each(bad)('%s', async (_, bytes, words) => {
    expect(await read(bytes)).toMatch(words)
  })

  it('one that would unpack to far more than it seems', async () => {
    // The size that the archive's directory states for its last part (ISO/IEC 21320-1, a ZIP file: 24 bytes into the entry).
    const zip = whole.slice()
    const entry = zip.findLastIndex((byte, i) => byte === 0x50 && zip[i + 2] === 1 && zip[i + 3] === 2)
    new DataView(zip.buffer).setUint32(entry + 24, 450_000_000, true)
    expect(await read(zip)).toMatch(/Unpacked/)
  })

  it('a digit that has changed on the way', async () => {
    // Not compressed, so that the digit stands in the archive as it is.
    const zip = zipSync(workbookParts({ A: [HEAD, [0, 5], [0.5, 6.25]] }), { level: 0 })
    expect(await read(zip)).toEqual([TWO])
    const text = new TextDecoder('latin1').decode(zip)
    const at = text.indexOf('<v>6.25</v>')
    expect(at).toBeGreaterThan(0)
    zip[at + 3] = '8'.charCodeAt(0)
    expect(await read(zip)).toMatch(/damaged/)
  })

  it('damage anywhere gives a message or the same data', async () => {
    // Every 7th byte turned: positions all over archive, directory and checks.
    for (let at = 4; at < whole.length; at += 7) {
      const bytes = whole.slice()
      bytes[at]! ^= 0x55
      const got = await read(bytes)
      if (typeof got !== 'string') expect(got, `byte ${at}`).toEqual([TWO])
    }
  })

  it('bytes of a workbook where a table of text is read say what they are', () => {
    const result = readTable(whole, 'a.csv')
    expect(!result.ok && result.problems[0]!.message).toMatch(/workbook/)
  })
})

describe('the command line', () => {
  const file = (name: string, bytes: Uint8Array | string) => {
    writeFileSync(join(folder, name), bytes)
    return join(folder, name)
  }
  const curves = async (path: string, choices: Choices = {}): Promise<MeasuredCurve[] | string> => {
    const made = await loadCurves(path, choices)
    return made.ok ? made.curves : made.messages.join('\n')
  }

  it('reads a workbook, and asks which sheet', async () => {
    const one = await curves(file('one.xlsx', workbook({ A: [HEAD, [0, 5], [0.5, 6.25]] })))
    expect(typeof one !== 'string' && one[0]!.name).toBe('one')
    const two = file(
      'two.xlsx',
      workbook({ 'run 60': [HEAD, [0, 5], [1, 6]], 'run 70.5': [HEAD, [0, 3], [1, 4]] }),
    )
    expect(await curves(two)).toMatch(/several sheets: "run 60", "run 70.5"\. Answer with --sheet/)
    expect(await curves(two, { sheet: 'x' })).toMatch(/no sheet "x"/)
    const second = await curves(two, { sheet: 'run 70.5' })
    expect(typeof second !== 'string' && [second[0]!.name, ...second[0]!.radius]).toEqual([
      'two (run 70.5)',
      0.003,
      0.004,
    ])
    expect(await curves(file('bad.xlsx', workbook({ A: [HEAD, [0, 5], [1, 'big']] })))).toMatch(
      /bad\.xlsx, line 3/,
    )
  })

  it('reads the file of curves that the page saves', async () => {
    const curve: MeasuredCurve = {
      id: 'a',
      name: 'run 1',
      file: 'bench.csv',
      time: Float64Array.of(0, 1),
      radius: Float64Array.of(0.005, 1 / 300),
      meta: { volume_uL: 10 },
    }
    expect(await curves(file('measured-curves.json', writeCurvesFile([curve])))).toEqual([curve])
    expect(await curves(file('wrong.json', writeCurvesFile([curve]).replace('0.005', 'x')))).toMatch(
      /wrong\.json.*Malformed/,
    )
    expect(await curves(file('other.json', '{"a": 1}'))).toMatch(/JSON/)
  })
})
