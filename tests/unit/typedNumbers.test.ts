/** Numbers as they are typed and shown. Closed forms; JCGM 100:2008 (GUM) 7.2.6 for value and error. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readCompare } from '../../src/cli/compareArgs.ts'
import { between, numberOption } from '../../src/cli/optionValues.ts'
import { readScaling } from '../../src/cli/scalingArgs.ts'
import { KEYS } from '../../src/life/keys.ts'
import { leafFromText } from '../../src/life/presetLeaf.ts'
import { readHeaderCell } from '../../src/measured/header.ts'
import { readNumbers } from '../../src/measured/numbers.ts'
import { readText } from '../../src/measured/read.ts'
import { metaOf } from '../../src/measured/video/series.ts'
import { hasDecimalComma, typedInBox, typedNumber } from '../../src/numerics/typedNumber.ts'
import { numberIn } from '../../src/page/fields.ts'
import { duration, plain, speedNumber, speedWords, withError } from '../../src/page/format.ts'
import { wantedOf } from '../../src/page/places/address.ts'
import { createSession, rateProblem, scaleOf } from '../../src/page/video/session.ts'
import { readStrength } from '../../src/plan/strength.ts'

/** What JavaScript's own Number() takes, or parseFloat cuts short, and nobody means. */
const none = [
  '0x32',
  '0b11',
  '0o7',
  '1e999',
  'Infinity',
  '12 mm',
  '1_000',
  '',
  ' ',
  '.',
  '1.2.3',
  '1,2,3',
  '1.000,5',
]

describe('a typed number', () => {
  it('is the same in every box and option', () => {
    const key = KEYS.find(({ path }) => path === 'drop.volume_uL')!
    for (const text of none) {
      expect([text, typedNumber(text)]).toEqual([text, Number.NaN])
      expect([text, numberIn(text)]).toEqual([text, Number.NaN])
      expect([text, leafFromText(key, text).ok]).toEqual([text, false])
      expect(() => numberOption('volume', text)).toThrow(/not a number/)
      expect(() => between('every', text, 0, 100)).toThrow(/Permitted/)
    }
    for (const [text, value] of [
      ['50', 50],
      [' 5e1 ', 50],
      ['+50.', 50],
      ['−50', -50],
      ['.5', 0.5],
    ] as const) {
      expect([typedNumber(text), numberIn(text), numberOption('volume', text)]).toEqual([value, value, value])
    }
  })
  it('may have a decimal comma in a box, which an option asks back', () => {
    expect([numberIn('50,5'), numberIn('0,05'), numberIn('5,e-3')]).toEqual([50.5, 0.05, 0.005])
    expect(hasDecimalComma('50,5') && !hasDecimalComma('1,234.5')).toBe(true)
    expect(() => between('every', '0,5', 0, 1)).toThrow(/Write it with a decimal point/)
    expect(() => numberOption('volume', '0,5')).toThrow(/Write it with a decimal point/)
  })
  it('is so in the lists of the command line and on the bench of recordings', () => {
    expect(() => readCompare(['a.json', 'b.csv', '--limit', 'bath.viscosity_mPas=0x10:90'])).toThrow(
      /KEY=LOW:HIGH/,
    )
    expect(() => readScaling(['a.json', '--strengths', '0x0,0.5'])).toThrow(/"0x0" is no mass fraction/)
    expect(metaOf('0x32', 'mass', '', '').ok).toBe(false)
    const session = createSession()
    session.setState({ recorded: '0x32' })
    expect(rateProblem(session.getState())).toMatch(/above 0/)
    expect(scaleOf({ ...session.getState(), knownLength: '' })).toBeNull()
  })
  it('reads back whatever is written of it', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (x) => {
        expect(typedNumber(String(x))).toBe(x === 0 ? 0 : x)
        expect(typedInBox(String(x).replace('.', ','))).toBe(x === 0 ? 0 : x)
      }),
    )
  })
})

/** A box, an option, a cell that is alone in its table, the rate in a remark above a table: NaN where it is no number. */
const readers = {
  box: typedInBox,
  option: typedNumber,
  cell(text: string): number {
    const { columns, bad, ambiguous } = readNumbers([[text]], [0], [])
    return bad.length > 0 || ambiguous ? Number.NaN : columns.get(0)![0]!
  },
  remark(text: string): number {
    const result = readText(`# camera: ${text} fps\nframe,R (mm)\n0,5\n1,6\n`, 'a.csv')
    return (!result.ok && result.needs?.framesPerSecond?.guess) || Number.NaN
  },
}

