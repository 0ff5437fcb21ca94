/**
 * The stated error of a quick life against a finer life of the same drop. The bar: at most one life in twenty may be
 * further off than it says. The constants of the estimate were set by seeds 31 and 32; this one was not used for it.
 */
import { describe, expect, it } from 'vitest'
import { withErrorsSync } from '../../src/life/errors.ts'
import { runLevelSync, runLifeSync } from '../../src/life/run.ts'
import type { Preset, Summary } from '../../src/life/types.ts'
import { breachesOf } from '../fixtures/lifeChecks.ts'
import { cases } from '../fixtures/long.ts'
import { presetsOf } from '../fixtures/randomPresets.ts'

const LIVES = cases(60, 200)
const SEED = 33

function summaries(preset: Preset): { stated: Summary; finer: Summary; breaches: string[] } {
  const quick = runLifeSync(preset)
  const normal = runLevelSync(preset, 'normal')
  if (!quick.ok || !normal.ok) throw new Error('a preset was refused')
  const breaches = [quick, normal].flatMap(breachesOf)
  return { stated: withErrorsSync(quick.life).summary, finer: normal.life.summary, breaches }
}

/** Lives with a number of both accuracies, and those of them that are further off than stated. */
function judged(pairs: ReturnType<typeof summaries>[], value: 'maxRadius' | 'collapseTime') {
  const known = pairs.filter(({ stated, finer }) => stated[value] > 0 && finer[value] > 0)
  const off = known.filter(
    ({ stated, finer }) => !(Math.abs(stated[value] - finer[value]) <= stated[`${value}Error`]),
  )
  return { known: known.length, off: off.length }
}

describe(`stated errors of ${LIVES} random quick lives`, () => {
  const pairs = presetsOf(LIVES, SEED, { accuracy: { quick: 1 }, cells: false }).map(summaries)

  it('hold for the largest radius in 95 % of the lives', () => {
    const { known, off } = judged(pairs, 'maxRadius')
    expect(known).toBeGreaterThan(0.9 * LIVES)
    expect(off).toBeLessThanOrEqual(0.05 * known)
  })

  it('hold for the time of collapse in 95 % of the lives that collapse', () => {
    const { known, off } = judged(pairs, 'collapseTime')
    expect(known).toBeGreaterThan(0.15 * LIVES)
    expect(off).toBeLessThanOrEqual(0.05 * known)
  })

  it('are those of sound lives, of either accuracy', () => {
    expect(pairs.flatMap(({ breaches }) => breaches)).toEqual([])
  })

  it('are of use: half of them are below 1 % of the radius', () => {
    const shares = pairs.map(({ stated }) => stated.maxRadiusError / stated.maxRadius).sort((a, b) => a - b)
    expect(shares[LIVES / 2]).toBeLessThan(0.01)
  })
})
