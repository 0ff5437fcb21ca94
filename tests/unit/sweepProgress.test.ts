/** How far a sweep is, as those who wait see it. */
import { setTimeout as wait } from 'node:timers/promises'
import { afterAll, describe, expect, it } from 'vitest'
import { durationWords, progressText } from '../../src/cli/sweep/progress.ts'
import { runHere } from '../../src/life/hands.ts'
import { SweepPlace, smallPlan, sweep } from '../fixtures/sweeps.ts'

const place = new SweepPlace(smallPlan(60))
afterAll(() => place.end())

/** Clears a terminal's line from the cursor on: ECMA-48, EL. */
const CLEAR = '\u001b\\[K'

describe('progress', () => {
  it('tells how many, how fast, and how long still', () => {
    expect(progressText(250, 1000, 12.5)).toBe('250 of 1000 lives (25.0 %), 12.5 lives/s, 1 min 00 s to go')
    expect(progressText(0, 1000, 0)).toBe('0 of 1000 lives (0.0 %)')
    expect([3, 75, 3700, 3 * 86_400].map(durationWords)).toEqual([
      '3 s',
      '1 min 15 s',
      '1 h 01 min',
      '3.0 days',
    ])
  })
  it('is one line that changes on a terminal, and cleared at the end', async () => {
    const slow = async (...asked: Parameters<typeof runHere>) => {
      await wait(30)
      return runHere(...asked)
    }
    const told = await sweep([place.at('plan.json'), '--out', place.at('terminal')], {
      run: slow,
      terminal: true,
    })
    expect(told.err).toMatch(new RegExp(`^(\\r\\d+ of 60 lives .*${CLEAR})+\\r${CLEAR}$`))
  })
})
