/** Fits with a life in closed form, so that every way through them is walked: limits, stop, failures, several curves. */
import { describe, expect, it } from 'vitest'
import type { LifeResult, Preset } from '../../src/life/types.ts'
import { fitLives } from '../../src/measured/fit/fitLives.ts'
import { compareFits } from '../../src/measured/fit/hypotheses.ts'
import type { FitHooks, FitStep, FitWish, LifeFit } from '../../src/measured/fit/types.ts'
import { chiSquaredTail } from '../../src/numerics/chance.ts'
import {
  type CurveChoice,
  closedLife,
  closedLifeOf,
  closedPreset,
  closedScales,
  curveFrom,
  withKeys,
} from '../fixtures/fitCurves.ts'
import { expectClose } from '../matchers.ts'

const RATE = 'air.constantRate_umPerS'
const OIL = 'bath.viscosity_mPas'
const truth = withKeys(closedPreset, { [RATE]: 0.52, [OIL]: 64 })
const measured = (changes: Partial<CurveChoice> = {}, of: Preset = truth) =>
  curveFrom(closedLifeOf(of), { to: 7.5, ...changes })

async function outcome(wish: Partial<FitWish>, hooks: FitHooks = {}, run = closedLife) {
  return fitLives({ preset: closedPreset, curves: [measured()], unknowns: [RATE, OIL], ...wish }, run, hooks)
}
async function fitted(wish: Partial<FitWish>, hooks: FitHooks = {}, run = closedLife): Promise<LifeFit> {
  const made = await outcome(wish, hooks, run)
  if (!made.ok) throw new Error(made.problems.map((p) => p.message).join(' '))
  return made.fit
}

