/** The command `threshold`. */
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { main } from '../../src/cli/threshold.ts'
import { mixtures, oils } from '../../src/liquids/registry.ts'
import { callOf } from '../fixtures/captured.ts'

const spreads = join(import.meta.dirname, '../../presets/harbour-lane-spreads.json')

const call = (...argv: string[]) => callOf((to) => main(argv, to))

describe('threshold', () => {
  it('tells it by mass, by volume and in words, with the curve and the point of the drop', async () => {
    const { code, out } = await call(spreads, '--brief')
    expect(code).toBe(0)
    expect(out).toMatch(/spread on rapeseed oil at 22 °C from [\d.]+ % by mass \([\d.]+ % by volume\)/)
    expect(out).toMatch(/likely +[\d.]+ to [\d.]+ % by mass \([\d.]+ to [\d.]+ % by volume\)/)
    expect(out.match(/this drop$/gm)).toHaveLength(1)
    expect(out).toMatch(/^ +60\.0 +67\.7 +[\d.]+ .*o +this drop$/m)
  })

  it('its figures agree with one another: S = 0 at the threshold, and it lies within its reach', async () => {
    const told = JSON.parse((await call(spreads, '--brief', '--json')).out)
    const { percentByMass, likelyPercentByMass: likely, curve, maxRadiusWithDropOilTension_mm } = told
    expect(maxRadiusWithDropOilTension_mm).toBeNull()
    expect(likely.low).toBeLessThan(percentByMass)
    expect(likely.high).toBeGreaterThan(percentByMass)
    const i = curve.percentByMass.findIndex((percent: number) => percent > percentByMass)
    expect(curve.S_mNperM[i - 1]).toBeLessThan(0)
    expect(curve.S_mNperM[i]).toBeGreaterThan(0)
  })

  it('runs the lives with another drop/oil tension: the largest radius moves with it', async () => {
    const argv = [spreads, '--json', '--set', 'model.accuracy=quick', '--set', 'model.horizon_s=2']
    const { code, out } = await call(...argv)
    expect(code).toBe(0)
    const { low, central, high } = JSON.parse(out).maxRadiusWithDropOilTension_mm
    expect(low).toBeLessThan(central)
    expect(high).toBeGreaterThan(central)
  }, 60_000)

  it('knows every pair of the library', async () => {
    const { out } = await call(spreads, '--all')
    const lines = out.trimEnd().split('\n')
    expect(lines).toHaveLength(1 + Object.keys(mixtures).length * Object.keys(oils).length)
    for (const { name } of Object.values(oils)) expect(out).toContain(name)
  })
})
