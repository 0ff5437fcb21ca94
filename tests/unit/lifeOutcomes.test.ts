/** An outcome is what was computed: not a lens that sheds, not a growing drop that draws back, not a run cut at its start. */
import { afterEach, describe, expect, it, vi } from 'vitest'
import { errorsFrom } from '../../src/life/errors.ts'
import { defaultPreset, type Leaf, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life } from '../../src/life/types.ts'
import { RosenbrockStepper } from '../../src/numerics/rosenbrock.ts'
import { sentenceOf } from '../../src/page/sentence/sentence.ts'

function lifeOf(...changes: [string, Leaf][]): Life {
  const made = setKeys(defaultPreset(), [['model.accuracy', 'quick'], ...changes])
  if (!made.ok) throw new Error(made.problems[0]!.message)
  const result = runLifeSync(made.preset)
  if (!result.ok) throw new Error('no life')
  return result.life
}

/** Lets the solver give up once `until` (s) is reached. */
function stuckAfter(until: number): void {
  const step = RosenbrockStepper.prototype.step
  vi.spyOn(RosenbrockStepper.prototype, 'step').mockImplementation(function (
    this: RosenbrockStepper,
    longest: number,
    shortest: number,
  ) {
    return this.t > until ? 'step-size' : step.call(this, Math.min(longest, 0.3 * until), shortest)
  })
}
afterEach(() => vi.restoreAllMocks())

describe('a drop that nothing takes liquid from', () => {
  const still: [string, Leaf][] = [
    ['air.mode', 'constant'],
    ['air.constantRate_umPerS', 0],
    ['bath.solubility', 0],
    ['bath.dishRadius_mm', 150],
    ['model.horizon_s', 12],
  ]
  it('is still spread when the computed time ends, and growing', () => {
    const life = lifeOf(...still)
    expect(life.summary).toMatchObject({ outcome: 'spreads', cut: false })
    expect(life.summary.cause).toMatch(/^still growing/)
    expect(sentenceOf(life).text).toMatch(
      /^This drop has spread to a radius of [\d.]+ mm by 12 s, .* still growing\.$/,
    )
  })
})

describe('a run that stops early', () => {
  it.each([6e-8, 4e-7, 1e-4, 5e-3])('after %s s has no outcome, strong or weak', (until) => {
    stuckAfter(until)
    for (const strength of [0.2, 0.65]) {
      const { summary } = lifeOf(['drop.alcoholMassFraction', strength])
      expect(summary.lifeEnd).toBeLessThan(0.01)
      expect(summary).toMatchObject({ outcome: 'failed', cut: true })
      expect(summary.cause).toMatch(/stuck .* at t = /)
    }
  })
  it('after a lens has rested for seconds tells so, and when it stopped', () => {
    stuckAfter(3)
    const { summary } = lifeOf(['drop.alcoholMassFraction', 0.2])
    expect(summary).toMatchObject({ outcome: 'lens', cut: true })
    expect(summary.cause).toMatch(/computed until t = 3\.\d+ s only/)
  })
})

describe('the error of a life', () => {
  const life = lifeOf()
  const companion = lifeOf(['model.innerCells', 24])
  const told = errorsFrom(life, companion)
  it('is wider where a calculation was cut', () => {
    const cut = { ...life, summary: { ...life.summary, cut: true } }
    expect(errorsFrom(cut, companion).maxRadiusError).toBeGreaterThan(2 * told.maxRadiusError)
  })
  it('is a tenth at least, and says so, where a coarser calculation ends otherwise', () => {
    expect(told.otherOutcome).toBe('')
    const other = { ...companion, summary: { ...companion.summary, outcome: 'dries' as const } }
    const doubted = errorsFrom(life, other)
    expect(doubted.otherOutcome).toBe('dries')
    // A drop that sheds little may as well draw back, one that nearly sheds may as well shed; neither is less wide for it.
    const as = (change: Partial<Life['summary']>) => ({ ...life, summary: { ...life.summary, ...change } })
    const little = as({ outcome: 'sheds', childDrops: { count: 9, volume: 1e-10, medianRadius: 1e-4 } })
    const shedding = { ...life, preset: { ...life.preset, ring: { breakUp: true } } }
    const judged = (one: Life, other: Life) => errorsFrom({ ...one, preset: shedding.preset }, other)
    expect(judged(little, little).otherOutcome).toBe('recedes')
    const nearly = as({ outcome: 'recedes', waves: 0.2 })
    expect(judged(nearly, nearly).otherOutcome).toBe('sheds')
    expect(judged(as({ outcome: 'recedes', waves: 0.01 }), nearly).otherOutcome).toBe('')
    expect(judged(little, nearly).maxRadiusError).toBeLessThan(0.05 * life.summary.maxRadius)
    expect(doubted.maxRadiusError).toBeGreaterThanOrEqual(0.1 * life.summary.maxRadius)
  })
})
