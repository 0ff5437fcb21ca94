/** Which drops to put down: what is looked at, what it tells, how it is planned. */
import { describe, expect, it } from 'vitest'
import { LEAST } from '../../src/life/errors.ts'
import type { LifeRunner } from '../../src/life/lives.ts'
import { radiusAt } from '../../src/measured/fit/course.ts'
import { candidatesOf, evenSpread } from '../../src/plan/choose/candidates.ts'
import { chooseDrops } from '../../src/plan/choose/chooseDrops.ts'
import { costOf } from '../../src/plan/choose/cost.ts'
import { drawsOf, unknownOf } from '../../src/plan/choose/priors.ts'
import { rangeValues } from '../../src/plan/choose/ranges.ts'
import {
  commonWords,
  mixingLines,
  planCautions,
  plannedRuns,
  planTable,
} from '../../src/plan/choose/runPlan.ts'
import { MOMENTS, slopeOf, smoothAt } from '../../src/plan/choose/slopes.ts'
import type { Choice, ChooseWish } from '../../src/plan/choose/types.ts'
import { GRADUATED_PIPETTE } from '../../src/plan/pipette.ts'
import { closedLife, closedLifeOf, closedPreset, normal, withKeys } from '../fixtures/fitCurves.ts'

const RATE = 'air.constantRate_umPerS'
const OIL = 'bath.viscosity_mPas'

const wishOf = (more: Partial<ChooseWish> = {}): ChooseWish => ({
  preset: closedPreset,
  unknowns: [RATE, OIL],
  vary: [
    { key: 'drop.volume_uL', values: [2, 10, 40] },
    { key: 'bath.depth_mm', values: [5, 10, 20] },
  ],
  drops: 4,
  draws: 3,
  ...more,
})

async function chosen(more: Partial<ChooseWish> = {}, run: LifeRunner = closedLife): Promise<Choice> {
  const made = await chooseDrops(wishOf(more), run)
  if (!made.ok) throw new Error(made.problems.map(({ message }) => message).join(' '))
  return made.choice
}

