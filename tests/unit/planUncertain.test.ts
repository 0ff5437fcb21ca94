/** The table of uncertain inputs, from the preset to the life and to the threshold. */
import { readFileSync } from 'node:fs'
import { describe, expect, it, test } from 'vitest'
import { defaultPreset, parsePreset, setKeys } from '../../src/life/preset.ts'
import type { Leaf } from '../../src/life/presetLeaf.ts'
import { problemOf } from '../../src/life/problemOf.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Preset } from '../../src/life/types.ts'
import { correlation, quantile, wilson } from '../../src/plan/chances.ts'
import { MOVERS, OF_TENSION, reachOf } from '../../src/plan/neighbours.ts'
import { samplePoints } from '../../src/plan/samplePoints.ts'
import { thresholdReach } from '../../src/plan/thresholdReach.ts'
import { movedAll, spreadsOf, UNCERTAIN, uncertainOf } from '../../src/plan/uncertain.ts'
import { quickly } from '../../src/plan/work.ts'
import { expectClose } from '../matchers.ts'

function preset(changes: Record<string, Leaf> = {}): Preset {
  const made = setKeys(defaultPreset(), Object.entries(changes))
  if (!made.ok) throw new Error(made.problems[0]!.message)
  return made.preset
}
const shipped = (name: string): Preset => {
  const read = parsePreset(readFileSync(`presets/${name}.json`, 'utf8'))
  if (!read.ok) throw new Error(read.problems[0]!.message)
  return read.preset
}

const strong = preset()
const reference = shipped('reference')

/** Everything of a life that is compared: R(t) to the last digit. */
function course(p: Preset): string {
  const made = runLifeSync(quickly(p))
  if (!made.ok) throw new Error(made.problems[0]!.message)
  return made.life.series.R.join()
}

describe('the table', () => {
  const drops: [string, Preset][] = [
    ['ethanol on rapeseed oil', strong],
    ['closed forms', reference],
    ['constant evaporation', preset({ 'air.mode': 'constant' })],
    ['nothing evaporates', preset({ 'mechanisms.evaporation': false })],
    ['no uptake', preset({ 'mechanisms.uptake': false })],
    ['still air', preset({ 'air.mode': 'still' })],
    ['a layer of air', preset({ 'air.mode': 'layer' })],
    ['an air speed', preset({ 'air.speed_mPerS': 0.2 })],
    ['silicone oil', preset({ 'bath.liquid': 'silicone-oil-50' })],
    ['one tension at every strength', preset({ 'interface.water_mNperM': 5, 'interface.end_mNperM': 5 })],
  ]
  test.each(drops)('leaves out what does not act and nothing else: %s', (_, p) => {
    const { acting, left } = spreadsOf(p)
    expect(acting.length + left.length).toBe(UNCERTAIN.length)
    const own = course(p)
    for (const { input, width } of acting)
      expect([input.id, course(input.moved(p, 1, width)) === own]).toEqual([input.id, false])
    for (const { id } of left) {
      const { width, moved } = uncertainOf(id)!
      expect([id, course(moved(p, 1, width(p))) === own]).toEqual([id, true])
    }
  })
  it('is empty for no drop, and says why for each that is left out', () => {
    for (const [, p] of drops) {
      const { acting, left } = spreadsOf(p)
      expect(acting.length).toBeGreaterThan(5)
      for (const { reason } of left) expect(reason).toMatch(/^[a-z].{5,}/)
    }
  })
  test.each(drops)('stays physical however far it is moved: %s', (_, p) => {
    for (const z of [-6, 6]) {
      const { acting } = spreadsOf(p)
      const far = movedAll(
        p,
        acting,
        acting.map(() => z),
      )
      expect(far.drop.volume_uL).toBeGreaterThan(0)
      expect(far.bath.depth_mm).toBeGreaterThan(0)
      expect(far.air.relativeHumidity).toBeGreaterThanOrEqual(0)
      expect(far.air.relativeHumidity).toBeLessThanOrEqual(1)
      expect(far.air.filmCoefficient_mmPerS).toBeGreaterThan(0)
      expect(far.air.enhancement).toBeGreaterThan(0)
      const { gammaI } = problemOf(far).facts.curve
      expect(Math.min(...gammaI)).toBeGreaterThan(0)
      expect(gammaI[0]).toBeGreaterThanOrEqual(gammaI[100]!)
    }
  })
  it('moves nothing at zero and goes by its width', () => {
    for (const { input, width } of spreadsOf(strong).acting) {
      expectClose(problemOf(input.moved(strong, 0, width)).facts.S0, problemOf(strong).facts.S0, {
        rtol: 1e-9,
      })
    }
    const up = (id: string) => uncertainOf(id)!.moved(strong, 1, uncertainOf(id)!.width(strong))
    expectClose(problemOf(up('oilTension')).facts.gammaO - problemOf(strong).facts.gammaO, 1e-3, {
      rtol: 1e-9,
    })
    expectClose(
      problemOf(up('oilViscosity')).facts.oilViscosity,
      1.15 * problemOf(strong).facts.oilViscosity,
      {
        rtol: 1e-9,
      },
    )
    expectClose(up('strength').drop.alcoholMassFraction, 0.505, { rtol: 1e-12 })
  })
  it('moves warmth and viscosity together: the oil of a warmer room is thinner before its own width counts', () => {
    const { acting } = spreadsOf(strong, { only: ['temperature', 'oilViscosity'] })
    const warm = problemOf(preset({ 'air.temperature_C': 24 })).facts.oilViscosity
    expectClose(problemOf(movedAll(strong, acting, [2, 1])).facts.oilViscosity, 1.15 * warm, { rtol: 1e-9 })
  })
  it('takes widths of its own and holds fixed what has none', () => {
    const { acting, left } = spreadsOf(strong, { widths: { volume: 0.1, uptake: 1, humidity: 0 } })
    expect(acting.find(({ input }) => input.id === 'volume')!.width).toBe(0.1)
    expect(left.map(({ id, reason }) => `${id}: ${reason}`)).toEqual([
      'humidity: it is held fixed',
      'uptake: it is held fixed',
    ])
  })
})

