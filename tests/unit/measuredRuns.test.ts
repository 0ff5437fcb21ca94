/** The table of runs, and repetitions: mean and standard deviation (closed forms; definition: GUM, JCGM 100:2008, 4.2.2). */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { deviationError, groupedCurves, meanCourse, unlikeWords } from '../../src/measured/replicates.ts'
import {
  blockCells,
  dayOf,
  layBlock,
  runFields,
  sigmaFieldOf,
  withChange,
} from '../../src/measured/runFields.ts'
import type { CurveMeta, MeasuredCurve } from '../../src/measured/types.ts'

const fields = runFields({ alcohols: ['ethanol'], oils: ['rapeseed-oil'] })
const at = (id: string) => fields.findIndex((field) => field.id === id)
const rows = (...metas: CurveMeta[]) => metas.map((meta, i) => ({ name: `run ${i + 1}`, meta }))

describe('cells of the table of runs', () => {
  it('read what they show, whatever is stated', () => {
    const meta = fc.record(
      {
        alcoholFraction: fc.integer({ min: 0, max: 1000 }).map((n) => n / 1000),
        fractionBasis: fc.constantFrom('mass' as const, 'volume' as const),
        volume_uL: fc.double({ min: 1e-3, max: 1e3, noNaN: true }).map((x) => Number(x.toPrecision(9))),
        startTime_s: fc.integer({ min: -999, max: 999 }).map((n) => n / 100),
        relativeHumidity: fc.integer({ min: 0, max: 100 }).map((n) => n / 100),
        date: fc.constant('2026-11-29'),
        group: fc.constant('a b'),
        oil: fc.constant('rapeseed-oil'),
      },
      { requiredKeys: ['alcoholFraction', 'fractionBasis'] },
    )
    fc.assert(
      fc.property(meta, (stated) => {
        const copy = fields.reduce<CurveMeta>((made, field) => {
          const read = field.read(field.show(stated), made)
          if (!read.ok) throw new Error(read.message)
          return withChange(made, read.change)
        }, {})
        expect({ fractionBasis: 'mass', ...copy }).toEqual(stated)
      }),
      { numRuns: 200 },
    )
  })

  it('say what is wrong and what is permitted', () => {
    const said = (id: string, text: string) => {
      const read = fields[at(id)]!.read(text, {})
      return read.ok ? '' : read.message
    }
    for (const text of ['140 %', '-5 %%', '-5', 'forty', '40 µL', '40 % wet'])
      expect(said('alcoholFraction', text)).toBe(
        `"${text}" cannot be used. Permitted: a number from 0 to 100 %.`,
      )
    for (const text of ['-2', '0', 'ten', '10 mm'])
      expect(said('volume_uL', text)).toBe(`"${text}" cannot be used. Permitted: a number above 0 µL.`)
    expect(said('depth_mm', '2 cm')).toMatch(/Permitted: a number above 0 mm\.$/)
    expect(said('temperature_C', '-300')).toMatch(/above −273\.15 °C and below 1000 °C\.$/)
    expect(said('relativeHumidity', '101')).toMatch(/a number from 0 to 100 %\.$/)
    expect(said('startTime_s', '1 min')).toMatch(/a number of s, of either sign\.$/)
    expect(said('date', '11/29/2026')).toMatch(/as 2026-11-29/)
    expect(said('fractionBasis', 'mole')).toMatch(/mass or volume/)
    const wrong = sigmaFieldOf('depth_mm')!.read('-1', {})
    expect(wrong.ok ? '' : wrong.message).toMatch(/Permitted: a number above 0 mm, or nothing/)
  })

  it('name the range that is really permitted: its ends are taken, what lies beyond is not', () => {
    const taken = (id: string, text: string) => fields[at(id)]!.read(text, {}).ok
    for (const [id, good, bad] of [
      ['alcoholFraction', ['0', '100', '100 %'], ['-0.1', '100.1']],
      ['relativeHumidity', ['0', '100'], ['-0.1', '100.1']],
      ['volume_uL', ['0.001'], ['0']],
      ['depth_mm', ['0.001'], ['0']],
      ['temperature_C', ['-273.1', '999.9', '25 °C'], ['-273.15', '1000']],
      ['startTime_s', ['-1e6', '0', '1e6 s'], ['soon']],
    ] as const) {
      for (const text of good) expect(taken(id, text), `${id} ${text}`).toBe(true)
      for (const text of bad) expect(taken(id, text), `${id} ${text}`).toBe(false)
    }
  })

  it('take the basis that a strength says', () => {
    const read = (text: string) => fields[at('alcoholFraction')]!.read(text, {})
    expect(read('40 vol%')).toEqual({ ok: true, change: { alcoholFraction: 0.4, fractionBasis: 'volume' } })
    expect(read('40 wt%')).toEqual({ ok: true, change: { alcoholFraction: 0.4, fractionBasis: 'mass' } })
    expect(read('40 %')).toEqual({ ok: true, change: { alcoholFraction: 0.4 } })
    const block = layBlock(blockCells('40 vol%\t\tethanol'), rows({}), fields, { row: 0, column: 0 })
    expect(block.metas.get(0)).toEqual({ alcoholFraction: 0.4, fractionBasis: 'volume', alcohol: 'ethanol' })
  })

  it('understand days, not dates that can be meant twice', () => {
    expect(['2026-11-29', '20261129', '29.11.2026', '9.1.2026'].map(dayOf)).toEqual([
      '2026-11-29',
      '2026-11-29',
      '2026-11-29',
      '2026-01-09',
    ])
    expect(['2026-02-29', '3/4/2026', '29.11.26', ''].map(dayOf)).toEqual(['', '', '', ''])
  })

  it('keep the uncertainties apart', () => {
    const field = sigmaFieldOf('alcoholFraction')!
    const read = field.read('± 0.5 %', { sigma: { volume_uL: 0.1 } })
    expect(read).toEqual({ ok: true, change: { sigma: { volume_uL: 0.1, alcoholFraction: 0.005 } } })
    expect(field.read('', { sigma: { alcoholFraction: 0.005 } })).toEqual({
      ok: true,
      change: { sigma: undefined },
    })
    expect(field.read('0', {}).ok).toBe(false)
  })
})

