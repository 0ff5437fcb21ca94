/** What is known beside the points: priors, shared errors, conditions. Against what the closed-form life says of them. */
import { describe, expect, it } from 'vitest'
import { livesForConditions } from '../../src/measured/fit/causes.ts'
import { fitLives } from '../../src/measured/fit/fitLives.ts'
import { setUp } from '../../src/measured/fit/parameters.ts'
import type { FitWish, LifeFit } from '../../src/measured/fit/types.ts'
import type { MeasuredCurve, SharedCause } from '../../src/measured/types.ts'
import { Whitening } from '../../src/numerics/whitening.ts'
import { closedLife, closedLifeOf, closedPreset, curveFrom, normal, withKeys } from '../fixtures/fitCurves.ts'
import { expectClose } from '../matchers.ts'

const RATE = 'air.constantRate_umPerS'
const OIL = 'bath.viscosity_mPas'
const TRUTH = { [RATE]: 0.52, [OIL]: 64 }
const truth = withKeys(closedPreset, TRUTH)
const measured = (seed = 1, of = truth): MeasuredCurve => curveFrom(closedLifeOf(of), { to: 7.5, seed })

async function fitted(wish: Partial<FitWish>): Promise<LifeFit> {
  // Lives in closed form err by nothing.
  const made = await fitLives(
    {
      preset: closedPreset,
      curves: [measured()],
      unknowns: [RATE, OIL],
      check: false,
      lifeErrors: { radius: 0, time: 0 },
      ...wish,
    },
    closedLife,
  )
  if (!made.ok) throw new Error(made.problems.map((p) => p.message).join(' '))
  return made.fit
}

const off = (fit: LifeFit) =>
  fit.unknowns.map(({ path, value, error }) => Math.abs(value - TRUTH[path as keyof typeof TRUTH]) / error)

const relative = (fit: LifeFit, j: number, name: 'error' | 'statistical' | 'systematic') =>
  fit.unknowns[j]![name] / fit.unknowns[j]!.value

/** A curve with an error that all its points share, `wrong` of its standard deviations off; total uncertainty stated. */
function sharing(curve: MeasuredCurve, cause: SharedCause, share: number, wrong = 0): MeasuredCurve {
  const shift = curve.radius.map((R) => share * R)
  return {
    ...curve,
    radius: curve.radius.map((R) => R * (1 + wrong * share)),
    uncertainty: curve.uncertainty!.map((sigma, i) => Math.hypot(sigma, shift[i]!)),
    shared: [{ cause, shift }],
  }
}