describe('points', () => {
  it('have the mean and the deviation of the normal distribution, and go on where they stopped', () => {
    const z = samplePoints(12, 0, 256)
    for (let k = 0; k < 12; k++) {
      const column = z.map((row) => row[k]!)
      const mean = column.reduce((a, b) => a + b, 0) / 256
      expectClose(mean, 0, { atol: 0.02 })
      expectClose(Math.sqrt(column.reduce((a, b) => a + b * b, 0) / 256), 1, { atol: 0.03 })
    }
    expect([...samplePoints(12, 0, 40), ...samplePoints(12, 40, 256)]).toEqual(z)
    expect(z.flat().every(Number.isFinite)).toBe(true)
  })
})

describe('quantiles and chances', () => {
  it('are those of definition 6', () => {
    // R: quantile(1:9, c(.1, .25, .5, .9), type = 6) gives 1, 2.5, 5, 9.
    const values = [1, 2, 3, 4, 5, 6, 7, 8, 9]
    expect([0.1, 0.25, 0.5, 0.9].map((p) => quantile(values, p))).toEqual([1, 2.5, 5, 9])
    expect(quantile([], 0.5)).toBeNaN()
    expect(quantile([3], 0.975)).toBe(3)
  })
  it('have the interval of Wilson', () => {
    // Worked by hand from his formula: 10 of 100 at z = 1.96 gives 0.0552 to 0.1744 (the usual example of textbooks).
    const [low, high] = wilson(10, 100, 1.96)
    expectClose(low, 0.0552, { atol: 1e-4 })
    expectClose(high, 0.1744, { atol: 1e-4 })
    expect(wilson(0, 50)[0]).toBe(0)
    expect(wilson(50, 50)[1]).toBe(1)
    expect(wilson(0, 0)).toEqual([0, 1])
    expectClose(correlation([1, 2, 3], [2, 4, 6]), 1, { rtol: 1e-12 })
    expect(correlation([1, 2, 3], [5, 5, 5])).toBe(0)
  })
})

describe('the range of the threshold', () => {
  // S is nearly straight over so small moves: then independent shifts add up as the root of their squares.
  test.each([
    ['real', strong],
    ['closed forms', reference],
  ])('is that of small independent moves: %s', (_, p) => {
    const critical = (q: Preset) => problemOf(q).facts.criticalMassFraction
    const ends = MOVERS.filter(({ input }) => OF_TENSION.includes(input)).map(({ input, move }) => ({
      input,
      values: [critical(move(p, -1)), critical(move(p, 1))],
    }))
    const corners = reachOf(critical(p), ends, [0, 1])
    const drawn = thresholdReach(p, OF_TENSION)
    expectClose(drawn.low, corners.low, { atol: 0.002 })
    expectClose(drawn.high, corners.high, { atol: 0.002 })
    expect(drawn.most).toBe(corners.most)
  })
  it('widens with the tension of the oil, and is empty where nothing spreads', () => {
    const narrow = thresholdReach(strong, OF_TENSION)
    const whole = thresholdReach(strong)
    expect(whole.high - whole.low).toBeGreaterThan(1.3 * (narrow.high - narrow.low))
    expect(thresholdReach(preset({ 'bath.liquid': 'silicone-oil-350' })).low).toBeNaN()
  })
})
