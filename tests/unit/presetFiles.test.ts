/** The presets that ship with the program. */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { parsePreset, serialisePreset } from '../../src/life/preset.ts'
import { readText } from '../../src/measured/read.ts'

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

const tables = readdirSync(folder).filter((name) => name.endsWith('.csv'))

describe('the demo measurements', () => {
  it('are three strengths', () => {
    expect(tables).toEqual([50, 60, 70].map((percent) => `harbour-lane-measured-${percent}.csv`))
  })

  it.each(tables)('%s says in its first line that it is invented', (name) => {
    expect(read(name)).toMatch(/^# Invented/)
  })

  it.each(tables)(
    '%s is read without a question, with plausible numbers and what is known about the drop',
    (name) => {
      const result = readText(read(name), name)
      expect(result.ok && [result.unsure, result.skipped, result.warnings]).toEqual([false, [], []])
      if (!result.ok) return
      const percent = Number(/\d+/.exec(name)![0])
      const [curve] = result.curves
      expect(result.curves).toHaveLength(1)
      expect(curve!.meta).toEqual({
        alcohol: 'ethanol',
        alcoholFraction: percent / 100,
        fractionBasis: 'mass',
        volume_uL: 10,
        depth_mm: 10,
        temperature_C: 22,
        conditions: 'rapeseed oil, dish 14 cm',
        note: 'invented',
      })
      expect(curve!.time.length).toBeGreaterThanOrEqual(25)
      expect(Math.max(...curve!.radius)).toBeGreaterThan(0.01)
      expect(Math.max(...curve!.radius)).toBeLessThan(0.07)
      expect(new Set(curve!.uncertainty)).toEqual(new Set([3e-4]))
    },
  )
})
