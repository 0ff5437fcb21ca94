/** How right the program is: that verdicts follow from the numbers, and the numbers from the program. */
import { describe, expect, it } from 'vitest'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life, LifeResult } from '../../src/life/types.ts'
import { startOfFlow } from '../../src/plan/validation/baths.ts'
import { Bench, LIBRARY, type Liquids } from '../../src/plan/validation/bench.ts'
import { rootOf } from '../../src/plan/validation/boiling.ts'
import { FACTS } from '../../src/plan/validation/facts.ts'
import { size } from '../../src/plan/validation/judges.ts'
import { collapseSpread, straightness } from '../../src/plan/validation/scaled.ts'
import { type Fact, fact, type Numbers, type Verdict } from '../../src/plan/validation/types.ts'
import { findingOf, inOrder, validate } from '../../src/plan/validation/validate.ts'
import { summaryWords, validationText, wrapped } from '../../src/plan/validation/verdictWords.ts'
import { expectClose } from '../matchers.ts'

const [NO, OPEN, YES] = ['disagrees', 'cannot tell', 'agrees'] as const

const factOf = (id: string): Fact => {
  const found = FACTS.find((one) => one.id === id)
  if (!found) throw new Error(`there is no fact ${id}`)
  return found
}

describe('the list of facts', () => {
  it('has at least 25, each with a name of its own, a source, and how it is judged with a reason', () => {
    expect(FACTS.length).toBeGreaterThanOrEqual(25)
    expect(new Set(FACTS.map(({ id }) => id)).size).toBe(FACTS.length)
    expect(new Set(FACTS.map((one) => one.fact)).size).toBe(FACTS.length)
    for (const { id, fact: words, source, tolerance } of FACTS) {
      expect(words, id).toMatch(/^.{15,}\.$/)
      expect(source.trim(), id).not.toBe('')
      expect(tolerance.length, id).toBeGreaterThan(10)
    }
  })
})

/** Where a verdict turns: numbers made from x, and what it is below and above each border. */
type Border = readonly [numbers: (x: number) => Numbers, border: number, below: Verdict, above: Verdict]

const worst = (border: number): Border[] => [
  [
    (x) => ({ worst: x, found: [], values: [], fronts_mm: [], losses_umPerS: [], shares: [], uniform: 0 }),
    border,
    YES,
    NO,
  ],
]
const band = (numbers: (x: number) => Numbers, low: number, high: number): Border[] => [
  [numbers, low, NO, YES],
  [numbers, high, YES, NO],
]
const one =
  (name: string, more: Numbers = {}) =>
  (x: number): Numbers => ({ ...more, [name]: x })
const sizes = (reported: number): Border[] => [
  [one('radius_um'), reported / 4, NO, OPEN],
  [one('radius_um'), reported / 2, OPEN, YES],
  [one('radius_um'), reported, YES, OPEN],
  [one('radius_um'), reported * 2, OPEN, NO],
]
const pair = { threshold: 0.4, low: 0.35, high: 0.45 }
const spreads: Border[] = [
  [one('strength', { ...pair, growth: 5 }), 0.35, NO, OPEN],
  [one('strength', { ...pair, growth: 5 }), 0.45, OPEN, YES],
  [one('growth', { ...pair, strength: 0.6 }), 2, NO, YES],
]
const second = (name: string) => (x: number) => ({ [name]: [10, x] })