describe('a fit of two unknowns', () => {
  it('finds them with errors, χ² and residuals', async () => {
    const fit = await fitted({})
    const [rate, oil] = fit.unknowns
    expect(Math.abs(rate!.value - 0.52)).toBeLessThan(3 * rate!.error)
    expect(Math.abs(oil!.value - 64)).toBeLessThan(3 * oil!.error)
    for (const one of fit.unknowns) expect(one).toMatchObject({ verdict: 'determined', why: '' })
    expect(rate).toMatchObject({ path: RATE, unit: 'µm/s', start: 0.4, lower: 2e-4, upper: 20 })
    expect(fit).toMatchObject({
      weights: 'given',
      points: 40,
      degreesOfFreedom: 38,
      converged: true,
      stopped: false,
      accuracy: 'normal',
    })
    expectClose(fit.reduced, fit.sumOfSquares / 38, { rtol: 1e-12 })
    expect(fit.chance).toBe(chiSquaredTail(fit.sumOfSquares, 38))
    expect(fit.chance).toBeGreaterThan(0.01)
    const [curve] = fit.curves
    expect(curve!.residual).toHaveLength(40)
    const chi = curve!.residual.reduce((sum, r, i) => sum + (r / curve!.sigma[i]!) ** 2, 0)
    expectClose(chi, fit.sumOfSquares, { rtol: 1e-9 })
    expectClose(
      curve!.rms ** 2 * 40,
      curve!.residual.reduce((sum, r) => sum + r * r, 0),
      { rtol: 1e-12 },
    )
    expect(fit.preset.bath.viscosity_mPas).toBe(oil!.value)
    expect(fit.preset.model).toEqual(closedPreset.model)
    expect(fit.warnings).toEqual([])
  })

  it('meets exact points, although nothing is left to tell when to end', async () => {
    const exact = { ...measured({ noise: 0 }), uncertainty: new Float64Array(40).fill(1e-4) }
    const fit = await fitted({ curves: [exact] })
    expect(fit.converged).toBe(true)
    expectClose(fit.unknowns[0]!.value, 0.52, { rtol: 1e-6 })
    expectClose(fit.unknowns[1]!.value, 64, { rtol: 1e-6 })
  })

  it('has the errors of the closed form', async () => {
    // Where R = A f(t/T) with A and T free, the errors of ln A and ln T follow from two sums over the points; then
    // ln j = −2 ln A − ln T and ln η = −2 ln A + ln T up to constants (from R* and t*).
    const curve = measured()
    const fit = await fitted({ curves: [curve], check: false })
    const { time } = closedScales(fit.preset)
    const logSlope = (t: number) => {
      const x = t / time
      return -x * (0.3 / (x + 0.01) - 0.2 / (1 - x))
    }
    // Residuals in units of σ = 0.02 R of the truth, which the fit meets to a per cent.
    const sums = [0, 0, 0]
    for (const t of curve.time) {
      const b = logSlope(t)
      sums[0]! += 2500
      sums[1]! += 2500 * b
      sums[2]! += 2500 * b * b
    }
    const determinant = sums[0]! * sums[2]! - sums[1]! ** 2
    const [varA, varT, cov] = [sums[2]! / determinant, sums[0]! / determinant, -sums[1]! / determinant]
    const [rate, oil] = fit.unknowns
    expectClose(rate!.error / rate!.value, Math.sqrt(4 * varA + varT + 4 * cov), { rtol: 0.05 })
    expectClose(oil!.error / oil!.value, Math.sqrt(4 * varA + varT - 4 * cov), { rtol: 0.05 })
  })

  it('without uncertainties takes σ from the scatter and says that χ² is no test', async () => {
    const fit = await fitted({ curves: [measured({ stated: false })] })
    expect(fit).toMatchObject({ weights: 'scatter', reduced: Number.NaN, chance: Number.NaN })
    expectClose(fit.scatter, Math.sqrt(fit.sumOfSquares / 38), { rtol: 1e-12 })
    expect(fit.warnings.join()).toMatch(
      /There are no uncertainties: the errors come from the scatter.*no test/,
    )
    for (const { value, error, path } of fit.unknowns)
      expect(Math.abs(value - (path === RATE ? 0.52 : 64))).toBeLessThan(4 * error)
  })

  it('counts all points alike where some lack an uncertainty', async () => {
    const curve = measured()
    curve.uncertainty![3] = Number.NaN
    const fit = await fitted({ curves: [curve] })
    expect(fit.weights).toBe('scatter')
    expect(fit.warnings.join()).toMatch(/Some points have no uncertainty/)
  })

  it('tells when points lie further off than their uncertainties', async () => {
    const curve = { ...measured({ noise: 0.06 }), uncertainty: measured().uncertainty! }
    const fit = await fitted({ curves: [curve] })
    expect(fit.chance).toBeLessThan(1e-6)
    expect(fit.warnings.join()).toMatch(/further off than their uncertainties allow/)
  })

  it('tells when the residuals have a shape of their own', async () => {
    const curve = measured({ noise: 0.002 })
    curve.radius.forEach((R, i) => {
      curve.radius[i] = R * (1 + 0.03 * Math.sin(i / 4))
    })
    const fit = await fitted({ curves: [curve] })
    expect(fit.randomness.z).toBeLessThan(-3)
    expect(fit.randomness.neighbours).toBeGreaterThan(0.5)
    expect(fit.warnings.join()).toMatch(/not like chance: \d+ runs/)
  })

  it('leaves out points that are set aside', async () => {
    const curve = measured()
    curve.radius[10] = 0.5
    const without = { ...curve, excluded: new Uint8Array(40).fill(1, 10, 11) }
    const fit = await fitted({ curves: [without] })
    expect(fit.points).toBe(39)
    expect(fit.chance).toBeGreaterThan(0.01)
  })
})

describe('what the data cannot tell apart', () => {
  it.each([
    [['drop.volume_uL', RATE], 'Constant rate'],
    [['bath.depth_mm', OIL], 'Oil viscosity'],
  ])('%j: only their product counts', async (unknowns, partner) => {
    const fit = await fitted({ unknowns })
    for (const one of fit.unknowns) expect(one.verdict).toBe('not-determined')
    expect(fit.unknowns[0]!.why).toContain(partner)
    expect(fit.unknowns[0]!.why).toMatch(/do not tell it apart|only together/)
  })
  it('a third unknown stays determined beside them', async () => {
    const fit = await fitted({ unknowns: ['drop.volume_uL', RATE, OIL] })
    expect(fit.unknowns.map(({ verdict }) => verdict)).toEqual([
      'not-determined',
      'not-determined',
      'determined',
    ])
    expect(Math.abs(fit.unknowns[2]!.value - 64)).toBeLessThan(3 * fit.unknowns[2]!.error)
  })
  it('an unknown without effect', async () => {
    const fit = await fitted({ unknowns: [RATE, 'interface.decay'] })
    expect(fit.unknowns[1]).toMatchObject({
      verdict: 'not-determined',
      why: 'it has no visible effect on these points',
    })
    expect(fit.unknowns[0]!.verdict).toBe('determined')
  })
  it('an unknown that hardly shows', async () => {
    const early = { ...measured({ to: 0.5, points: 6 }), uncertainty: new Float64Array(6).fill(5e-3) }
    const fit = await fitted({ curves: [early], unknowns: [RATE] })
    expect(fit.unknowns[0]).toMatchObject({
      verdict: 'not-determined',
      why: 'its error is as large as the value or its range',
    })
  })
})

