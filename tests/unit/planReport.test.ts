/** Tables of a report: results, numerical errors, measured series, settings. */
import { describe, expect, it } from 'vitest'
import { beadsOf } from '../../src/life/beads.ts'
import { KEYS } from '../../src/life/keys.ts'
import { defaultPreset, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life } from '../../src/life/types.ts'
import type { MeasuredCurve } from '../../src/measured/types.ts'
import { settingsOf } from '../../src/page/report/settings.ts'
import { leftOutWords, measuredTable, residualTable } from '../../src/plan/measuredTables.ts'
import { errorsTable, resultTable } from '../../src/plan/reportTables.ts'
import { cellText, headText, type Table, tableCsv } from '../../src/plan/table.ts'

function lifeWith(changes: [string, number | string][]): Life {
  const made = setKeys(defaultPreset(), [['model.accuracy', 'quick'], ...changes])
  if (!made.ok) throw new Error(made.problems.map(({ message }) => message).join(' '))
  const run = runLifeSync(made.preset)
  if (!run.ok) throw new Error('no life')
  return run.life
}

const life = lifeWith([['drop.alcoholMassFraction', 0.6]])
const cells = (table: Table) =>
  table.rows.map((row) => row.map((cell, i) => cellText(cell, table.columns[i]!)))
const find = (table: Table, name: string) => cells(table).find(([first]) => first === name)

describe('results', () => {
  const table = resultTable(life, { radius: 3e-4, collapse: 0.15 }, null)
  it('the largest radius with its error and unit', () => {
    const [, value, unit, remark] = find(table, 'Largest radius R_max')!
    expect(value).toBe(`${(1e3 * life.summary.maxRadius).toFixed(1)} ± 0.3`)
    expect([unit, remark]).toEqual(['mm', '± numerical error'])
  })
  it('the threshold by mass and by volume; nothing without a number', () => {
    // OIML R 22 (1973): 48.7 % by mass is 56.5 % by volume; the threshold itself is the library's.
    expect(find(table, 'Threshold of spreading')!.slice(1)).toEqual([
      '48.7',
      '% by mass',
      '56.5 % by volume at 20 °C',
    ])
    expect(cells(table).flat().join(' ')).not.toMatch(/NaN|undefined|Infinity|–/)
  })
  it('the beads of the rim as an estimate, with the band and units', () => {
    const fingers = {
      verdict: 'beads' as const,
      appear_s: { low: 0.8, value: 0.9, high: 1.1 },
      count: 184,
      wavelength_mm: 0.62,
      gainAtLargest: 20,
      countAtLargest: 120,
      dropRadius_um: 60,
      table: { wavelength_mm: [0.7, 1.3] },
    }
    const told = resultTable(life, { radius: 3e-4, collapse: 0.15 }, null, fingers)
    expect(find(told, 'Beads on the rim from')!.slice(1)).toEqual([
      '0.90',
      's',
      'an estimate by linear stability; between 0.80 and 1.1 s for ten times more or less noise',
    ])
    expect(find(told, 'Beads round the drop then')![1]).toBe('180')
    const distances = cells(told).filter(([name]) => name === 'their distance')
    expect(distances.map(([, value, unit]) => `${value} ${unit}`)).toEqual(['0.62 mm', '1.3 mm'])
    expect(find(told, 'radius of a drop from one of them')!.slice(1, 3)).toEqual(['60', 'µm'])
    expect(tableCsv(told)).toContain('Beads round the drop then,184,')
    // Before it is known: the life's own, at the largest radius only.
    expect(find(table, 'Beads on the rim from')).toBeUndefined()
    expect(find(table, 'Beads on the rim at the largest radius')!.slice(1)).toEqual([
      String(Number(beadsOf(life)!.atLargest.count.toPrecision(2))),
      '',
      "the life's own quick estimate",
    ])
    const none = resultTable(life, { radius: 3e-4, collapse: 0.15 }, null, { ...fingers, verdict: 'none' })
    expect(find(none, 'Beads on the rim')![1]).toBe('none expected')
  })
  it('a lens has no time of its largest radius and no scales', () => {
    const lens = resultTable(
      lifeWith([['drop.alcoholMassFraction', 0.3]]),
      { radius: Number.NaN, collapse: Number.NaN },
      null,
    )
    expect(find(lens, 'Outcome')![1]).toBe('stays a lens')
    for (const name of ['reached at', 'Collapse', 'Scale R*', 'R_max/R*'])
      expect(find(lens, name), name).toBeUndefined()
  })
  it('errors are told with two digits and raised powers', () => {
    const errors = errorsTable(life, { radius: 3.1234e-4, collapse: 0.15 })
    expect(find(errors, 'Largest radius')![1]).toBe('0.31')
    expect(find(errors, 'Volume that is not accounted for')![1]).toMatch(/^0$|^\d\.\d × 10⁻[⁰¹²³⁴⁵⁶⁷⁸⁹]+$/)
    expect(tableCsv(errors)).toContain('Largest radius,0.31234,mm')
  })
})

