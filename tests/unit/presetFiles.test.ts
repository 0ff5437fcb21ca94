/** The presets that ship with the program. */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { csvParseRows } from 'd3-dsv'
import { describe, expect, it } from 'vitest'
import { parsePreset, serialisePreset } from '../../src/life/preset.ts'

const folder = join(import.meta.dirname, '../../presets')
const read = (name: string): string => readFileSync(join(folder, name), 'utf8')
const names = readdirSync(folder).filter((name) => name.endsWith('.json'))

describe('presets', () => {
  it('are the reference and three demo drops at least', () => {
    const demo = ['bursts', 'lens', 'spreads'].map((name) => `harbour-lane-${name}.json`)
    expect(names).toEqual(expect.arrayContaining([...demo, 'reference.json']))
  })
  it.each(names)('%s is valid, complete and written as the program writes', (name) => {
    const result = parsePreset(read(name))
    expect(result).toMatchObject({ ok: true })
    if (result.ok) expect(serialisePreset(result.preset)).toBe(read(name))
  })
  it.each(names.filter((name) => name.startsWith('harbour-lane')))('%s says that it is invented', (name) => {
    expect(JSON.parse(read(name)).note).toMatch(/^Invented demo\./)
  })
})

describe('the demo measurements', () => {
  const lines = read('harbour-lane-measured.csv').trimEnd().split('\n')
  it('say in their first line that they are invented', () => {
    expect(lines[0]).toMatch(/^# Invented/)
  })
  it('have named units, ascending times and plausible radii', () => {
    const [header, ...rows] = csvParseRows(lines.filter((line) => !line.startsWith('#')).join('\n'))
    expect(header).toEqual(['time_s', 'radius_mm', 'uncertainty_mm'])
    expect(rows.length).toBeGreaterThanOrEqual(25)
    const numbers = rows.map((row) => row.map(Number) as [number, number, number])
    numbers.forEach(([time, radius, uncertainty], i) => {
      expect(time).toBeGreaterThan(i > 0 ? numbers[i - 1]![0] : -1)
      expect(radius).toBeGreaterThan(0)
      expect(radius).toBeLessThan(70)
      expect(uncertainty).toBeGreaterThan(0)
    })
  })
})
