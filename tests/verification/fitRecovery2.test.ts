/**
 * A fit finds the inputs of a life again, within what it states as its errors. Source: the definition of the standard
 * error; the inputs are those of a life computed at "fine", the fit's own lives are "normal". Seeds 51 to 100 of 100.
 */
import { describe, expect, it } from 'vitest'
import { deviation, mean, recover } from '../fixtures/fitRecovery.ts'

const FIRST = 51
const COUNT = 50

describe('evaporation rate and oil viscosity from 40 radii with 2 % noise', () => {
  it('come back within 3 standard errors, and the errors are those that the values scatter by', async () => {
    const { z, value, error, fits } = await recover(Array.from({ length: COUNT }, (_, i) => FIRST + i))
    for (const [j, name] of ['rate', 'viscosity'].entries()) {
      const within = z[j]!.filter((one) => Math.abs(one) <= 3).length
      expect(within, `${name}: fits of ${COUNT} within 3 standard errors`).toBeGreaterThanOrEqual(48)
      const ratio = mean(error[j]!) / deviation(value[j]!)
      expect(ratio, `${name}: stated error over scatter`).toBeGreaterThan(0.7)
      expect(ratio, `${name}: stated error over scatter`).toBeLessThan(1.3)
    }
    for (const fit of fits) {
      expect(fit.converged).toBe(true)
      expect(fit.unknowns.map(({ verdict }) => verdict)).toEqual(['determined', 'determined'])
    }
    // χ² has as many as its degrees of freedom on average, with a deviation of √(2 · 38 / 50).
    expect(Math.abs(mean(fits.map(({ sumOfSquares }) => sumOfSquares)) - 38)).toBeLessThan(
      4 * Math.sqrt((2 * 38) / COUNT),
    )
  }, 600_000)
})