const BORDERS: Record<string, readonly Border[]> = {
  straight: [
    [one('straightness', { radii_mm: [], rise: 1 }), 0.95, NO, YES],
    [one('rise', { radii_mm: [], straightness: 1 }), 0, NO, YES],
  ],
  'one-curve': [[one('film', { bath: 0.5 }), 0.1, YES, NO]],
  ratio: band(one('mean', { ratios: [] }), 0.252, 0.308),
  centre: [
    [one('largest_um', { early_um: 500 }), 100, OPEN, YES],
    [one('largest_um', { early_um: 5000 }), 100, NO, YES],
    [one('largest_um', { early_um: 5000 }), 1000, YES, NO],
  ],
  'thin-edge': [[one('thinnest_um'), 1, YES, NO]],
  rim: [[one('ring_um', { thin_um: 1 }), 2, NO, YES]],
  stops: [[(x) => ({ left: [0.1, x], critical: [0.4, 0.4] }), 0.4, YES, NO]],
  'nothing-leaves': [[one('least', { largest_mm: 1, until_s: 1 }), 0.99, NO, YES]],
  shallow: [[second('radii_mm'), 9.7, YES, NO]],
  'sunflower-oil-40': spreads,
  'sunflower-oil-kitchen-40': spreads,
  'rapeseed-40': spreads,
  'rapeseed-60': spreads,
  'rapeseed-80': spreads,
  'silicone-50': [
    [one('largest_mNperM', { growth: 1 }), 0, YES, NO],
    [one('growth', { largest_mNperM: -1 }), 2, YES, NO],
  ],
  'silicone-350': [
    [one('largest_mNperM', { growth: 1 }), 0, YES, NO],
    [one('growth', { largest_mNperM: -1 }), 2, YES, NO],
  ],
  'thousands-sunflower-oil': band(one('count', { radius_um: 1 }), 1000, 10_000),
  'thousands-sunflower-oil-kitchen': band(one('count', { radius_um: 1 }), 1000, 10_000),
  'front-sunflower-oil': [[one('verdict', { gain: 1, count: 1 }), 0.5, NO, YES]],
  'front-sunflower-oil-kitchen': [[one('verdict', { gain: 1, count: 1 }), 0.5, NO, YES]],
  'stronger-smaller': [[second('radii_um'), 10, YES, NO]],
  'thousand-million': [[one('count', { median_um: 1 }), 1e8, NO, YES]],
  'in-seconds': band(one('to_s', { from_s: 0.5 }), 1, 60),
  'peanut-size': sizes(74),
  'castor-size': sizes(10),
  'thicker-smaller': [[second('radii_um'), 10, YES, NO]],
  'castor-smaller': [[one('castor_um', { plant_um: 10 }), 10, YES, NO]],
  'castor-weak': [[one('share'), 0.01, YES, NO]],
  floor: [[second('shares'), 9, YES, NO]],
  budget: worst(1e-9),
  'resting-lens': band(one('radius_mm', { wanted_mm: 1 }), 0.99, 1.01),
  puddle: band(one('thickness_mm'), 0.999 * 5.16, 1.001 * 5.16),
  'insoluble-layer': worst(0.03),
  'boundary-layer': [
    ...band((x) => ({ least: x, most: x, exponent: 0.75 }), 0.665, 1.52),
    ...band(one('exponent', { least: 1, most: 1 }), 0.72, 0.78),
  ],
  'gravity-current': worst(0.01),
  levelling: band(one('rate', { wanted: 1 }), 0.99, 1.01),
  'wetting-floor': [
    ...band(one('radius', { height: -0.2 }), 0.095, 0.105),
    ...band(one('height', { radius: 0.1 }), -0.205, -0.195),
  ],
  bath: worst(0.01),
  'bath-start': worst(0.03),
  ridge: band(one('kw'), 1.1897, 1.2097),
  boiling: worst(0.3),
  'azeotrope-ethanol': band(one('w', { celsius: 78.2 }), 0.946, 0.966),
  'azeotrope-2-propanol': band(one('celsius', { w: 0.877 }), 79.8, 80.8),
  'azeotrope-1-propanol': band(one('w', { celsius: 87.7 }), 0.717 - 0.01, 0.717 + 0.01),
  'equilibria-2-propanol': [
    [one('temperature_K', { share: 0 }), 0.5, YES, NO],
    [one('share', { temperature_K: 0 }), 0.02, YES, NO],
  ],
  'equilibria-ethanol': [[one('share', { temperature_K: 0 }), 0.02, YES, NO]],
  'dilute-ethanol': band(one('gamma'), 0.8 * 3.7, 1.2 * 3.7),
  'dilute-2-propanol': band(one('gamma'), 0.7 * 7, 1.3 * 7),
  diffusion: worst(0.1),
  'still-loss': worst(0.03),
  room: [
    ...band(one('small', { large: 3, radius_mm: 1 }), 1, 4),
    ...band(one('large', { small: 3, radius_mm: 1 }), 1, 4),
  ],
  'into-oil': [[one('share'), 0.01, NO, YES]],
  'water-tension': worst(1e-3),
  'water-density': worst(0.01),
  'water-viscosity': worst(1e-3),
  'water-vapour': worst(1e-3),
  'tension-methanol': worst(0.015),
  'tension-ethanol': worst(0.015),
  'tension-2-propanol': worst(0.015),
  'tension-1-propanol': worst(0.015),
  'pure-tension-20': worst(0.01),
  'pure-tension-30': worst(0.01),
  'oiml-20': worst(2e-3),
  'oiml-25': worst(2e-3),
  'density-methanol': worst(1e-3),
  'density-1-propanol': worst(1e-3),
  'density-2-propanol': worst(1e-3),
  'viscosity-ethanol': worst(0.02),
  'viscosity-methanol': worst(0.02),
  'viscosity-1-propanol': worst(0.02),
  'viscosity-2-propanol': worst(0.02),
  'viscosity-2-propanol-25': worst(0.1),
  mixing: worst(0.01),
  'by-volume': worst(0.01),
  'clean-oil-water': [[one('outside', { values: [] }), 1e-9, YES, NO]],
  'kitchen-oil-water': [[one('outside', { values: [] }), 1e-9, YES, NO]],
  'oil-air': [[one('outside', { values: [] }), 1e-9, YES, NO]],
  'oil-viscosity': [[one('outside', { values: [] }), 1e-9, YES, NO]],
  'silicone-air': worst(0.5),
  'flash-ethanol': worst(1),
  'fire-2-propanol': band(one('flash_C', { limit_ppm: 400, low: 2, high: 12.7 }), 11.65, 11.75),
}

