/** The estimate of a life's error as page and command line ask for it: in slices that can be stopped. */
import { describe, expect, it } from 'vitest'
import { errorsFrom, estimateErrors, withErrorsSync } from '../../src/life/errors.ts'
import { runLife } from '../../src/life/run.ts'
import type { Life } from '../../src/life/types.ts'
import { lifeOf, presetWith, referencePreset } from '../fixtures/presetLives.ts'

const preset = presetWith(referencePreset(), ['model.accuracy', 'quick'])
const life = lifeOf(preset)

describe('the error of a life', () => {
  it('comes out alike in one go and in slices', async () => {
    const pause = async () => {}
    const { maxRadiusError, collapseTimeError, otherOutcome } = withErrorsSync(life).summary
    expect(maxRadiusError).toBeGreaterThan(0)
    expect(await estimateErrors(life, { pause })).toEqual({ maxRadiusError, collapseTimeError, otherOutcome })
  })
  it('is not known if it was stopped on the way', async () => {
    expect(await estimateErrors({ ...life, preset: fine() }, { cancelled: () => true })).toBeNull()
  })
})

describe('a companion whose numbers agree by chance', () => {
  it('tells an error at least as large as the curves are apart about the maximum', () => {
    const { series } = life
    const apart = 0.02
    const other = { ...life, series: { ...series, R: series.R.map((r) => r * (1 - apart)) } }
    const { maxRadiusError, collapseTimeError } = errorsFrom(life, other)
    expect(maxRadiusError).toBeGreaterThan(0.9 * apart * life.summary.maxRadius)
    expect(collapseTimeError).toBeGreaterThan(0.9 * apart * life.summary.collapseTime)
    expect(errorsFrom(life, life).maxRadiusError).toBeLessThan(0.5 * apart * life.summary.maxRadius)
  })
})

/** So fine that its companion takes several slices. */
const fine = () => presetWith(preset, ['model.accuracy', 'fine'], ['model.innerCells', 400])

describe('a life that is stopped', () => {
  it('is what is known so far, with the mark of it', async () => {
    const grown: Life[] = []
    const result = await runLife(fine(), { cancelled: () => true, progress: (so) => grown.push(so) })
    if (!result.ok) throw new Error('no life')
    const { status, series, summary } = result.life
    expect(status).toBe('stopped')
    expect(series.t.at(-1)!).toBeLessThan(12)
    expect(summary.lifeEnd).toBe(series.t.at(-1))
    expect(summary.cut).toBe(false)
    for (const so of grown) expect(so.status).toBe('growing')
  })
})
