/** Tables on how curves were made and on repetitions: what is known stands there with its unit, what is not is left open. */
import { describe, expect, it } from 'vitest'
import type { MeasuredCurve } from '../../src/measured/types.ts'
import { madeTable, repetitionsTable } from '../../src/plan/madeTables.ts'

const curve = (name: string, radius: number[], more: Partial<MeasuredCurve> = {}): MeasuredCurve => ({
  id: name,
  name,
  time: Float64Array.from(radius, (_, i) => i),
  radius: Float64Array.from(radius),
  meta: { group: 'g' },
  file: `${name}.webm`,
  ...more,
})

describe('how curves were made', () => {
  it('is told in mm per px, per cent and frames per second', () => {
    const sum = '0123456789abcdef'.repeat(4)
    const made = {
      sha256: sum,
      metresPerPixel: 1.5e-4,
      scaleUncertainty: 0.01,
      framesPerSecond: 120,
      difference: 'tint alone',
      level: 0.2,
      version: '0.1.0',
      made: '2026-11-29T08:00:00.000Z',
    }
    const { rows } = madeTable([curve('a', [1, 2], { provenance: made }), curve('b', [1, 2])])
    expect(rows.length).toBe(1)
    const [name, file, shown, scale, error, rate, by, threshold, version, day] = rows[0]!
    expect([name, file, rate, by, threshold, version, day]).toEqual([
      'a',
      'a.webm',
      120,
      'tint alone',
      '20 %',
      '0.1.0',
      '2026-11-29',
    ])
    expect(String(shown).replaceAll(' ', '')).toBe(sum)
    expect(scale).toBeCloseTo(0.15, 12)
    expect(error).toBeCloseTo(1, 12)
  })
  it('leaves open what is not known', () => {
    const { rows } = madeTable([curve('a', [1, 2], { provenance: { level: 'found' } })])
    expect(rows[0]!.filter((cell) => cell === '–').length).toBe(4)
    expect(rows[0]!.filter((cell) => Number.isNaN(cell)).length).toBe(3)
    expect(rows[0]).toContain('found in each frame')
  })
})

describe('repetitions', () => {
  it('have the mean and SD at the largest mean, with their number', () => {
    // At t = 1: 3 and 5 mm: mean 4, SD √2 (closed form); the SD of two is itself uncertain by 76 % (GUM, table E.1).
    const { rows } = repetitionsTable([
      curve('a', [0, 3e-3, 1e-3]),
      curve('b', [0, 5e-3, 1e-3]),
      curve('c', [0, 1], { meta: {} }),
    ])
    expect(rows.length).toBe(1)
    const [group, runs, from, to, mean, deviation, error] = rows[0]!
    expect([group, runs, from, to]).toEqual(['g', '2', 0, 2])
    expect(mean).toBeCloseTo(4, 12)
    expect(deviation).toBeCloseTo(Math.SQRT2, 12)
    expect(Math.round(Number(error))).toBe(76)
  })
  it('without a mean say why', () => {
    const { rows } = repetitionsTable([curve('a', [1, 2])])
    expect(rows[0]!.at(-1)).toBe('there is only one run')
  })
})