describe('a saved table', () => {
  // OWASP, "CSV Injection": a cell that begins with =, +, - or @ runs as a formula when a spreadsheet opens the file.
  it('holds names that look like formulas as text, and negative numbers as numbers', () => {
    const columns = [
      { name: 'curve', label: 'Curve', unit: '' },
      { name: 'bias_mm', label: 'Bias', unit: 'mm' },
    ]
    const rows = ['=1+1', '+a', '-b', '@c', '50 % = half'].map((name) => [name, -0.5])
    expect(tableCsv({ title: '', columns, rows })).toBe(
      "curve,bias_mm\n'=1+1,-0.5\n'+a,-0.5\n'-b,-0.5\n'@c,-0.5\n50 % = half,-0.5\n",
    )
  })
})

describe('settings', () => {
  const { table, sources } = settingsOf(life)
  it('hold every key with its unit and how it was set', () => {
    expect(table.rows.map(([, path]) => path)).toEqual(KEYS.map(({ path }) => path))
    expect(find(table, 'Strength (by mass)')!.slice(1, 5)).toEqual([
      'drop.alcoholMassFraction',
      '60',
      '%',
      'own',
    ])
    expect(find(table, 'Volume')!.slice(2, 5)).toEqual(['10', 'µL', 'default'])
    expect(find(table, 'Oil density')!.slice(3, 5)).toEqual(['kg/m³', 'empty'])
    expect(find(table, 'Draught factor')![4]).toBe('not used')
  })
  it('point to sources that are there, each once', () => {
    expect(new Set(sources).size).toBe(sources.length)
    const pointers = cells(table).flatMap((row) => [...row[5]!.matchAll(/\d+/g)].map(([n]) => Number(n)))
    expect(new Set(pointers)).toEqual(new Set(sources.map((_, i) => i + 1)))
    expect(sources.join(' ')).toContain('OIML R 22')
  })
})

describe('measured series', () => {
  const { t, R } = life.series
  const places = [5, 20, 60, 100]
  /** Points on the life, each 0.5 mm too high. */
  const curve: MeasuredCurve = {
    id: 'a',
    name: 'a',
    time: Float64Array.from(places, (i) => t[i]! + 1),
    radius: Float64Array.from(places, (i) => R[i]! + 5e-4),
    uncertainty: Float64Array.of(5e-4, 5e-4, 5e-4, 5e-4),
    excluded: Uint8Array.of(0, 0, 0, 1),
    meta: { alcoholFraction: 0.6, alcohol: 'ethanol', startTime_s: 1 },
    file: 'a.csv',
    origin: {
      skipped: [
        { line: 3, reason: 'no radius' },
        { line: 7, last: 9, reason: 'comment' },
      ],
      skippedMore: 2,
      warnings: ['a warning'],
    },
  }
  it('file, points used and set aside, residuals against the life', () => {
    const [row] = cells(measuredTable([curve], life))
    expect(row!.slice(0, 5)).toEqual(['a', 'a.csv', '60.0 % by mass, ethanol', '3', '1'])
    expect(row!.slice(-2)).toEqual(['0.500', '0.500'])
    // χ² per point: (0.5/0.5)² = 1.
    const figures = ['3', '0', '0.500', '0.500', '0.500', '1.00']
    expect(cells(residualTable([curve], life))[0]).toEqual(['a', ...figures, 'the life shown'])
    expect(cells(measuredTable([curve], null))[0]!.slice(-2)).toEqual(['–', '–'])
  })
  it('what was left out is told line by line', () => {
    expect(leftOutWords([curve])).toEqual([
      'a: not read from a.csv: line 3 (no radius), lines 7 to 9 (comment), 2 more; 1 point set aside by hand; contact at 1 s of its own clock; a warning',
    ])
    expect(
      leftOutWords([
        { ...curve, origin: { skipped: [], warnings: [] }, meta: {}, excluded: Uint8Array.of(0, 0, 0, 0) },
      ]),
    ).toEqual([])
  })
  it('units in the head and in the names of the columns', () => {
    const { columns } = measuredTable([curve], life)
    expect(headText(columns.find(({ name }) => name === 'rms_mm')!)).toBe('r.m.s. residual, mm')
  })
})