/** Of which a round drop says nothing, whatever its numbers. */
const UNTOLD = ['dye', 'merging', 'long-fingers']

describe('a verdict', () => {
  it('turns somewhere, for every fact that the program can speak of', () => {
    expect([...Object.keys(BORDERS), ...UNTOLD].sort()).toEqual(FACTS.map(({ id }) => id).sort())
  })
  it.each(Object.keys(BORDERS))('is a function of the number: %s', (id) => {
    const { judge } = factOf(id)
    for (const [numbers, border, below, above] of BORDERS[id]!) {
      const step = 1e-6 * (Math.abs(border) || 1)
      expect(judge(numbers(border - step)), `${border}, from below`).toBe(below)
      expect(judge(numbers(border + step)), `${border}, from above`).toBe(above)
    }
  })
  it.each(Object.keys(BORDERS))('is not "agrees" where the number is missing: %s', (id) => {
    for (const [numbers] of BORDERS[id]!) expect(factOf(id).judge(numbers(Number.NaN))).not.toBe(YES)
  })
  it.each(UNTOLD)('cannot be told of %s, with the reason', async (id) => {
    const { verdict, program } = await findingOf(factOf(id), new Bench(runLifeSync))
    expect(verdict).toBe(OPEN)
    expect(program.length).toBeGreaterThan(40)
  })
  it('of a size allows for both readings', () => {
    expect([4, 6, 9, 15, 25].map((r) => size(r, 10, 2))).toEqual([OPEN, YES, YES, OPEN, NO])
    expect(size(Number.NaN, 10, 2)).toBe(OPEN)
  })
  it('of an empty list of drops that are left, or of no threshold at all', () => {
    expect(factOf('stops').judge({ left: [], critical: [] })).toBe(OPEN)
    const never = { strength: 0.6, low: Number.NaN, threshold: Number.NaN, high: Number.NaN, growth: 1 }
    expect(factOf('rapeseed-60').judge(never)).toBe(NO)
  })
})

const verdictOf = async (id: string, run = runLifeSync, liquids: Liquids = LIBRARY): Promise<Verdict> =>
  (await findingOf(factOf(id), new Bench(run, {}, liquids))).verdict

/** The engine, with something planted into each life that it gives. */
const planted =
  (change: (life: Life) => Partial<Life>) =>
  (preset: Parameters<typeof runLifeSync>[0]): LifeResult => {
    const result = runLifeSync(preset)
    return result.ok ? { ok: true, life: { ...result.life, ...change(result.life) } } : result
  }

