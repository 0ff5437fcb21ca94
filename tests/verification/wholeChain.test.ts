/**
 * From lives of known inputs to curves with all their stated errors and back: deviations are of the size of the errors.
 * The long run of 20 is `npm run -s chain`. Seeds that nothing was looked at with.
 */
import { describe, expect, it } from 'vitest'
import { chainOf } from '../fixtures/wholeChain.ts'

describe('a fit with conditions and shared errors as stated', () => {
  it('comes back to the truth within its errors', { timeout: 120_000 }, async () => {
    const pulls: number[] = []
    for (const seed of [41, 42, 43, 44]) pulls.push(...(await chainOf(seed)).z)
    const root = Math.sqrt(pulls.reduce((sum, z) => sum + z * z, 0) / pulls.length)
    // χ² of 8 values: a root mean square above 1.8 or below 0.35 has a chance of less than 1 in 500.
    expect(root).toBeLessThan(1.8)
    expect(root).toBeGreaterThan(0.35)
  })
})