describe('limits', () => {
  it('are kept, and an unknown at one of them is told so', async () => {
    const seen: number[] = []
    const run = (preset: Preset) => {
      seen.push(preset.bath.viscosity_mPas!)
      return closedLife(preset)
    }
    const fit = await fitted({ limits: { [OIL]: [40, 55] } }, {}, run)
    expect(Math.max(...seen)).toBeLessThanOrEqual(55)
    expect(fit.unknowns[1]).toMatchObject({ value: 55, verdict: 'at-limit', error: Number.NaN })
    expect(fit.unknowns[1]!.why).toMatch(
      /upper end of its range \(55 mPa·s\); the data ask for a larger oil viscosity/,
    )
    expect(fit.unknowns[0]!.error).toBeGreaterThan(0)
  })
  it('of the keys are never passed', async () => {
    const wide = withKeys(closedPreset, { [RATE]: 19, [OIL]: 4500 })
    const curves = [measured({ to: 3 }, withKeys(closedPreset, { [RATE]: 20, [OIL]: 5000 }))]
    curves[0]!.radius.forEach((R, i) => {
      curves[0]!.radius[i] = 0.6 * R
    })
    const fit = await fitted({ preset: wide, curves })
    for (const { value, lower, upper } of fit.unknowns) {
      expect(value).toBeGreaterThanOrEqual(lower)
      expect(value).toBeLessThanOrEqual(upper)
    }
    expect(fit.unknowns.some(({ verdict }) => verdict === 'at-limit')).toBe(true)
  })
})

describe('the moment of contact', () => {
  it('is found on the own clock of each curve', async () => {
    const curves = [
      measured({ clock: 3.2, seed: 5, noise: 0.01 }),
      measured({ clock: -1, seed: 6, noise: 0.01 }),
    ]
    curves[0]!.meta = { startTime_s: 3 }
    curves[1]!.meta = { startTime_s: -0.9 }
    const fit = await fitted({ curves, unknowns: [RATE, OIL, 'startTime'] })
    expect(fit.unknowns.map(({ path }) => path)).toEqual([RATE, OIL, 'startTime', 'startTime'])
    const [first, second] = fit.unknowns.slice(2)
    expect(first!.curve).toBe(curves[0]!.id)
    expect(Math.abs(first!.value - 3.2)).toBeLessThan(3 * first!.error)
    expect(Math.abs(second!.value + 1)).toBeLessThan(3 * second!.error)
    expect(first!.error).toBeLessThan(0.05)
    expect(fit.curves.map(({ startTime }) => startTime)).toEqual([first!.value, second!.value])
  })
  it('asks for no further life', async () => {
    const curve = measured({ clock: 0.4 })
    const fit = await fitted({
      preset: truth,
      curves: [curve],
      unknowns: ['startTime'],
      scan: 'never',
      check: false,
    })
    expect(Math.abs(fit.unknowns[0]!.value - 0.4)).toBeLessThan(3 * fit.unknowns[0]!.error)
    // One quick life and one at the accuracy of the drop.
    expect(fit.lives).toBe(2)
  })
})

describe('several curves', () => {
  const weak = withKeys(truth, { 'drop.volume_uL': 4, 'drop.alcoholMassFraction': 0.4 })
  const curves = [
    measured({ seed: 7 }),
    measured({ seed: 8, to: 4.7, meta: { volume_uL: 4, alcoholFraction: 0.4, fractionBasis: 'mass' } }, weak),
  ]
  it('share their unknowns, each with its own drop', async () => {
    const seen = new Set<string>()
    const run = (preset: Preset) => {
      seen.add(`${preset.drop.volume_uL} ${preset.drop.alcoholMassFraction}`)
      return closedLife(preset)
    }
    const fit = await fitted({ curves }, {}, run)
    expect(seen).toEqual(new Set(['10 0.5', '4 0.4']))
    expect(fit.points).toBe(80)
    expect(fit.curves.map(({ preset }) => preset.drop.volume_uL)).toEqual([10, 4])
    const one = await fitted({ curves: [curves[0]!] })
    expect(fit.unknowns[0]!.error).toBeLessThan(one.unknowns[0]!.error)
    expect(Math.abs(fit.unknowns[1]!.value - 64)).toBeLessThan(3 * fit.unknowns[1]!.error)
  })
  it('of the same drop share their lives', async () => {
    const twice = [measured({ seed: 9 }), measured({ seed: 10 })]
    const [one, two] = [await fitted({ curves: [twice[0]!] }), await fitted({ curves: twice })]
    expect(two.lives).toBeLessThan(1.5 * one.lives)
  })
})

