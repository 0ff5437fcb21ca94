/**
 * Growth of the rim's waves on the reference drop at 0.50.
 * Answer: ln G = 7 at 0.95 ± 0.15 s with n 304 ± 25 %, ln G at the largest radius 21 ± 2 with n 132 ± 25 %, on 90 cells and on
 * 160. Source: an independent prototype of this project with the same equations (other code, mesh of the engine).
 */
import { describe, it } from 'vitest'
import { RimGrowth } from '../../src/rim/growth.ts'
import { expectClose } from '../matchers.ts'
import { atLargest, detailOf, reaching, rimLife } from './rimLives.ts'

describe('the reference drop at 0.50', () => {
  it.each([90, 160])('grows as the prototype has it, %d cells', async (cells) => {
    const detail = await detailOf({ 'model.innerCells': cells })
    const seven = reaching(detail, 7)
    expectClose(seven.t, 0.95, { atol: 0.15 }, 'ln G = 7 at')
    expectClose(seven.n, 304, { rtol: 0.25 }, 'with n')
    const { gain, n } = atLargest(detail)
    expectClose(gain, 21, { atol: 2 }, 'ln G at the largest radius')
    expectClose(n, 132, { rtol: 0.25 }, 'with n')
  })

  it('does not mind where the displaced frame comes to rest', async () => {
    const life = rimLife()
    const gains: number[][] = []
    for (const shift of [
      { low: 0.65, high: 0.8 },
      { low: 0.7, high: 0.88 },
      { low: 0.8, high: 0.93 },
    ]) {
      const growth = new RimGrowth(life, { shift })
      const waves = await growth.carry([120, 200, 304], {}, () => {})
      gains.push(waves!.map((one) => Math.max(...one.gain)))
    }
    for (const other of [gains[0]!, gains[2]!])
      other.forEach((gain, i) => {
        expectClose(gain, gains[1]![i]!, { rtol: 0.01 })
      })
  })
})
