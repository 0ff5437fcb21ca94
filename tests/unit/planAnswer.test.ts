/**
 * The result of a report: what it says follows from points that are put beside a life by hand. Chance of χ²: tables of the
 * distribution (NIST/SEMATECH e-Handbook, 1.3.6.7.4): 9.210 for 2 degrees at 1 %. Numbers are invented.
 */
import { describe, expect, it } from 'vitest'
import type { MeasuredCurve } from '../../src/measured/types.ts'
import { answerOf, fallsBelow } from '../../src/plan/answer.ts'
import { cellText } from '../../src/plan/table.ts'
import { syntheticLife } from '../fixtures/syntheticLife.ts'

const life = syntheticLife()
const { t, R } = life.series
const curveOf = (
  name: string,
  shift: number,
  sigma: number | null,
  more: Partial<MeasuredCurve> = {},
): MeasuredCurve => {
  const places = Array.from({ length: 40 }, (_, i) => i * 3)
  return {
    id: name,
    name,
    file: `${name}.csv`,
    meta: {},
    time: Float64Array.from(places, (i) => t[i]!),
    radius: Float64Array.from(places, (i) => R[i]! + shift),
    ...(sigma === null ? {} : { uncertainty: Float64Array.from(places, () => sigma) }),
    ...more,
  }
}
const answer = (curves: MeasuredCurve[]) =>
  answerOf({
    life,
    sentence: 'This drop spreads.',
    curves,
    lives: new Map(),
    error: { radius: 1e-4, collapse: 0.05 },
    band: null,
  })
const rows = (curves: MeasuredCurve[]) => {
  const { columns, rows } = answer(curves).table
  return rows.map((row) =>
    Object.fromEntries(columns.map((column, k) => [column.name, cellText(row[k]!, column)])),
  )
}

describe('the answer', () => {
  it('without measured series is the life itself, with a short table', () => {
    const { sentences, table } = answer([])
    expect(sentences).toEqual(['This drop spreads.'])
    expect(table.rows.length).toBeLessThan(8)
  })

  it('one series: both largest radii, the difference, its side, and whether the uncertainties explain it', () => {
    const [good] = answer([curveOf('run 1', 2e-4, 5e-4)]).sentences
    expect(good).toMatch(/^run 1: the largest measured radius is .* mm, that of the simulated life .* mm/)
    expect(good).toContain(
      'differ by 0.20 mm (r.m.s.), measured on average 0.20 mm wider: no more than the stated',
    )
    const [bad] = answer([curveOf('run 1', -2e-3, 5e-4)]).sentences
    expect(bad).toContain('2.0 mm narrower: more than the stated uncertainties explain')
    const [none] = answer([curveOf('run 1', -2e-3, null)]).sentences
    expect(none).toContain('it cannot be said whether that is much')
  })

  it('the border lies where the tables have it', () => {
    const two = (share: number) => {
      const sigma = 1e-3
      const off = sigma * Math.sqrt((share * 9.21) / 2)
      return curveOf('a', 0, null, {
        time: Float64Array.of(t[10]!, t[60]!),
        radius: Float64Array.of(R[10]! + off, R[60]! + off),
        uncertainty: Float64Array.of(sigma, sigma),
      })
    }
    expect(answer([two(0.99)]).sentences[0]).toContain('no more than')
    expect(answer([two(1.01)]).sentences[0]).toMatch(/: more than/)
  })

  it('several series: how many agree', () => {
    const said = (...curves: MeasuredCurve[]) => answer(curves).sentences[0]!
    expect(said(curveOf('a', 1e-4, 5e-4), curveOf('b', 3e-3, 5e-4), curveOf('c', 0, null))).toMatch(
      /^3 measured series: .* to 3\.0 mm \(r\.m\.s\.\); 1 of the 2 with uncertainties agrees with the simulated life of its drop/,
    )
    expect(said(curveOf('a', 3e-3, 5e-4), curveOf('b', 3e-3, 5e-4))).toContain('none of the 2')
    expect(said(curveOf('a', 1e-4, 5e-4), curveOf('b', 1e-4, 5e-4))).toContain('all of the 2')
  })

  it('the table has a row a series, measured with its error beside simulated', () => {
    const [row] = rows([curveOf('run 1', 2e-4, 5e-4)])
    expect(row).toMatchObject({
      series: 'run 1',
      compared_with: 'the life shown',
      points: '40',
      rms_mm: '0.200',
    })
    expect(row!.R_max_measured_mm).toMatch(/ ± /)
    const most = 1e3 * R.reduce((a, b) => Math.max(a, b), 0)
    expect(Number(row!.R_max_simulated_mm)).toBeCloseTo(most, 1)
    expect(Math.abs(Number.parseFloat(row!.R_max_measured_mm!) - most - 0.2)).toBeLessThan(0.5)
    // (0.2 / 0.5)² = 0.16.
    expect(row!.chi_squared_per_point).toBe('0.160')
  })

  it('doubts: missing uncertainties, unknown scale, points set aside, what the computing adds', () => {
    const aside = new Uint8Array(40)
    aside[3] = 1
    const doubts = answer([curveOf('bare', 0, null, { excluded: aside })]).doubts.join('\n')
    expect(doubts).toContain('No uncertainties of the radii are given: bare.')
    expect(doubts).toContain('How well the scale is known is not stated: bare.')
    expect(doubts).toContain('bare: 1 point set aside by hand.')
    expect(doubts).toContain('± 0.10 mm')
    const stated = answer([curveOf('a', 0, 5e-4, { meta: { sigma: { radiusScale: 0.02 } } })]).doubts.join(
      '\n',
    )
    expect(stated).not.toMatch(/scale is known|No uncertainties/)
  })

  it('collapse: a straight fall crosses its level where the straight line does', () => {
    // From 10 at 2 s to 0 at 4 s: 3 at 3.4 s.
    expect(fallsBelow([0, 2, 4], [1, 10, 0], 0.3)).toBeCloseTo(3.4, 12)
    expect(fallsBelow([0, 2, 4], [1, 10, 9], 0.3)).toBeNaN()
  })
})