describe('a planted error', () => {
  it('in the tension of a mixture turns what is told of it', async () => {
    const wrong: Liquids = {
      ...LIBRARY,
      mixture: (id) => {
        const mixture = LIBRARY.mixture(id)
        return { ...mixture, surfaceTension: (w, T) => 1.05 * mixture.surfaceTension(w, T) }
      },
    }
    for (const id of ['tension-methanol', 'tension-ethanol']) {
      expect(await verdictOf(id)).toBe(YES)
      expect(await verdictOf(id, runLifeSync, wrong)).toBe(NO)
    }
  })
  it('in water, an oil, an activity turns what is told of them, to either side', async () => {
    const water = { ...LIBRARY.water, surfaceTension: () => 0.0728 }
    expect(await verdictOf('water-tension', runLifeSync, { ...LIBRARY, water })).toBe(NO)
    const oil: Liquids['oil'] = (id) => ({ ...LIBRARY.oil(id), waterTension: () => 0.03 })
    expect(await verdictOf('clean-oil-water', runLifeSync, { ...LIBRARY, oil })).toBe(NO)
    for (const [gamma, verdict] of [
      [3.7, YES],
      [5.4, NO],
    ] as const) {
      const mixture: Liquids['mixture'] = (id) => ({ ...LIBRARY.mixture(id), activity: () => [gamma, 1] })
      expect(await verdictOf('dilute-ethanol', runLifeSync, { ...LIBRARY, mixture })).toBe(verdict)
    }
  })
  it('in a life turns what is told of it, to either side', async () => {
    const ratio = (wanted: number) =>
      planted(({ summary }) => ({
        summary: { ...summary, maxRadius: wanted * summary.scale.filmRadius },
      }))
    expect(await verdictOf('ratio', ratio(0.28))).toBe(YES)
    expect(await verdictOf('ratio', ratio(0.35))).toBe(NO)
    const shedding = (count: number, share: number) =>
      planted(({ summary }) => ({
        summary: { ...summary, childDrops: { count, volume: share * 10e-9, medianRadius: 1e-5 } },
      }))
    expect(await verdictOf('thousands-sunflower-oil', shedding(5000, 0.5))).toBe(YES)
    expect(await verdictOf('thousands-sunflower-oil', shedding(3, 0.5))).toBe(NO)
    expect(await verdictOf('castor-weak', shedding(5, 0.5))).toBe(NO)
    expect(await verdictOf('castor-size', shedding(5, 0.5))).toBe(YES)
    expect(await verdictOf('castor-size', shedding(5, 0))).toBe(OPEN)
  })
  it('in curves and series turns what physics makes certain', async () => {
    expect(await verdictOf('silicone-50')).toBe(YES)
    const wetting = planted(({ facts }) => ({
      facts: { ...facts, curve: { ...facts.curve, S: facts.curve.S.map(() => 1e-3) } },
    }))
    expect(await verdictOf('silicone-50', wetting)).toBe(NO)
    expect(await verdictOf('nothing-leaves')).toBe(YES)
    const back = planted(({ series }) => ({ series: { ...series, R: series.R.toReversed() } }))
    expect(await verdictOf('nothing-leaves', back)).toBe(NO)
    expect(await verdictOf('budget')).toBe(YES)
    const leaking = planted(({ summary }) => ({ summary: { ...summary, alcoholClosure: 1e-6 } }))
    expect(await verdictOf('budget', leaking)).toBe(NO)
    expect(await verdictOf('still-loss')).toBe(YES)
    const drier = planted(({ series }) => ({
      series: { ...series, evaporatedVolume: series.evaporatedVolume.map((x) => 1.1 * x) },
    }))
    expect(await verdictOf('still-loss', drier)).toBe(NO)
    const swallowing = planted(({ series }) => ({
      series: { ...series, evaporatedAlcohol: series.evaporatedAlcohol.map((x) => 0.5 * x) },
    }))
    expect(await verdictOf('into-oil', swallowing)).toBe(YES)
  })
})

describe('what the closed forms rest on', () => {
  it('the flow of a layer begins as 8 √(t/π) and ends at 1 (Stokes’ first problem with given stress, textbook)', () => {
    for (const t of [1e-4, 3e-4]) expectClose(startOfFlow(t), 8 * Math.sqrt(t / Math.PI), { rtol: 0.05 })
    expectClose(startOfFlow(1e-5), 8 * Math.sqrt(1e-5 / Math.PI), { rtol: 0.015 })
    expectClose(startOfFlow(2), 1, { atol: 1e-9 })
  })
  it('a straight line is straight, a bent one less', () => {
    expectClose(straightness([1, 2, 3], [5, 7, 9]), 1, { rtol: 1e-12 })
    expectClose(straightness([0, 1, 2], [0, 1, 1]), 0.75, { rtol: 1e-12 })
  })
  it('curves that are one when scaled have no spread, others have', () => {
    const t = Float64Array.from({ length: 60 }, (_, i) => i / 59)
    const curve = (radius: number, time: number, bend: number) =>
      ({
        series: { t: t.map((x) => x * time), R: t.map((x) => radius * (0.2 + x - bend * x * x)) },
        summary: { maxRadius: radius, scale: { radius, time } },
      }) as unknown as Life
    const own = ({ summary }: Pick<Life, 'summary'>) => summary.scale
    expectClose(collapseSpread([curve(1, 1, 0.5), curve(3, 2, 0.5)], own), 0, { atol: 1e-9 })
    expect(collapseSpread([curve(1, 1, 0.5), curve(3, 2, 0.9)], own)).toBeGreaterThan(0.05)
    expect(collapseSpread([curve(1, Number.NaN, 0.5), curve(3, 2, 0.5)], own)).toBeNaN()
  })
  it('a root is found or said to be missing', () => {
    expectClose(
      rootOf((x) => x * x - 2, 0, 5),
      Math.SQRT2,
      { rtol: 1e-12 },
    )
    expect(rootOf((x) => x - 9, 0, 5)).toBeNaN()
  })
})

