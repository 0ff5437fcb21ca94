/** Outcomes along a track and the envelope of R(t). The lives are made up; the logic is ours: common practice, no source. */
import { describe, expect, it } from 'vitest'
import { defaultPreset } from '../../src/life/preset.ts'
import type { Life, LifeResult, Preset } from '../../src/life/types.ts'
import { envelopeOf, noting } from '../../src/plan/envelope.ts'
import { bandOf, MOVERS } from '../../src/plan/neighbours.ts'
import { joined, outcomesAlong } from '../../src/plan/stretches.ts'
import { madeUpRun } from '../fixtures/planLives.ts'

const values = Array.from({ length: 33 }, (_, i) => i / 32)
const wish = { key: 'drop.alcoholMassFraction', values, coarse: 4 }

describe('outcomes along a track', () => {
  it('finds a border to one place of the track with few lives', async () => {
    const { run, asked } = madeUpRun(({ drop }) => ({
      outcome: drop.alcoholMassFraction < 0.4 ? 'lens' : 'sheds',
    }))
    const { stretches, status, lives } = await outcomesAlong(defaultPreset(), wish, run)
    expect(status).toBe('done')
    expect(stretches.map(({ outcome }) => outcome)).toEqual(['lens', 'sheds'])
    expect(Math.abs(stretches[0]!.to - 0.4)).toBeLessThanOrEqual(1 / 64 + 1e-9)
    expect([stretches[0]!.from, stretches[1]!.to]).toEqual([0, 1])
    expect(lives).toBe(asked.length)
    expect(lives).toBeLessThanOrEqual(11)
  })
  it('sees a narrow stretch between two others once a coarse place falls into it', async () => {
    const { run } = madeUpRun(({ drop: { alcoholMassFraction: w } }) => ({
      outcome: w < 0.45 ? 'lens' : w < 0.55 ? 'recedes' : 'sheds',
    }))
    const { stretches } = await outcomesAlong(defaultPreset(), wish, run)
    expect(stretches.map(({ outcome }) => outcome)).toEqual(['lens', 'recedes', 'sheds'])
    expect(stretches.every(({ from }, i) => i === 0 || from === stretches[i - 1]!.to)).toBe(true)
  })
  it('names what the rules of presets do not permit, without running it', async () => {
    const { run, asked } = madeUpRun(() => ({ outcome: 'recedes' }))
    const { stretches } = await outcomesAlong(
      defaultPreset(),
      { key: 'drop.startRadius_mm', values: [0.5, 5, 15, 40], coarse: 1 },
      run,
    )
    expect(stretches.at(-1)!.outcome).toBe('not-permitted')
    expect(asked.length).toBe(3)
  })
  it('stops at once and gives what is known', async () => {
    let left = 3
    const { run } = madeUpRun(() => ({ outcome: 'recedes' }))
    const so = await outcomesAlong(defaultPreset(), wish, run, { cancelled: () => left-- <= 0 })
    expect(so.status).toBe('stopped')
    expect(so.lives).toBeLessThan(9)
  })
  it('joins equal neighbours and puts borders half way', () => {
    const at = (place: number, outcome: 'lens' | 'sheds') => ({ place, outcome })
    expect(joined([at(1, 'sheds'), at(0, 'lens'), at(0.5, 'lens')])).toEqual([
      { from: 0, to: 0.75, outcome: 'lens' },
      { from: 0.75, to: 1, outcome: 'sheds' },
    ])
    expect(joined([])).toEqual([])
  })
})

const line = (slope: number, end = 4): Pick<Life['series'], 't' | 'R'> => ({
  t: Float64Array.of(0, end),
  R: Float64Array.of(0.002, 0.002 + slope * end),
})

describe('the envelope of R(t)', () => {
  it('adds the shifts of independent inputs as the root of the sum of squares', () => {
    const same = MOVERS.flatMap(() => [line(0.001), line(0.001)])
    const moved = [line(0.0007), line(0.0013), line(0.0006), line(0.0014), ...same.slice(4)]
    const { t, down, up } = envelopeOf([line(0.001), ...moved], 5)!
    expect([...t]).toEqual([0, 1, 2, 3, 4])
    // At 2 s the shifts are 0.6 and 0.8 mm: together 1 mm either way.
    expect(up[2]).toBeCloseTo(1e-3, 12)
    expect(down[2]).toBeCloseTo(1e-3, 12)
    expect([down[0], up[0]]).toEqual([0, 0])
  })
  it('gets the lives of a band in their order, whichever ends first and however many are computed at once', async () => {
    const { run } = madeUpRun(() => ({}))
    const marked = (preset: Preset) => {
      const { life } = run(preset) as LifeResult & { ok: true }
      const R = Float64Array.of(preset.drop.volume_uL, preset.interface.decay ?? 0)
      return { ok: true, life: { ...life, series: { ...life.series, R } } } as LifeResult
    }
    const expected: { R: Float64Array }[] = []
    await bandOf(defaultPreset(), noting(marked, expected as never))
    let wait = 40
    const late = async (preset: Preset) => {
      wait -= 3
      await new Promise((resolve) => setTimeout(resolve, wait))
      return marked(preset)
    }
    const curves: { R: Float64Array }[] = []
    await bandOf(defaultPreset(), noting(Object.assign(late, { atOnce: 4 }), curves as never))
    expect(curves.map(({ R }) => R)).toEqual(expected.map(({ R }) => R))
    expect(new Set(curves.map(({ R }) => R.join())).size).toBeGreaterThan(4)
  })
  it('does without lives that failed', () => {
    const curves = [
      line(0.001),
      undefined,
      line(0.0013),
      ...MOVERS.slice(1).flatMap(() => [undefined, undefined]),
    ]
    const { down, up } = envelopeOf(curves, 3)!
    expect(down[2]).toBe(0)
    expect(up[2]).toBeCloseTo(1.2e-3, 12)
    expect(envelopeOf([undefined, line(1)])).toBeNull()
  })
})