describe('a choice of drops with lives in closed form', () => {
  it('costs what was told beforehand, and a finer life of each kind', async () => {
    let lives = 0
    const counting: LifeRunner = (preset) => {
      lives++
      return closedLife(preset)
    }
    const priced = costOf(wishOf())
    await chosen({}, counting)
    expect(priced).toMatchObject({ ok: true, cost: { kinds: 9, lives: 9 * 3 * 5 } })
    expect(lives).toBe(9 * 3 * 5 + 9)
  })

  it('has the error of the closed form: ∂R/∂ln j = −R/4 + t R′/2, scale and noise by Sherman and Morrison', async () => {
    const measuring = { noise: 0.3, scale: 0.02, points: 40 }
    const choice = await chosen({
      unknowns: [RATE],
      vary: [{ key: 'drop.volume_uL', values: [10, 10.001] }],
      measuring,
      // Well known beforehand: the lives that are compared then lie close together.
      priors: { [RATE]: { value: 0.4, sigma: 0.02 } },
      drops: 3,
      draws: 1,
    })
    const { t, R, U } = closedLifeOf(closedPreset).series
    const course = { t, R, U }
    const end = 0.95 * t.at(-1)!
    let [jj, js, ss] = [0, 0, 0]
    for (let i = 1; i <= 40; i++) {
      const time = (i * end) / 40
      const radius = radiusAt(course, time)
      const slope = (radiusAt(course, 1.001 * time) - radiusAt(course, 0.999 * time)) / 0.002
      const late = (LEAST.quick.time / 2) * slope
      const variance = 0.3e-3 ** 2 + ((LEAST.quick.radius / 2) * radius) ** 2 + late ** 2
      const [j, s] = [-radius / 4 + slope / 2, 0.02 * radius]
      jj += j ** 2 / variance
      js += (j * s) / variance
      ss += s ** 2 / variance
    }
    const information = 3 * (jj - js ** 2 / (1 + ss)) + (1 / 0.05) ** 2
    expect(Math.abs(choice.errors[0]!.middle * Math.sqrt(information) - 1)).toBeLessThan(0.04)
  })

  it('is better than an even spread, and more drops are better than fewer', async () => {
    const { errors, even, curve } = await chosen()
    errors.forEach(({ least, middle, most }, j) => {
      expect(least).toBeLessThanOrEqual(middle)
      expect(middle).toBeLessThanOrEqual(most)
      expect(middle).toBeLessThan(even.errors[j]!)
    })
    expect(curve.map(({ drops }) => drops)).toEqual([1, 2, 3, 4, 5, 6, 7, 8])
    const sizes = curve.map(({ chosen: [rate, oil] }) => rate! * oil!)
    for (let n = 1; n < sizes.length; n++) expect(sizes[n]).toBeLessThan(sizes[n - 1]!)
  })

  it('is the same for the same seed, whatever number of lives at the same time', async () => {
    const together: LifeRunner = Object.assign(
      async (...[preset]: Parameters<LifeRunner>) => closedLife(preset),
      {
        atOnce: 4,
      },
    )
    const [one, four] = [await chosen(), await chosen({}, together)]
    expect(JSON.stringify(four)).toBe(JSON.stringify(one))
  })

  it('a drop whose lives fail tells nothing, is said so, and is not chosen', async () => {
    const failing: LifeRunner = (preset) =>
      preset.drop.volume_uL > 20
        ? { ok: false, reason: 'crashed', problems: [{ where: 'engine', message: 'No such drop.' }] }
        : closedLife(preset)
    const { drops, seen, notes } = await chosen({}, failing)
    expect(seen.filter(({ remark }) => remark.includes('No such drop.'))).toHaveLength(3)
    for (const { candidate } of drops) expect(seen[candidate]!.values[0]).toBeLessThan(20)
    expect(notes.join(' ')).toContain('3 of 9 kinds of drops tell nothing')
  })

  it('a drop whose finer life is far off tells nothing: a fit of it could mislead', async () => {
    const rough: LifeRunner = (preset) =>
      preset.drop.volume_uL > 20 && preset.model.accuracy === 'normal'
        ? closedLife(withKeys(preset, { 'drop.volume_uL': 1.3 * preset.drop.volume_uL }))
        : closedLife(preset)
    const { drops, seen } = await chosen({}, rough)
    expect(seen.filter(({ remark }) => remark.includes('finer'))).toHaveLength(3)
    for (const { candidate } of drops) expect(seen[candidate]!.values[0]).toBeLessThan(20)
  })

  it('what the calculation may be wrong by counts at every place of what is known', async () => {
    const finer: LifeRunner = (preset) =>
      preset.model.accuracy === 'normal'
        ? closedLife(withKeys(preset, { 'drop.volume_uL': 1.06 * preset.drop.volume_uL }))
        : closedLife(preset)
    const leastOf = ({ errors }: Choice) => errors.reduce((product, { least }) => product * least, 1)
    const [sure, unsure] = [leastOf(await chosen()), leastOf(await chosen({}, finer))]
    expect(unsure / sure).toBeGreaterThan(1.1)
  })

  it('of drops that tell next to nothing what was known beforehand is left, and that is said', async () => {
    const { errors, warnings } = await chosen({
      unknowns: [RATE],
      measuring: { noise: 10, points: 5, scale: 0.2 },
      drops: 1,
      vary: [{ key: 'drop.volume_uL', values: [0.5, 0.6] }],
      priors: { [RATE]: { value: 0.4, sigma: 0.08 } },
    })
    expect(errors[0]!.middle).toBeGreaterThan(0.18)
    expect(errors[0]!.middle).toBeLessThan(0.2)
    expect(warnings.join(' ')).toContain('They tell next to nothing of it.')
  })

  it('where all lives fail there is no choice, and a stop is heard', async () => {
    const none: LifeRunner = () => ({
      ok: false,
      reason: 'crashed',
      problems: [{ where: 'engine', message: 'Out of order.' }],
    })
    expect(await chooseDrops(wishOf(), none)).toMatchObject({ ok: false, reason: 'failed' })
    let lives = 0
    const stopped = await chooseDrops(wishOf(), closedLife, { cancelled: () => ++lives > 40 })
    expect(stopped).toMatchObject({ ok: false, reason: 'stopped' })
  })

  it('errors of volume and contact make the unknowns less well known', async () => {
    const sure = await chosen()
    // The curve tells its own contact well; its volume it cannot tell from the rate.
    for (const [measuring, least] of [
      [{ volume: 0.1 }, 1.5],
      [{ contact: 0.5 }, 1.005],
    ] as const) {
      const { errors } = await chosen({ measuring })
      expect(errors[0]!.middle * errors[1]!.middle).toBeGreaterThan(
        least * sure.errors[0]!.middle * sure.errors[1]!.middle,
      )
    }
  })
})