describe('lives that end or fail', () => {
  const ending = (preset: Preset): LifeResult => {
    const result = closedLife(preset)
    if (result.ok) result.life.summary = { ...result.life.summary, outcome: 'failed', cause: 'stuck' }
    return result
  }
  it('a life that ends before the last point holds its radius there', async () => {
    const late = measured({ to: 11 })
    const fit = await fitted({ curves: [late] })
    expect(fit.curves[0]!.after).toBeGreaterThan(3)
    expect(fit.warnings.join()).toMatch(/points are after the end of the life; its last radius holds there/)
    expect(Math.abs(fit.unknowns[1]!.value - 64)).toBeLessThan(3 * fit.unknowns[1]!.error)
  })
  it('a first life that fails is told with its cause', async () => {
    const made = await outcome({ curves: [measured({ to: 20 })], scan: 'never' }, {}, ending)
    expect(made).toMatchObject({ ok: false, reason: 'failed' })
    if (!made.ok) expect(made.problems[0]!.message).toMatch(/No life to start from: stuck/)
  })
  it('a life that fails after the last point is good enough', async () => {
    const fit = await fitted({ curves: [measured({ to: 4 })] }, {}, ending)
    expect(fit.converged).toBe(true)
  })
  it('failures on the way are gone around', async () => {
    const run = (preset: Preset) => (preset.bath.viscosity_mPas! > 66 ? ending(preset) : closedLife(preset))
    const fit = await fitted(
      { curves: [measured({ to: 7.5 })], preset: withKeys(closedPreset, { [OIL]: 30 }) },
      {},
      run,
    )
    expectClose(fit.unknowns[1]!.value, 64, { rtol: 0.05 })
  })
  it('an engine that throws is a failed life', async () => {
    const made = await outcome({}, {}, () => {
      throw new Error('out of memory')
    })
    expect(made).toMatchObject({ ok: false, reason: 'failed' })
    if (!made.ok) expect(made.problems[0]!.message).toContain('out of memory')
  })
  it('a lens is followed to the last point', async () => {
    const asked: (number | undefined)[] = []
    const run = (preset: Preset): LifeResult => {
      asked.push(preset.model.horizon_s)
      const result = closedLife(preset)
      if (!result.ok) return result
      const { life } = result
      const end = preset.model.horizon_s ?? 12
      const t = Float64Array.of(0, end / 2, end)
      life.series = { ...life.series, t, R: t.map((s) => 4e-3 - 1e-5 * s), U: t.map(() => -1e-5) }
      life.summary = { ...life.summary, outcome: 'lens' }
      return result
    }
    const curve = {
      ...measured(),
      time: Float64Array.from({ length: 40 }, (_, i) => 0.5 * i),
      radius: new Float64Array(40).fill(3.9e-3),
    }
    const fit = await fitted({ curves: [curve], scan: 'never' }, {}, run)
    expect(new Set(asked.filter((horizon) => horizon !== undefined))).toEqual(new Set([19.5 * 1.05]))
    expect(fit.curves[0]!.after).toBe(0)
  })
})

describe('the scan for a start', () => {
  const far = withKeys(closedPreset, { [RATE]: 5, [OIL]: 9 })
  it('finds the way from far off', async () => {
    const stages: string[] = []
    const fit = await fitted({ preset: far }, { progress: ({ stage }) => stages.push(stage) })
    expect(stages).toContain('scan')
    expectClose(fit.unknowns[0]!.value, 0.52, { rtol: 0.05 })
    expectClose(fit.unknowns[1]!.value, 64, { rtol: 0.05 })
  })
  it('is left out when it is not wanted or not needed', async () => {
    const stages: string[] = []
    await fitted({ preset: far, scan: 'never' }, { progress: ({ stage }) => stages.push(stage) })
    await fitted({}, { progress: ({ stage }) => stages.push(stage) })
    expect(stages).not.toContain('scan')
  })
})