const no = Number.NaN
/** Decimal comma and thousands: common practice, no source. A remark has no sign and no powers of ten. */
const readings: [string, Record<keyof typeof readers, number>][] = [
  ['25', { box: 25, option: 25, cell: 25, remark: 25 }],
  ['29.97', { box: 29.97, option: 29.97, cell: 29.97, remark: 29.97 }],
  ['29,97', { box: 29.97, option: no, cell: 29.97, remark: 29.97 }],
  ['0,052', { box: 0.052, option: no, cell: 0.052, remark: 0.052 }],
  ['1,250', { box: 1.25, option: no, cell: no, remark: no }],
  ['1.250', { box: 1.25, option: 1.25, cell: 1.25, remark: 1.25 }],
  ['1,234,567', { box: no, option: no, cell: 1234567, remark: no }],
  ['1.234.567', { box: no, option: no, cell: 1234567, remark: no }],
  ['1.234,5', { box: no, option: no, cell: 1234.5, remark: no }],
  ['\u22125', { box: -5, option: -5, cell: -5, remark: 5 }],
  ['–5', { box: -5, option: -5, cell: -5, remark: 5 }],
  ['-5', { box: -5, option: -5, cell: -5, remark: 5 }],
  ['2e3', { box: 2000, option: 2000, cell: 2000, remark: no }],
  ['0x32', { box: no, option: no, cell: no, remark: no }],
  ['-5 %%', { box: no, option: no, cell: no, remark: no }],
  ['5 %', { box: no, option: no, cell: no, remark: no }],
  ['1.2.3', { box: no, option: no, cell: no, remark: no }],
]

describe('every reader of numbers', () => {
  it.each(readings)('%s', (text, wanted) => {
    for (const [name, read] of Object.entries(readers))
      expect([name, read(text)]).toEqual([name, wanted[name as keyof typeof readers]])
  })
  it('takes a scale in a remark whole', () => {
    const scaleIn = (remark: string) => {
      const result = readText(`# ${remark}\nt (s),R (px)\n0,30\n1,60\n`, 'a.csv')
      return !result.ok && result.needs?.millimetresPerPixel?.guess
    }
    expect([scaleIn('0,052 mm/px'), scaleIn('19,2 px/mm'), scaleIn('52 µm per pixel')]).toEqual([
      0.052,
      1 / 19.2,
      0.052,
    ])
  })
  it('takes a rate in a title whole', () => {
    const of = (title: string) => readHeaderCell(title).framesPerSecond
    expect([of('frame (29,97 fps)'), of('frame (29.97 fps)'), of('frame (1,000 fps)')]).toEqual([
      29.97,
      29.97,
      undefined,
    ])
  })
  it('takes the moment in an address as it is written', () => {
    expect(wantedOf('view.t=0x10').time).toBeUndefined()
    expect(wantedOf('view.t=12.5').time).toBe(12.5)
  })
  it('takes a strength with a true minus for what it is', () => {
    const read = readStrength('\u22125%vol', 'stock')
    expect(read).toEqual({ ok: true, strength: { by: 'volume', value: -5 } })
  })
})

describe('a shown number', () => {
  it('has the digits asked for where rounding carries over', () => {
    expect([plain(9.996), plain(99.96), plain(0.9996), plain(-9.996), plain(999.6)]).toEqual([
      '10.0',
      '100',
      '1.00',
      '−10.0',
      '1000',
    ])
    expect([duration(9.96), duration(9.94), duration(59.6)]).toEqual(['10 s', '9.9 s', '1 min'])
  })
  it('goes with its error to the same place, before the decimal point too', () => {
    const shown: [number, number, string][] = [
      [1234, 143, '1230 ± 140'],
      [1234, 43, '1230 ± 40'],
      [1234, 99.7, '1230 ± 100'],
      [1266, 960, '1300 ± 1000'],
      [24.63, 0.0996, '24.63 ± 0.10'],
      [24.63, 0.96, '24.6 ± 1.0'],
      [24.63, 1.96, '25 ± 2'],
      [9.996, 0.03, '10.00 ± 0.03'],
      [-0.004, 0.3, '0.0 ± 0.3'],
      [-3.4e-9, 2e-10, '−0.0000000034 ± 0.0000000002'],
      [5, Number.POSITIVE_INFINITY, '5.00'],
      [5, 0, '5.00'],
    ]
    expect(shown.map(([value, error]) => withError(value, error, ''))).toEqual(
      shown.map(([, , text]) => text),
    )
  })
  it('keeps the value within half a place of what it was', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e6, max: 1e6, noNaN: true }),
        fc.double({ min: 1e-6, max: 1e5, noNaN: true }),
        (value, error) => {
          const text = withError(value, error, '')
          if (!text.includes('±')) return
          const [v, e] = text.split(' ± ').map((part) => Number(part.replace('−', '-'))) as [number, number]
          expect(Math.abs(e - error)).toBeLessThanOrEqual(0.26 * error)
          expect(Math.abs(v - value)).toBeLessThanOrEqual(0.26 * error)
        },
      ),
    )
  })
  it('of a speed is never finer than the speed is computed', () => {
    expect([speedWords(-2e-9), speedWords(9e-7), speedWords(0), speedNumber(-2e-9)]).toEqual([
      'at rest',
      'at rest',
      'at rest',
      '0',
    ])
    expect([speedWords(0.0123), speedWords(-0.0123), speedWords(1.234e-6), speedWords(4.56e-5)]).toEqual([
      '12.3 mm/s',
      '−12.3 mm/s',
      '0.001 mm/s',
      '0.046 mm/s',
    ])
    expect([speedNumber(Number.NaN), speedNumber(9.996e-3), speedNumber(1.2345)]).toEqual([
      '–',
      '10.0',
      '1230',
    ])
  })
})