describe('what is looked at', () => {
  const vary = [
    { key: 'drop.alcoholMassFraction', values: rangeOf(0.3, 0.8, 20) },
    { key: 'drop.volume_uL', values: rangeOf(2, 40, 20) },
  ]
  function rangeOf(from: number, to: number, count: number): number[] {
    const made = rangeValues(from, to, count)
    if (!made.ok) throw new Error(made.message)
    return made.values
  }
  it('are all combinations, or an even part of them with the corners, each once', () => {
    expect(candidatesOf(vary, closedPreset, 400).candidates).toHaveLength(400)
    const { candidates, combinations } = candidatesOf(vary, closedPreset, 50)
    expect(combinations).toBe(400)
    expect(new Set(candidates.map(({ levels }) => levels.join())).size).toBe(50)
    for (const corner of ['0,0', '19,0', '0,19', '19,19'])
      expect(candidates.map(({ levels }) => levels.join())).toContain(corner)
    // Each quarter has its part: 12.5 of 50, the corners aside.
    const quarters = [0, 0, 0, 0]
    for (const { levels } of candidates) quarters[(levels[0]! > 9 ? 1 : 0) + (levels[1]! > 9 ? 2 : 0)]!++
    for (const one of quarters) expect(Math.abs(one - 12.5)).toBeLessThan(3)
  })
  it('an even spread goes through each input from end to end', () => {
    const { candidates } = candidatesOf(vary, closedPreset, 400)
    const spread = evenSpread(vary, candidates, 5, 3).map((c) => candidates[c]!.levels)
    for (const j of [0, 1])
      expect(spread.map((levels) => levels[j]!).toSorted((a, b) => a - b)).toEqual([0, 5, 10, 14, 19])
  })
  it('places of what is known: the middle first, the others as wide as stated', () => {
    const unknown = unknownOf(RATE, wishOf({ priors: { [RATE]: { value: 0.4, sigma: 0.04 } } }))
    const draws = drawsOf([unknown], 16).map(([value]) => Math.log(value! / 0.4))
    expect(draws[0]).toBe(0)
    expect(Math.max(...draws)).toBeLessThanOrEqual(0.15)
    const square = draws.slice(1).reduce((sum, one) => sum + one ** 2, 0) / 15
    // A normal distribution that ends at 1.5 σ on either side has 0.77 of its variance there (closed form).
    expect(Math.sqrt(square)).toBeGreaterThan(0.07)
    expect(Math.sqrt(square)).toBeLessThan(0.11)
  })
})

describe('slopes', () => {
  it('smoothing leaves a parabola as it is (Savitzky & Golay 1964)', () => {
    const values = Float64Array.from({ length: MOMENTS }, (_, i) => 3 - 0.2 * (i + 1) + 0.01 * (i + 1) ** 2)
    for (const share of [0.02, 0.4, 0.97, 1]) {
      const x = share * MOMENTS
      expect(smoothAt(values, share)).toBeCloseTo(3 - 0.2 * x + 0.01 * x ** 2, 9)
    }
  })
  it('finds slope and roughness of two rough lives', () => {
    const g = normal(5)
    const life = (by: number) =>
      Float64Array.from({ length: MOMENTS }, (_, i) => (10 + by) * (1 + i / MOMENTS) + 0.1 * g())
    const { slope, rough } = slopeOf(life(1), life(-1), 0.2)
    expect(slope[30]).toBeCloseTo(10 * (1 + 30 / MOMENTS), 0)
    expect(rough).toBeGreaterThan(0.07)
    expect(rough).toBeLessThan(0.13)
  })
})

describe('the plan of runs', () => {
  it('has every drop as often as it was chosen, in an order that hangs on the seed', async () => {
    const drops = [
      { candidate: 0, times: 3 },
      { candidate: 4, times: 3 },
      { candidate: 8, times: 2 },
    ]
    const choice = { ...(await chosen({ drops: 8 })), drops }
    const runs = plannedRuns(choice, closedPreset)
    expect(runs.map(({ run }) => run)).toEqual([1, 2, 3, 4, 5, 6, 7, 8])
    for (const { candidate, times } of choice.drops)
      expect(runs.filter((one) => one.candidate === candidate)).toHaveLength(times)
    expect(plannedRuns(choice, closedPreset)).toEqual(runs)
    const orders = [2, 3, 4, 5].map((seed) =>
      plannedRuns({ ...choice, seed }, closedPreset)
        .map(({ candidate }) => candidate)
        .join(),
    )
    expect(new Set([runs.map(({ candidate }) => candidate).join(), ...orders]).size).toBeGreaterThan(1)
    expect(planTable(choice, closedPreset).rows).toHaveLength(8)
    // What varies is not told as common to all.
    expect(commonWords(choice, closedPreset)).toMatch(/^All runs: 50 % by volume, .*dish 140 mm wide\.$/)
    expect(commonWords(choice, closedPreset)).not.toContain('µL')
  })
  it('tells how to mix each strength once, with the cautions of its alcohol', async () => {
    const real = withKeys(
      { ...closedPreset, interface: {} },
      { 'drop.alcohol': 'methanol', 'bath.liquid': 'rapeseed-oil', 'drop.alcoholMassFraction': 0.5 },
    )
    const base = await chosen()
    const lines = mixingLines(base, real, {
      stock: { by: 'mass', value: 1 },
      mixture_mL: 50,
      pipette: GRADUATED_PIPETTE,
    })
    expect(lines).toHaveLength(1)
    expect(lines[0]).toMatch(/^50\.0 % by mass: [\d.]+ mL of the bottle \([\d.]+ g\) and [\d.]+ mL of water/)
    expect(planCautions(real).join(' ')).toMatch(/toxic/i)
  })
})