describe('progress and stop', () => {
  it('each step is better, and carries the curve', async () => {
    const steps: FitStep[] = []
    const fit = await fitted({}, { progress: (step) => steps.push(step) })
    const approach = steps.filter(({ stage }) => stage === 'approach').map(({ sumOfSquares }) => sumOfSquares)
    expect(approach.length).toBeGreaterThan(2)
    approach.forEach((sum, i) => {
      if (i > 0) expect(sum).toBeLessThan(approach[i - 1]!)
    })
    expect(steps.at(-1)!.stage).toBe('check')
    expect(steps.at(-1)!.values).toEqual(fit.unknowns.map(({ value }) => value))
    expect([...steps.at(-1)!.courses[0]!.R]).toEqual([...fit.curves[0]!.lifeRadius])
    expect(steps.every(({ courses }) => courses[0]!.t.length === courses[0]!.R.length)).toBe(true)
  })
  it.each([1, 2, 5, 9, 17])(
    'a stop after %i lives gives the best so far, or says that there is none',
    async (most) => {
      let lives = 0
      const run = (preset: Preset) => {
        lives++
        return closedLife(preset)
      }
      const made = await outcome({}, { cancelled: () => lives >= most }, run)
      expect(lives).toBeLessThanOrEqual(most)
      if (made.ok) {
        expect(made.fit.stopped).toBe(true)
        expect(made.fit.ending).toMatch(/stopped by hand/)
        expect(made.fit.curves).toHaveLength(1)
      } else expect(made.reason).toBe('stopped')
    },
  )
  it('a life that is broken off by the stop is not used', async () => {
    let stop = false
    const run = (preset: Preset): LifeResult => {
      const result = closedLife(preset)
      if (!stop || !result.ok) return result
      return { ok: true, life: { ...result.life, status: 'stopped' } }
    }
    let steps = 0
    const made = await outcome({}, { progress: () => (stop = ++steps > 2), cancelled: () => false }, run)
    if (!made.ok) throw new Error('nothing')
    expect(made.fit.stopped).toBe(true)
    expect(made.fit.unknowns.every(({ value }) => value > 0)).toBe(true)
  })
})

describe('two hypotheses', () => {
  const curve = measured({ noise: 0.01 })
  it('are ranked by AICc', async () => {
    const both = await fitted({ curves: [curve] })
    const oil = await fitted({ curves: [curve], unknowns: [OIL] })
    const compared = compareFits([
      { name: 'oil alone', fit: oil },
      { name: 'rate and oil', fit: both },
    ])
    if (!compared.ok) throw new Error(compared.reason)
    expect(compared.ranked.map(({ name }) => name)).toEqual(['rate and oil', 'oil alone'])
    // Known errors: AIC = χ² + 2k, AICc adds 2k(k + 1)/(n − k − 1) (Burnham & Anderson 2002, section 2.4).
    const aicc = (chi: number, k: number) => chi + 2 * k + (2 * k * (k + 1)) / (40 - k - 1)
    expectClose(compared.ranked[1]!.difference, aicc(oil.sumOfSquares, 1) - aicc(both.sumOfSquares, 2), {
      rtol: 1e-9,
    })
    expect(compared.words).toMatch(/“rate and oil” does much better/)
  })
  it('one unknown too many is not preferred', async () => {
    const both = await fitted({ curves: [curve] })
    const more = await fitted({ curves: [curve], unknowns: [RATE, OIL, 'interface.decay'] })
    const compared = compareFits([
      { name: 'more', fit: more },
      { name: 'both', fit: both },
    ])
    expect(compared.ok && compared.ranked[0]!.name).toBe('both')
  })
  it('of other points are not compared', async () => {
    const one = await fitted({ curves: [curve] })
    const other = await fitted({ curves: [{ ...curve, excluded: new Uint8Array(40).fill(1, 0, 1) }] })
    expect(
      compareFits([
        { name: 'a', fit: one },
        { name: 'b', fit: other },
      ]),
    ).toMatchObject({ ok: false })
    const moved = await fitted({ curves: [{ ...curve, meta: { startTime_s: 0.01 } }] })
    expect(moved.data).toBe(one.data)
    expect(compareFits([{ name: 'a', fit: one }])).toMatchObject({ ok: false })
  })
})