describe('a block out of a spreadsheet', () => {
  it('is cut at tabs and lines, with quotes as spreadsheets write them', () => {
    expect(blockCells('40\tmass\r\n50\t"a ""b""\tc"\r\n')).toEqual([
      ['40', 'mass'],
      ['50', 'a "b"\tc'],
    ])
    expect(blockCells('7')).toEqual([['7']])
    expect(blockCells('\t5\n\n6')).toEqual([['', '5'], [''], ['6']])
  })

  it('fills rows and columns from where it is laid, and leaves what it cannot use', () => {
    const cells = blockCells('60\tvolume\tethanol\tten\n\tmass\t\t8')
    const result = layBlock(cells, rows({}, { alcoholFraction: 0.3 }, {}), fields, {
      row: 1,
      column: at('alcoholFraction'),
    })
    expect(result.metas.get(1)).toEqual({ alcoholFraction: 0.6, fractionBasis: 'volume', alcohol: 'ethanol' })
    expect(result.metas.get(2)).toEqual({ volume_uL: 8 })
    expect(result.problems).toEqual(['run 2, Volume: "ten" cannot be used. Permitted: a number above 0 µL.'])
    expect(result.beyond).toBe(0)
  })

  it('counts what lies beyond the table', () => {
    expect(
      layBlock(blockCells('a\tb\nc\td'), rows({}), fields, { row: 0, column: at('group') }),
    ).toMatchObject({ beyond: 3 })
  })
})

const curve = (
  id: string,
  time: number[],
  radius: number[],
  meta: CurveMeta = { group: 'g' },
): MeasuredCurve => ({
  id,
  name: id,
  time: Float64Array.from(time),
  radius: Float64Array.from(radius),
  meta,
  file: '',
})

describe('repetitions', () => {
  it('have the mean and the standard deviation of straight courses', () => {
    // R = 1 + t and R = 3 + 2 t: mean 2 + 1.5 t, SD |2 + t|/√2.
    const a = curve('a', [0, 1, 2, 4], [1, 2, 3, 5])
    const b = curve('b', [0.5, 1.5, 3], [4, 6, 9])
    const result = meanCourse([a, b])
    if (!result.ok) throw new Error(result.reason)
    const { time, mean, deviation, count, from, to, longest } = result.course
    expect([count, from, to, longest]).toEqual([2, 0.5, 3, 4])
    expect(Array.from(time)).toEqual([1, 2])
    time.forEach((t, k) => {
      expect(mean[k]).toBeCloseTo(2 + 1.5 * t, 12)
      expect(deviation[k]).toBeCloseTo((2 + t) / Math.SQRT2, 12)
    })
  })

  it('are laid on the clock of the contact', () => {
    const a = curve('a', [0, 1, 2], [0, 1, 2])
    const b = curve('b', [10, 11, 12], [2, 3, 4], { group: 'g', startTime_s: 10 })
    const c = curve('c', [5, 6, 7], [1, 2, 3], { group: 'g', startTime_s: 5 })
    const result = meanCourse([a, b, c])
    expect(result.ok && Array.from(result.course.mean)).toEqual([1, 2, 3])
    expect(result.ok && Array.from(result.course.deviation)).toEqual([1, 1, 1])
  })

  it('leave out points that were set aside', () => {
    const a = curve('a', [0, 1, 2], [0, 100, 2])
    const result = meanCourse([{ ...a, excluded: Uint8Array.of(0, 1, 0) }, curve('b', [0, 1, 2], [2, 3, 4])])
    expect(result.ok && Array.from(result.course.mean)).toEqual([1, 3])
  })

  it('say how many they are, and are drawn once', () => {
    const alone = curve('d', [0, 1], [1, 1], {})
    const single = curve('e', [0, 1], [1, 1], { group: 'other' })
    const list = groupedCurves([curve('a', [0, 1], [1, 2]), alone, curve('b', [0, 1], [3, 4]), single])
    expect(list.map(({ name }) => name)).toEqual(['g: mean ± SD of 2 runs', 'd', 'e'])
    for (const sd of list[0]!.uncertainty!) expect(sd).toBeCloseTo(Math.SQRT2, 12)
  })

  it('without a time in common stay as they are', () => {
    const list = [curve('a', [0, 1], [1, 2]), curve('b', [2, 3], [1, 2])]
    expect(groupedCurves(list)).toEqual(list)
  })

  it('have a standard deviation that is uncertain itself (GUM, JCGM 100:2008, table E.1)', () => {
    const table = [
      [2, 76],
      [3, 52],
      [4, 42],
      [5, 36],
      [10, 24],
      [20, 16],
      [30, 13],
      [50, 10],
    ]
    for (const [n, percent] of table) expect(Math.round(100 * deviationError(n!))).toBe(percent)
  })

  it('are of one drop, or it is said', () => {
    const of = (meta: CurveMeta) => curve('a', [0, 1], [1, 2], { group: 'g', ...meta })
    expect(unlikeWords({ group: 'g', curves: [of({ volume_uL: 10 }), of({})] })).toBe('')
    expect(unlikeWords({ group: 'g', curves: [of({ volume_uL: 10 }), of({ volume_uL: 12 })] })).toBe(
      'its runs differ in volume',
    )
  })
})
