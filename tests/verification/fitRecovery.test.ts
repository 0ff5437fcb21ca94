/**
 * A fit finds the inputs of a life again, within what it states as its errors. Source: the definition of the standard
 * error; the inputs are those of a life computed at "fine", the fit's own lives are "normal". The first seeds of 100,
 * all of them in the long run, where the scatter of the values is told; the closed form has it in the short run too.
 */
import { describe, expect, it } from 'vitest'
import { closedLife, closedLifeOf, closedPreset, withKeys } from '../fixtures/fitCurves.ts'
import {
  deviation,
  fineLife,
  mean,
  OIL,
  RATE,
  type Recovered,
  recover,
  recoveryDrops,
} from '../fixtures/fitRecovery.ts'
import { cases, LONG } from '../fixtures/long.ts'

const seeds = (count: number) => Array.from({ length: count }, (_, i) => 1 + i)

/** What holds of any number of fits; χ² has as many as its degrees of freedom on average. */
function holds({ z, fits }: Recovered): void {
  const count = fits.length
  for (const [j, name] of ['rate', 'viscosity'].entries()) {
    const within = z[j]!.filter((one) => Math.abs(one) <= 3).length
    expect(within, `${name}: fits of ${count} within 3 standard errors`).toBeGreaterThanOrEqual(0.96 * count)
  }
  for (const fit of fits) {
    expect(fit.converged).toBe(true)
    expect(fit.unknowns.map(({ verdict }) => verdict)).toEqual(['determined', 'determined'])
  }
  // With a deviation of √(2 · 38 / count).
  expect(Math.abs(mean(fits.map(({ sumOfSquares }) => sumOfSquares)) - 38)).toBeLessThan(
    4 * Math.sqrt((2 * 38) / count),
  )
}

/** Of many fits: the stated errors are those that the values scatter by. */
function scatters({ value, error }: Recovered): void {
  for (const [j, name] of ['rate', 'viscosity'].entries()) {
    const ratio = mean(error[j]!) / deviation(value[j]!)
    expect(ratio, `${name}: stated error over scatter`).toBeGreaterThan(0.7)
    expect(ratio, `${name}: stated error over scatter`).toBeLessThan(1.3)
  }
}

describe('evaporation rate and oil viscosity from 40 radii with 2 % noise', () => {
  const count = cases(8, 100)
  it(`come back within 3 standard errors in ${count} fits`, { timeout: 1_200_000 }, async () => {
    const { start, truth } = recoveryDrops()
    const life = fineLife(truth)
    const made = await recover(seeds(count), {
      start,
      life,
      truth: [0.5, 60],
      to: 0.98 * life.summary.collapseTime,
    })
    holds(made)
    if (LONG) scatters(made)
    // χ² of 16 values: a root mean square above 1.6 or below 0.5 has a chance of less than 1 in 500.
    const root = Math.sqrt(mean(made.z.flat().map((one) => one * one)))
    expect(root).toBeLessThan(1.6)
    expect(root).toBeGreaterThan(0.5)
  })
  it('of a life in closed form, 50 fits: the errors are those that the values scatter by', async () => {
    const life = closedLifeOf(withKeys(closedPreset, { [RATE]: 0.5, [OIL]: 60 }))
    const made = await recover(seeds(50), {
      start: closedPreset,
      life,
      truth: [0.5, 60],
      to: 7.5,
      run: closedLife,
    })
    holds(made)
    scatters(made)
  })
})