describe('errors that data share', () => {
  it('|r_w|² is rᵀV⁻¹r, and the way back is exact', () => {
    // V = diag(σ²) + s sᵀ for one shift: Sherman & Morrison, Ann. Math. Stat. 21, 124 (1950), gives V⁻¹ in closed form.
    const g = normal(5)
    const sigma = Float64Array.from({ length: 9 }, () => 0.5 + Math.abs(g()))
    const s = sigma.map(() => g())
    const r = sigma.map(() => g())
    const dot = (a: Float64Array, b: Float64Array) =>
      a.reduce((sum, v, i) => sum + (v * b[i]!) / sigma[i]! ** 2, 0)
    const expected = dot(r, r) - dot(r, s) ** 2 / (1 + dot(s, s))
    const one = new Whitening(sigma, [s])
    expectClose(
      one.apply(r).reduce((sum, v) => sum + v * v, 0),
      expected,
      { rtol: 1e-12 },
    )
    // Two equal shifts are one that is √2 as large.
    const twice = new Whitening(sigma, [s, s])
    const large = new Whitening(sigma, [s.map((v) => v * Math.SQRT2)])
    const [a, b] = [twice.apply(r), large.apply(r)]
    const back = twice.undo(a)
    for (const [i, v] of a.entries()) {
      expectClose(v, b[i]!, { atol: 1e-12 })
      expectClose(back[i]!, r[i]!, { rtol: 1e-10 })
    }
  })

  it('a scale that is common to all points adds its own part, known in closed form', async () => {
    // ln j = −2 ln A − ln T, ln η = −2 ln A + ln T: a share s of the radius moves both by −2 s.
    const plain = await fitted({})
    const scaled = await fitted({ curves: [sharing(measured(), 'scale', 0.03)] })
    for (const j of [0, 1]) {
      expectClose(relative(scaled, j, 'statistical'), relative(plain, j, 'error'), { rtol: 0.02 })
      expectClose(relative(scaled, j, 'systematic'), 0.06, { rtol: 0.03 })
      const { error, statistical, systematic } = scaled.unknowns[j]!
      expectClose(error, Math.hypot(statistical, systematic), { rtol: 1e-9 })
    }
    expect(plain.unknowns[0]).toMatchObject({ systematic: 0 })
    expectClose(plain.unknowns[0]!.perScalePercent / plain.unknowns[0]!.value, -0.02, { rtol: 0.03 })
    expect(scaled.unknowns[0]!.perScalePercent).toBeNaN()
    expect(scaled.causes).toMatchObject([{ kind: 'shared', path: 'scale', unit: '%', prior: { value: 0 } }])
    expectClose(scaled.causes[0]!.prior.sigma, 3, { rtol: 1e-9 })
    expectClose(scaled.causes[0]!.shifts[0]! / scaled.unknowns[0]!.value, -0.06, { rtol: 0.03 })
  })

  it('a scale wrong by 8 %: within 2 σ with a prior of 10 %; without one a note says what it would do', async () => {
    const wrong = measured()
    const radius = wrong.radius.map((R) => 1.08 * R)
    const uncertainty = wrong.uncertainty!.map((sigma) => 1.08 * sigma)
    const blind = { ...wrong, radius, uncertainty }
    const known = { ...blind, meta: { sigma: { radiusScale: 0.1 } } }
    const [without, with_] = [await fitted({ curves: [blind] }), await fitted({ curves: [known] })]
    expect(Math.max(...off(without))).toBeGreaterThan(5)
    expect(without.chance).toBeGreaterThan(0.01)
    expect(without.warnings).toEqual([])
    expect(without.notes.join()).toMatch(
      /no error of the scale.*1 % too large.*Constant rate 2\.?\d* % too small/,
    )
    expect(Math.max(...off(with_))).toBeLessThan(2)
    expect(with_.notes.join()).not.toMatch(/scale/)
  })

  it('recordings of one scale err together, others each by itself', async () => {
    const provenance = { metresPerPixel: 1e-4, scaleUncertainty: 0.03 }
    const two = [1, 2].map((seed) => sharing({ ...measured(seed), id: `${seed}` }, 'scale', 0.03))
    const apart = await fitted({ curves: two })
    const together = await fitted({ curves: two.map((curve) => ({ ...curve, provenance })) })
    expect([apart.causes.length, together.causes.length]).toEqual([2, 1])
    expect(together.causes[0]!.label).toMatch(/2 curves of one scale/)
    expectClose(relative(together, 0, 'systematic'), 0.06, { rtol: 0.03 })
    expectClose(relative(apart, 0, 'systematic'), 0.06 / Math.SQRT2, { rtol: 0.05 })
  })

  it('finds how far the shared error of one curve is off the others, as a pull', async () => {
    const threshold = sharing({ ...measured(2), id: 'b', name: 'b' }, 'threshold', 0.05, 1.5)
    const fit = await fitted({ curves: [measured(), threshold] })
    const [cause] = fit.causes
    expect(cause).toMatchObject({
      path: 'threshold',
      unit: 'σ',
      prior: { value: 0, sigma: 1 },
      curves: ['b'],
    })
    expect(Math.abs(cause!.pull - 1.5)).toBeLessThan(3 * cause!.error)
    expect(cause!.error).toBeLessThan(0.3)
    expect(Math.max(...off(fit))).toBeLessThan(3)
    const far = await fitted({
      curves: [measured(), sharing({ ...measured(2), id: 'b' }, 'threshold', 0.05, 4)],
    })
    expect(far.warnings.join()).toMatch(/Threshold of the outline.*σ off/)
  })

  it('a shared part as large as the whole does not swallow the points', async () => {
    const curve = measured()
    const shift = curve.uncertainty!.map((sigma) => 1.2 * sigma)
    const fit = await fitted({ curves: [{ ...curve, shared: [{ cause: 'children', shift }] }] })
    expect(fit.unknowns.every(({ error }) => error > 0 && Number.isFinite(error))).toBe(true)
    expect(fit.warnings.join()).toMatch(/at 40 points the errors that all points share are as large/)
  })
})

