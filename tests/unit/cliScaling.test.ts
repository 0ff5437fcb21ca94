/** The command `scaling`: the same numbers as the functions that the page calls, refusals. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { csvParse } from 'd3-dsv'
import { afterAll, describe, expect, it } from 'vitest'
import { main } from '../../src/cli/scaling.ts'
import { estimateErrors } from '../../src/life/errors.ts'
import { parsePreset } from '../../src/life/preset.ts'
import { runLife } from '../../src/life/run.ts'
import { COLLAPSE_RULES, collapseRuleName } from '../../src/measured/scaling.ts'
import { atStrengths, familyOf } from '../../src/plan/family.ts'
import { scalingObject } from '../../src/plan/scalingObject.ts'
import { scalingReport } from '../../src/plan/scalingReport.ts'
import { callOf } from '../fixtures/captured.ts'
import { expectClose } from '../matchers.ts'

const folder = mkdtempSync(join(tmpdir(), 'rimtide-'))
afterAll(() => rmSync(folder, { recursive: true }))
const file = (name: string, text: string): string => {
  writeFileSync(join(folder, name), text)
  return join(folder, name)
}

const reference = new URL('../../presets/reference.json', import.meta.url).pathname

const call = (...argv: string[]) => callOf((to) => main(argv, to))

const strengths = [0.4, 0.5, 0.6, 0.7, 0.8]

describe('lives of 40 to 80 %', () => {
  it('the command gives what the page works out for the same preset', async () => {
    const { code, out, err } = await call(reference, '--strengths', strengths.join(','), '--json')
    expect({ code, err }).toEqual({ code: 0, err: '' })
    const parsed = parsePreset(readFileSync(reference, 'utf8'))
    const row = parsed.ok ? atStrengths(parsed.preset, strengths) : undefined
    if (!row?.ok) throw new Error('no preset')
    // As the worker of the page does it: with pauses, errors from a companion.
    const pause = async () => {}
    const { items } = await familyOf(
      row.wanted,
      (p, h) => runLife(p, { ...h, pause }),
      (life) => estimateErrors(life, { pause }),
    )
    const report = scalingReport(items, { rule: COLLAPSE_RULES[0]!, by: 'mass' })
    expect(JSON.parse(out)).toEqual(JSON.parse(JSON.stringify(scalingObject(items, report))))
  })
  it('line and ratio follow the reference table', async () => {
    // R_max 17.95, 28.05 and 34.58 mm at 0.4, 0.5 and 0.7: two independent trial codes, see referenceTable.test.ts.
    // Slope through them by hand: Σ(x−x̄)(y−ȳ)/Σ(x−x̄)² = 0.5219 mm per 1 %.
    const { out } = await call(reference, '--strengths', '0.4,0.5,0.7', '--json')
    const { trend, ratio, series, spread } = JSON.parse(out)
    expectClose(trend.simulated.slope_mmPerPercent, 0.5219, { rtol: 0.02 })
    expect(series.map((one: { collapseTime_s: number }) => one.collapseTime_s > 7)).toEqual([
      true,
      true,
      true,
    ])
    // Ratio by the same table with R*⁴ = φ0 Ω0 S H/(4 ηo j_v), S of the closed forms: 1.346, 4.030, 7.500 mN/m.
    const R = [
      [0.4, 1.346e-3, 17.95e-3],
      [0.5, 4.03e-3, 28.05e-3],
      [0.7, 7.5e-3, 34.58e-3],
    ].map(([phi, S, most]) => most! / ((phi! * 1e-8 * S! * 0.01) / (4 * 0.05 * 0.4e-6)) ** 0.25)
    expectClose(ratio.bath.simulated.mean, (R[0]! + R[1]! + R[2]!) / 3, { rtol: 0.01 })
    expect(spread).toMatchObject({ count: 3, from: 0, to: 1 })
  })
})

describe('tables of measured curves', () => {
  const rows = (w: number, most: number) =>
    Array.from(
      { length: 21 },
      (_, i) =>
        `run ${w};${(i / 4).toFixed(2)};${(most * (0.1 + 3.6 * (i / 20) * (1 - i / 20))).toFixed(6)};${w}`,
    )
  const table = file(
    'bench.csv',
    [
      'series;t (s);R (mm);alcohol (mass fraction)',
      ...rows(0.5, 12),
      ...rows(0.6, 15),
      ...rows(0.7, 18),
    ].join('\n'),
  )

  it('are laid over one another and over lives', async () => {
    const { code, out } = await call(reference, table, '--lives', '--json')
    expect(code).toBe(0)
    const { trend, series } = JSON.parse(out)
    expectClose(trend.measured.slope_mmPerPercent, 0.3, { rtol: 1e-6 })
    expect(series.map((one: { name: string; kind: string }) => [one.name, one.kind])).toEqual([
      ['run 0.5', 'measured'],
      ['run 0.6', 'measured'],
      ['run 0.7', 'measured'],
      ['Reference drop', 'simulated'],
      ['run 0.5, life', 'simulated'],
      ['run 0.6, life', 'simulated'],
      ['run 0.7, life', 'simulated'],
    ])
  })
  it('alone: copies of one shape have no spread by any definition; no scales, and the text says why', async () => {
    for (const rule of COLLAPSE_RULES.map(collapseRuleName)) {
      const { code, out } = await call(table, '--rule', rule)
      expect(code).toBe(0)
      // By the steepest fall the moment lies between two points: their distance is 1/20 of the time.
      expect(Number(/Spread ([\d.]+) of R_max/.exec(out)?.[1]), rule).toBeLessThan(
        rule === 'fastest-fall' ? 0.02 : 1e-3,
      )
      expect(out).toContain('no preset to take the other inputs from')
      expect(out).toContain('common practice, no source')
      expect(out).not.toMatch(/NaN|undefined|\[object/)
    }
  })
  it('a table of scales as CSV', async () => {
    const csv = join(folder, 'out.csv')
    expect((await call(reference, '--strengths', '0.5,0.6', '--csv', csv)).code).toBe(0)
    const parsed = csvParse(readFileSync(csv, 'utf8'))
    expect(parsed.columns).toContain('R_max_per_R_star_film')
    expectClose(Number(parsed[0]!.R_max_mm), 28.05, { rtol: 0.01 })
  })
})

describe('what is refused', () => {
  it.each([
    [[], /Which series/],
    [['nowhere.json'], /nowhere\.json: there is no such file/],
    [[reference, '--strengths', '0.4,1.5'], /"1\.5" is no mass fraction.*0 to 1/],
    [[reference, '--rule', 'late'], /--rule is "late".*below-0\.3/],
    [[reference, '--by', 'mole'], /Permitted: mass, volume/],
    [[reference, '--set', 'drop.volume_uL=900'], /volume_uL is.*0\.5 to 100 µL/],
    [[reference, '--csv', reference], /one of the inputs/],
    [[file('empty.csv', '')], /empty\.csv: /],
    [[file('bare.csv', 't;R\n0;2\n1;3\n'), '--lives'], /unit|preset/],
    [[reference, '--nonsense'], /nonsense/],
  ] as [string[], RegExp][])('%j', async (argv, message) => {
    const { code, err, out } = await call(...argv)
    expect(code).toBe(2)
    expect(err).toMatch(message)
    expect(out).toBe('')
  })
  it('--help', async () => {
    const { code, out } = await call('--help')
    expect(code).toBe(0)
    for (const rule of COLLAPSE_RULES) expect(out).toContain(collapseRuleName(rule))
  })
})
