/**
 * Growth of the rim's waves near the threshold, well above it, and on thicker oil.
 * Answer: ln G at the largest radius below 2 at 0.40; 49 at 0.60; at 0.50 on oil of 100, 200, 500 mPa·s 10, 3.8, below 0
 * (± 15 %). Source: an independent prototype of this project with the same equations.
 */
import { describe, expect, it } from 'vitest'
import { RimBase } from '../../src/rim/base.ts'
import { rimGeometry } from '../../src/rim/geometry.ts'
import { rimKernels } from '../../src/rim/kernels.ts'
import { RimMarch } from '../../src/rim/march.ts'
import { RimOperator } from '../../src/rim/operator.ts'
import { expectClose } from '../matchers.ts'
import { atLargest, detailOf, rimLife, statesOf } from './rimLives.ts'

describe('ln G at the largest radius', () => {
  it('is below 2 at 0.40, where none are expected', async () => {
    const detail = await detailOf({ 'drop.alcoholMassFraction': 0.4 })
    expect(atLargest(detail).gain).toBeLessThan(2)
    expect(detail.fingers.verdict).toBe('none')
  })
  it('is 49 at 0.60', async () => {
    expectClose(atLargest(await detailOf({ 'drop.alcoholMassFraction': 0.6 })).gain, 49, { rtol: 0.15 })
  })
  it.each([
    [100, 10],
    [200, 3.8],
  ])('on oil of %d mPa·s is %d', async (viscosity, wanted) => {
    expectClose(atLargest(await detailOf({ 'bath.viscosity_mPas': viscosity })).gain, wanted, { rtol: 0.15 })
  })
  it('on oil of 500 mPa·s is below 0', async () => {
    expect(atLargest(await detailOf({ 'bath.viscosity_mPas': 500 })).gain).toBeLessThan(0)
  })
})

describe('a resting lens (0.30)', () => {
  it('lets all waves from n = 8 on die away', () => {
    const sys = statesOf(rimLife({ 'drop.alcoholMassFraction': 0.3 })).at(5)
    const geometry = rimGeometry(sys.mesh)
    const base = new RimBase(geometry, sys)
    const operator = new RimOperator(geometry)
    for (const n of [8, 11, 16, 24, 40, 80, 160, 320]) {
      operator.lay(base, rimKernels(geometry, n))
      const march = new RimMarch(operator.size)
      for (let k = 0; k < 40; k++) march.step(operator, 0.05)
      const before = march.gain
      for (let k = 0; k < 20; k++) march.step(operator, 0.05)
      expect(march.gain - before, `n = ${n}`).toBeLessThan(-0.5)
    }
  })
})