describe('what the lives themselves err by', () => {
  it('widens the statistical error, as independent noise of the points does', async () => {
    const prior = { 'drop.volume_uL': { value: 10, sigma: 1e-3 } }
    const exact = await fitted({ priors: prior })
    const rough = await fitted({ priors: prior, lifeErrors: { radius: 0.02, time: 0 } })
    // Noise of 2 % and lives of 2 % in quadrature.
    expectClose(rough.unknowns[0]!.statistical, Math.SQRT2 * exact.unknowns[0]!.statistical, { rtol: 0.05 })
    const late = await fitted({ priors: prior, lifeErrors: { radius: 0, time: 0.01 } })
    expect(late.unknowns[0]!.statistical).toBeGreaterThan(exact.unknowns[0]!.statistical)
  })
})

describe('conditions known ± σ', () => {
  it('volume moves the rate, depth the viscosity, in the proportion of the closed form', async () => {
    // Only volume/rate and viscosity/depth matter: 1 % of one is 1 % of the other.
    const plain = await fitted({})
    const priors = { 'drop.volume_uL': { value: 10, sigma: 0.4 }, 'bath.depth_mm': { value: 10, sigma: 0.5 } }
    const fit = await fitted({ priors })
    expectClose(relative(fit, 0, 'systematic'), 0.04, { rtol: 0.03 })
    expectClose(relative(fit, 1, 'systematic'), 0.05, { rtol: 0.03 })
    // The steps of ± 4 and ± 5 % bend the end of the life a little: the parts trade, the whole does not change.
    for (const j of [0, 1]) {
      expectClose(relative(fit, j, 'statistical'), relative(plain, j, 'error'), { rtol: 0.2 })
      expectClose(relative(fit, j, 'error'), Math.hypot(relative(plain, j, 'error'), [0.04, 0.05][j]!), {
        rtol: 0.02,
      })
    }
    expect(fit.causes.map(({ label }) => label)).toEqual(['Volume', 'Oil depth'])
    // The points say nothing of them: they stay as they are stated, to a tenth of σ.
    for (const { pull, error, prior } of fit.causes) {
      expectClose(pull, 0, { atol: 0.1 })
      expectClose(error, prior.sigma, { rtol: 0.01 })
    }
    expectClose(fit.causes[0]!.shifts[0]! / fit.unknowns[0]!.value, -0.04, { rtol: 0.05 })
  })

  it('what a curve states of itself counts the same, and by volume as by mass', async () => {
    const curve = measured()
    const stated = { ...curve, meta: { volume_uL: 10, sigma: { volume_uL: 0.4 } } }
    const fit = await fitted({ curves: [stated] })
    expectClose(relative(fit, 0, 'systematic'), 0.04, { rtol: 0.03 })
    expect(fit.causes[0]!.label).toBe(`Volume, ${curve.name}`)
  })

  it('that are far off are found where the points put them, and the lives have them', async () => {
    // Rate and viscosity are held by priors; then the points alone tell the volume, 12 µL instead of 10 ± 0.5.
    const curve = measured(3, withKeys(truth, { 'drop.volume_uL': 12 }))
    const priors = {
      [RATE]: { value: 0.52, sigma: 0.001 },
      [OIL]: { value: 64, sigma: 0.1 },
      'drop.volume_uL': { value: 10, sigma: 0.5 },
    }
    const fit = await fitted({ curves: [curve], priors })
    const [volume] = fit.causes
    expectClose(volume!.value, 12, { atol: 3 * volume!.error })
    expect(volume!.error).toBeLessThan(0.15)
    expect(fit.warnings.join()).toMatch(/Volume: stated as 10/)
    expect(fit.notes.join()).toMatch(/conditions about where the fit puts them.*Volume 1[12]/)
    expectClose(fit.curves[0]!.preset.drop.volume_uL, 12, { atol: 0.6 })
    expect(fit.curves[0]!.rms).toBeLessThan(1.5 * 0.02 * 0.02)
  })

  it('cost two lives each, told beforehand', async () => {
    const priors = { 'drop.volume_uL': { value: 10, sigma: 0.4 }, 'bath.depth_mm': { value: 10, sigma: 0.5 } }
    const wish: FitWish = {
      preset: closedPreset,
      curves: [measured(), measured(2)],
      unknowns: [RATE],
      priors,
    }
    const setup = setUp(wish)
    if (!setup.ok) throw new Error('no setup')
    expect(livesForConditions(wish, setup.presets)).toBe(8)
  })

  it('an uncertain contact is a nuisance where it is no unknown, and a prior where it is', async () => {
    const curve = { ...measured(), meta: { startTime_s: 0, sigma: { startTime_s: 0.05 } } }
    const fixed = await fitted({ curves: [curve] })
    expect(fixed.causes).toMatchObject([{ kind: 'contact', unit: 's', prior: { value: 0, sigma: 0.05 } }])
    expect(fixed.unknowns[0]!.systematic).toBeGreaterThan(0)
    const free = await fitted({ curves: [curve], unknowns: [RATE, OIL, 'startTime'] })
    const contact = free.unknowns[2]!
    expect(contact.prior).toMatchObject({ value: 0, sigma: 0.05 })
    // The same model told in two ways.
    expectClose(contact.value, fixed.causes[0]!.value, { atol: 0.1 * contact.error })
    expectClose(contact.error, fixed.causes[0]!.error, { rtol: 0.1 })
    expectClose(free.unknowns[0]!.error, fixed.unknowns[0]!.error, { rtol: 0.05 })
  })
})

