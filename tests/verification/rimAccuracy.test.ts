/**
 * What the accuracy of the life does to its fingers: the numbers of beads at the largest radius lie within 30 % of that on
 * the fine mesh (the width that is wanted of the calculation; common practice, no source).
 */
import { describe, expect, it } from 'vitest'
import { fingersOf } from '../../src/rim/fingers.ts'
import { rimLife } from './rimLives.ts'

const beads = async (accuracy: string): Promise<number> => {
  const life = rimLife({ 'model.innerCells': null, 'model.outerCells': null, 'model.accuracy': accuracy })
  return (await fingersOf(life))!.countAtLargest
}

describe('the number of beads at the largest radius', () => {
  it('is the same within 30 % at all accuracies', async () => {
    const fine = await beads('fine')
    for (const accuracy of ['quick', 'normal']) {
      const n = await beads(accuracy)
      expect(Math.abs(n / fine - 1), `${accuracy}: ${n} for ${fine}`).toBeLessThan(0.3)
    }
  })
})
