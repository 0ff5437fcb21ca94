/** `simulate --fingers` from the preset to what is printed, and the calculation's stop and progress. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { csvParseRows } from 'd3-dsv'
import { afterAll, describe, expect, it } from 'vitest'
import { main, real } from '../../src/cli/simulate.ts'
import { parsePreset } from '../../src/life/preset.ts'
import { fingersOf } from '../../src/rim/fingers.ts'
import { captured } from '../fixtures/captured.ts'
import { expectClose } from '../matchers.ts'

const reference = join(import.meta.dirname, '../../presets/reference.json')
const folder = mkdtempSync(join(tmpdir(), 'rimtide-'))
afterAll(() => rmSync(folder, { recursive: true }))

async function call(...more: string[]): Promise<{ code: number; out: string }> {
  const { to, told } = captured()
  const code = await main([reference, '--accuracy', 'quick', '--fingers', ...more], { ...real, ...to })
  return { code, out: told.out }
}

describe('simulate --fingers', () => {
  it('adds its object, whose waves fit round the drop, and columns to the CSV', async () => {
    const csv = join(folder, 'series.csv')
    const { code, out } = await call('--json', '--every', '0.1', '--csv', csv)
    expect(code).toBe(0)
    const { fingers, series, maxRadius_mm } = JSON.parse(out)
    expect(fingers.verdict).toBe('beads')
    const { low, value, high } = fingers.appear_s
    expect(low < value && value < high).toBe(true)
    const round = (2 * Math.PI * maxRadius_mm) / fingers.table.wavelength_mm.at(-1)
    expectClose(round, fingers.countAtLargest, { rtol: 0.01 })
    expect(Object.keys(fingers.table)).toEqual(['t_s', 'count', 'wavelength_mm', 'growth_perS', 'gain'])
    expect(fingers.table.gain.at(-1)).toBe(fingers.gainAtLargest)
    const [header, ...rows] = csvParseRows(readFileSync(csv, 'utf8').trimEnd())
    expect(header!.slice(-4)).toEqual([
      'fingersCount',
      'fingersWavelength_mm',
      'fingersGrowth_perS',
      'fingersGain',
    ])
    expect(rows).toHaveLength(series.t_s.length)
    const gains = rows.map((row) => row[header!.indexOf('fingersGain')]!)
    expect(gains[0]).toBe('')
    expect(gains.filter((text) => text !== '').length).toBeGreaterThan(20)
  })
  it('prints a section and a table', async () => {
    const { out } = await call('--every', '1')
    expect(out).toMatch(/^fingers +the rim beads$/m)
    expect(out).toMatch(/^ {2}beads +\d+ round the drop, [\d.]+ mm apart$/m)
    expect(out).toMatch(/t_s +count +wavelength_mm +growth_perS +gain/)
    expect(out).not.toMatch(/NaN|undefined|null/)
  })
  it('expects none of a lens, with null for what there is not', async () => {
    const lens = ['--set', 'drop.alcoholMassFraction=0.2']
    const { fingers } = JSON.parse((await call(...lens, '--json')).out)
    expect(fingers).toMatchObject({
      verdict: 'none',
      count: null,
      appear_s: { low: null, value: null, high: null },
    })
    expect((await call(...lens)).out).toMatch(/none expected: the drop does not spread/)
  })
  it('says that it depends where the tension decides', async () => {
    const { fingers } = JSON.parse((await call('--json', '--set', 'drop.alcoholMassFraction=0.42')).out)
    expect(fingers.verdict).toBe('depends')
  })
  it('is not computed unless asked for', async () => {
    const { to, told } = captured()
    await main([reference, '--accuracy', 'quick', '--json'], { ...real, ...to })
    expect(JSON.parse(told.out)).not.toHaveProperty('fingers')
  })
})

describe('the calculation', () => {
  const read = parsePreset(readFileSync(reference, 'utf8'))
  if (!read.ok) throw new Error('no reference preset')
  const preset = {
    ...read.preset,
    ring: { breakUp: true },
    model: { ...read.preset.model, accuracy: 'quick' as const },
  }
  it('asks what the whole ring would do where the life sheds it, and tells how far it is', async () => {
    const shares: number[] = []
    const shed = await fingersOf(preset, { progress: (share) => void shares.push(share) })
    const whole = await fingersOf({ ...preset, ring: { breakUp: false } })
    expect(shed).toEqual(whole)
    expect(shares.every((share, i) => share >= (shares[i - 1] ?? 0) && share <= 1)).toBe(true)
    expect(shares.at(-1)).toBe(1)
  })
  it('ends when it is told to', async () => {
    let pauses = 0
    const pause = async () => void pauses++
    expect(await fingersOf(preset, { pause, cancelled: () => pauses > 8 })).toBeNull()
    expect(pauses).toBeLessThan(12)
  })
})
