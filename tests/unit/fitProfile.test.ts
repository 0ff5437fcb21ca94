/** The profile of an unknown against a search for Δχ² = 1 by hand in the closed-form life. */
import { describe, expect, it } from 'vitest'
import { courseOf, radiusAt } from '../../src/measured/fit/course.ts'
import { fitLives } from '../../src/measured/fit/fitLives.ts'
import { type Profile, profileOf } from '../../src/measured/fit/profile.ts'
import type { FitWish, LifeFit } from '../../src/measured/fit/types.ts'
import type { MeasuredCurve } from '../../src/measured/types.ts'
import { closedLife, closedLifeOf, closedPreset, curveFrom, withKeys } from '../fixtures/fitCurves.ts'
import { expectClose } from '../matchers.ts'

const RATE = 'air.constantRate_umPerS'
const OIL = 'bath.viscosity_mPas'
const truth = withKeys(closedPreset, { [RATE]: 0.52, [OIL]: 64 })
const curve = curveFrom(closedLifeOf(truth), { to: 7.5 })

async function walked(more: Partial<FitWish>, unknown: number): Promise<{ fit: LifeFit; profile: Profile }> {
  const wish: FitWish = {
    preset: closedPreset,
    curves: [curve],
    unknowns: [RATE, OIL],
    check: false,
    lifeErrors: { radius: 0, time: 0 },
    ...more,
  }
  const made = await fitLives(wish, closedLife)
  if (!made.ok) throw new Error('no fit')
  const { fit } = made
  const outcome = await profileOf({ wish, fit, unknown }, closedLife)
  if (!outcome.ok) throw new Error(outcome.problems.map((p) => p.message).join(' '))
  return { fit, profile: outcome.profile }
}

const ends = ({ lower, upper }: Profile): [number, number] => {
  if (lower.kind === 'unknown' || upper.kind === 'unknown') throw new Error('no ends')
  return [lower.value, upper.value]
}

/** χ² of a curve against the closed form. */
function chiSquared({ time, radius, uncertainty }: MeasuredCurve, oil: number): number {
  const course = courseOf(closedLife(withKeys(truth, { [RATE]: 0.4, [OIL]: oil })))
  return time.reduce((sum, t, i) => sum + ((radiusAt(course, t) - radius[i]!) / uncertainty![i]!) ** 2, 0)
}

/** Where a function crosses 0 between two places. */
function root(f: (x: number) => number, from: number, to: number): number {
  let [a, b] = [from, to]
  for (let n = 0; n < 24; n++) {
    const middle = (a + b) / 2
    if (Math.sign(f(middle)) === Math.sign(f(a))) a = middle
    else b = middle
  }
  return a
}

describe('the profile of an unknown', () => {
  it('ends where χ² has risen by 1: lopsided where the points are', async () => {
    // Six points with 30 % noise about a life of the rate 0.4: far from a parabola in the viscosity.
    const few = curveFrom(closedLifeOf(withKeys(truth, { [RATE]: 0.4 })), {
      to: 7,
      points: 6,
      noise: 0.3,
      seed: 4,
    })
    const { fit, profile } = await walked({ curves: [few], unknowns: [OIL] }, 0)
    const [low, high] = ends(profile)
    // The least χ² is where its slope crosses 0.
    const slope = (oil: number) => chiSquared(few, oil * 1.001) - chiSquared(few, oil / 1.001)
    const least = root(slope, 25, 150)
    const bottom = chiSquared(few, least)
    const rise = (oil: number) => chiSquared(few, oil) - bottom - 1
    expectClose(low, root(rise, 1, least), { rtol: 0.02 })
    expectClose(high, root(rise, least, 1000), { rtol: 0.02 })
    const { value, error } = fit.unknowns[0]!
    expect(Math.abs((high - value) / (value - low) - 1)).toBeGreaterThan(0.1)
    expect(error).toBeGreaterThan(0)
    expect(profile.points.every(({ rise: up }) => up >= 0)).toBe(true)
  })

  it('is ± 1 σ where the errors are normal, with the other unknown following', async () => {
    const { fit, profile } = await walked({}, 1)
    const [low, high] = ends(profile)
    const { value, error } = fit.unknowns[1]!
    // Both ends count from the least χ² met, within 0.2 σ of the fit's value.
    expectClose((high - low) / 2, error, { rtol: 0.06 })
    expectClose((high + low) / 2, value, { atol: 0.25 * error })
  })

  it('holds priors, shared errors and conditions', async () => {
    const priors = { 'bath.depth_mm': { value: 10, sigma: 0.5 } }
    const { fit, profile } = await walked({ priors }, 1)
    const [low, high] = ends(profile)
    // What a condition does is told by a straight line: ± 5 % of the depth bend it.
    expectClose((high - low) / 2, fit.unknowns[1]!.error, { rtol: 0.1 })
    expect(fit.unknowns[1]!.systematic).toBeGreaterThan(4 * fit.unknowns[1]!.statistical)
  })

  it('of points without uncertainties counts in their scatter', async () => {
    const bare = curveFrom(closedLifeOf(truth), { to: 7.5, stated: false })
    const { fit, profile } = await walked({ curves: [bare] }, 0)
    const [low, high] = ends(profile)
    expectClose((high - low) / 2, fit.unknowns[0]!.error, { rtol: 0.06 })
  })

  it('is open where the range ends first, and says nothing once it is stopped', async () => {
    const { profile } = await walked({ limits: { [OIL]: [63.9, 500] } }, 1)
    expect(profile.lower).toEqual({ kind: 'open', value: 63.9 })
    expect(profile.upper.kind).toBe('found')
    const wish: FitWish = { preset: closedPreset, curves: [curve], unknowns: [OIL] }
    const made = await fitLives(wish, closedLife)
    if (!made.ok) throw new Error('no fit')
    let asked = 0
    const stopped = await profileOf({ wish, fit: made.fit, unknown: 0 }, closedLife, {
      cancelled: () => ++asked > 4,
    })
    if (stopped.ok) expect(stopped.profile).toMatchObject({ stopped: true, upper: { kind: 'unknown' } })
    else expect(stopped.problems[0]!.message).toMatch(/Stopped/)
  })
})
