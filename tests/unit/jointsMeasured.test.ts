/** What a measured table is asked and told, and which drops still lack a life. */
import { describe, expect, it } from 'vitest'
import { defaultPreset } from '../../src/life/preset.ts'
import { lackingDrops } from '../../src/measured/fit/ownDrop.ts'
import { readText } from '../../src/measured/read.ts'
import type { MeasuredCurve } from '../../src/measured/types.ts'
import { markDrop } from '../../src/measured/video/mark.ts'
import { plainSettings } from '../../src/measured/video/types.ts'

describe('a unit that is not known', () => {
  const problems = (text: string) => {
    const result = readText(text, 'a.csv')
    return result.ok ? [] : result.problems
  }
  it('is named where it stands and nowhere else', () => {
    const all = problems('t,R (furlong)\n0,5\n9,25\n')
    const of = (column: string) =>
      all.filter(({ where }) => where.includes(column)).map(({ message }) => message)
    expect(of('column 2').join(' ')).toContain('furlong')
    expect(of('column 1')).toHaveLength(1)
    expect(of('column 1').join(' ')).not.toContain('furlong')
  })
})

describe('drops that lack a life', () => {
  const curve = (id: string, alcoholFraction?: number): MeasuredCurve => ({
    id,
    name: id,
    file: `${id}.csv`,
    meta: alcoholFraction === undefined ? {} : { alcohol: 'ethanol', alcoholFraction },
    time: Float64Array.of(0, 1),
    radius: Float64Array.of(2e-3, 3e-3),
  })
  const base = defaultPreset()
  it('are those of curves that state another drop, each once', () => {
    const same = base.drop.alcoholMassFraction
    const lacking = lackingDrops(
      [curve('a'), curve('b', same), curve('c', 0.7), curve('d', 0.7)],
      base,
      new Map(),
    )
    expect(lacking.map(({ drop }) => drop.alcoholMassFraction)).toEqual([0.7])
  })
})

describe('a picture that is too small to hold a drop', () => {
  it.each([
    [7, 100],
    [100, 7],
    [0, 0],
  ])('is told to be unreadable: %s × %s', (width, height) => {
    const data = new Uint8ClampedArray(4 * width * height).fill(200)
    expect(markDrop({ width, height, data }, plainSettings())).toEqual({ flags: ['unreadable'], drop: null })
  })
  it('one of 8 × 8 is looked at', () => {
    const data = new Uint8ClampedArray(4 * 64).fill(200)
    expect(markDrop({ width: 8, height: 8, data }, plainSettings()).flags).not.toContain('unreadable')
  })
})