const made = (id: string, verdict: Verdict): Fact =>
  fact({
    id,
    fact: `Fact ${id}.`,
    source: 'made up',
    tolerance: 'none',
    measure: () => ({}),
    program: () => `number ${id}`,
    judge: () => verdict,
  })

describe('all together', () => {
  const facts = [made('a', YES), made('b', OPEN), made('c', NO), made('d', YES), made('e', NO)]

  it('what disagrees stands first, then what cannot be told; each in its order', async () => {
    const { findings, status, total } = await validate(runLifeSync, { facts })
    expect({ status, total }).toEqual({ status: 'done', total: 5 })
    expect(findings.map((one) => one.fact.slice(5, 6)).join('')).toBe('cebad')
    expect(inOrder(findings)).toEqual(findings)
    expect(summaryWords({ findings, status, total })).toBe(
      'Of 5 facts 2 disagree, 1 cannot be told and 2 agree.',
    )
  })
  it('a stop keeps what is known, and says how much that is', async () => {
    let asked = 0
    const told: number[] = []
    const result = await validate(runLifeSync, {
      facts,
      cancelled: () => asked++ >= 2,
      progress: (done) => told.push(done),
    })
    expect(result).toMatchObject({ status: 'stopped', total: 5 })
    expect(told).toEqual([1, 2])
    expect(summaryWords(result)).toMatch(/^Stopped: of 2 facts out of 5 /)
  })
  it('a stop within a life ends the work too', async () => {
    let lives = 0
    const run = (preset: Parameters<typeof runLifeSync>[0]): LifeResult =>
      ++lives > 1 ? { ok: false, reason: 'cancelled', problems: [] } : runLifeSync(preset)
    const result = await validate(run, { facts: [facts[0]!, factOf('shallow'), facts[1]!] })
    expect(result.status).toBe('stopped')
    expect(result.findings).toHaveLength(1)
  })
  it('a life that fails leaves its fact open, with the cause', async () => {
    const cause = 'the mesh was eaten'
    const run = (): LifeResult => ({
      ok: false,
      reason: 'crashed',
      problems: [{ where: 'engine', message: cause }],
    })
    const { findings, failures } = await validate(run, { facts: [factOf('ratio'), facts[0]!] })
    expect(findings[0]).toMatchObject({ verdict: OPEN, program: expect.stringContaining(cause) })
    expect(findings[1]!.verdict).toBe(YES)
    expect(failures).toEqual([cause])
  })
  it('a life is computed once for all facts that ask for it', async () => {
    const seen: string[] = []
    const run = (preset: Parameters<typeof runLifeSync>[0]): LifeResult => {
      seen.push(JSON.stringify(preset))
      return runLifeSync(preset)
    }
    await validate(run, { facts: ['straight', 'one-curve', 'ratio'].map(factOf) })
    expect(seen).toHaveLength(5)
    expect(new Set(seen).size).toBe(5)
  })
  it('the table has all words within 100 columns', async () => {
    const result = await validate(runLifeSync, { facts })
    const text = validationText(result)
    expect(text.indexOf('DISAGREES (2)')).toBeLessThan(text.indexOf('CANNOT TELL (1)'))
    for (const { fact: words, program } of result.findings) {
      expect(text).toContain(words)
      expect(text).toContain(program)
    }
    for (const line of text.split('\n')) expect(line.length).toBeLessThanOrEqual(100)
    expect(wrapped('one two  three', 7)).toEqual(['one two', ' three'])
  })
})