describe('a prior of an unknown', () => {
  it('is weighed with the points: 1/σ² add up, the value is their weighted mean', async () => {
    // Weighted mean: Bevington & Robinson, Data Reduction and Error Analysis, 3rd ed., eq. 4.17 and 4.19.
    const free = (await fitted({ unknowns: [OIL] })).unknowns[0]!
    const known = { value: free.value + 2 * free.error, sigma: free.error }
    const fit = await fitted({ unknowns: [OIL], priors: { [OIL]: known } })
    const [one] = fit.unknowns
    // Both fits end within 0.2 σ of their minimum.
    expectClose(one!.value, free.value + free.error, { atol: 0.2 * free.error })
    expectClose(one!.error, free.error / Math.SQRT2, { rtol: 0.03 })
    expectClose(one!.prior!.pull, -1, { atol: 0.2 })
    // Half of the variance is the prior's: (σ²/2)·½.
    expectClose(one!.systematic, one!.statistical, { rtol: 0.05 })
    expect(one!.start).toBe(known.value)
    expect(fit.degreesOfFreedom).toBe(40)
  })

  it('tells apart what the points alone do not', async () => {
    const unknowns = ['drop.volume_uL', RATE]
    const alone = await fitted({ unknowns })
    expect(alone.unknowns[0]!.verdict).toBe('not-determined')
    const fit = await fitted({ unknowns, priors: { 'drop.volume_uL': { value: 10, sigma: 0.4 } } })
    const [volume, rate] = fit.unknowns
    expect(rate!.verdict).toBe('determined')
    expectClose(rate!.systematic / rate!.value, 0.04, { rtol: 0.1 })
    expectClose(volume!.error, 0.4, { rtol: 0.05 })
    expect(fit.notes.join()).toMatch(/Volume: the points add next to nothing/)
  })

  it('works with points that state no uncertainty: their scatter stands for it', async () => {
    const bare = curveFrom(closedLifeOf(truth), { to: 7.5, stated: false, noise: 0.02 })
    const free = await fitted({ curves: [bare] })
    const fit = await fitted({ curves: [bare], priors: { [OIL]: { value: 64, sigma: 100 } } })
    expect(fit.weights).toBe('scatter')
    expectClose(fit.unknowns[1]!.value, free.unknowns[1]!.value, { atol: 0.3 * free.unknowns[1]!.error })
    expectClose(fit.unknowns[1]!.error, free.unknowns[1]!.error, { rtol: 0.05 })
    expectClose(fit.scatter, free.scatter, { rtol: 0.02 })
    const tight = await fitted({ curves: [bare], priors: { [OIL]: { value: 80, sigma: 4 } } })
    expect(tight.unknowns[1]!.prior!.pull).toBeLessThan(-3)
    expect(tight.warnings.join()).toMatch(/Oil viscosity: stated as 80/)
  })

  it.each([
    [{ 'drop.volume_uL': { value: 1e4, sigma: 1 } }, /Volume: 10000 ± 1 cannot be/],
    [{ 'drop.volume_uL': { value: 10, sigma: 0 } }, /uncertainty is 0\. Permitted: above 0/],
    [{ 'drop.alcohol': { value: 1, sigma: 1 } }, /no input with a value/],
    [{ nothing: { value: 1, sigma: 1 } }, /no input with a value/],
    [{ startTime: { value: 1, sigma: 1 } }, /stated by each curve/],
  ])('that cannot be is refused: %o', async (priors, message) => {
    const made = await fitLives(
      { preset: closedPreset, curves: [measured()], unknowns: [RATE], priors },
      closedLife,
    )
    if (made.ok) throw new Error('fitted')
    expect(made.problems.map((p) => p.message).join()).toMatch(message)
  })
})
