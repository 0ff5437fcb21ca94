/** Work that runs many lives: where it looks, that a stop reaches into the life under way, and what is then told. */
import { describe, expect, it } from 'vitest'
import { defaultPreset } from '../../src/life/preset.ts'
import { problemOf } from '../../src/life/problemOf.ts'
import { runLife } from '../../src/life/run.ts'
import { COLLAPSE_RULES } from '../../src/measured/scaling.ts'
import { nearestChange } from '../../src/plan/nearestChange.ts'
import { bandOf } from '../../src/plan/neighbours.ts'
import { amendmentOf } from '../../src/plan/recipe.ts'
import { scalingReport } from '../../src/plan/scalingReport.ts'
import { spreadWords } from '../../src/plan/scalingWords.ts'
import { madeUpRun } from '../fixtures/planLives.ts'
import { presetWith } from '../fixtures/presetLives.ts'
import { expectClose } from '../matchers.ts'

const weak = presetWith(defaultPreset(), ['drop.alcoholMassFraction', 0.3])

describe('the search for a strength that spreads', () => {
  it('looks above the threshold only, for below it nothing can spread', async () => {
    const threshold = problemOf(weak).facts.criticalMassFraction
    for (const border of [threshold + 0.003, 0.55, 0.8]) {
      const { run, asked } = madeUpRun(({ drop }) => ({
        outcome: drop.alcoholMassFraction >= border ? 'recedes' : 'lens',
        maxRadius: 0.02,
      }))
      const change = await nearestChange(weak, run)
      if (change.kind !== 'stronger') throw new Error(change.words)
      expectClose(change.lowest.massFraction, border + 0.001, { atol: 0.0011 })
      const [own, ...others] = asked.map(({ drop }) => drop.alcoholMassFraction)
      expect(own).toBe(0.3)
      for (const w of others) expect(w).toBeGreaterThan(threshold)
      // Rungs that double from 1 %, then halvings down to 0.2 %.
      expect(asked.length).toBeLessThanOrEqual(16)
    }
  })
})

describe('a stop', () => {
  it('ends the life under way, not only the next one', async () => {
    let stop = false
    let heard: unknown
    const band = await bandOf(
      weak,
      async (preset, hooks) => {
        stop = true
        heard = hooks?.cancelled?.()
        return runLife({ ...preset, model: { ...preset.model, accuracy: 'fine' } }, hooks)
      },
      { cancelled: () => stop },
    )
    expect(heard).toBe(true)
    expect(band).toMatchObject({ status: 'stopped', shifts: [], failures: [] })
    expect(band.reach.maxRadius.central).toBeNaN()
  })
})

describe('a mixture that is too strong', () => {
  const wish = (stock: number) => ({
    alcohol: 'ethanol' as const,
    stock: { by: 'mass', value: stock } as const,
    have: { by: 'mass', value: 0.6 } as const,
    want: { by: 'mass', value: 0.4 } as const,
    volume_mL: 50,
    temperature_C: 20,
  })
  // Ethanol–water of 60 % by mass at 20 °C: 0.8911 g/mL; of water 0.9982 (OIML R 22). Alcohol stays: 0.6 m = 0.4 (m + added).
  it.each([0.95, 0.3])('is thinned with water, however weak the bottle is (%s)', (stock) => {
    const made = amendmentOf(wish(stock))
    if (!made.ok) throw new Error(made.problems[0]!.message)
    expect(made.amendment.add).toBe('water')
    expectClose(made.amendment.add_g, (50 * 0.8911) / 2, { rtol: 1e-3 })
    expectClose(made.amendment.add_mL, (50 * 0.8911) / 2 / 0.9982, { rtol: 1e-3 })
  })
})

describe('series that share no scaled time', () => {
  it('have no spread, and that is told', () => {
    const report = scalingReport([], { rule: COLLAPSE_RULES[0]!, by: 'mass' })
    const one = { id: 'a' } as never
    const apart = { ...report, collapse: { ...report.collapse, series: [one, one], spread: null } }
    expect(spreadWords(apart)).toMatch(/^The series do not overlap in scaled time/)
    const alone = { ...report, collapse: { ...report.collapse, series: [one], spread: null } }
    expect(spreadWords(alone)).toMatch(/^Only one drop shows its collapse/)
  })
})
