/** Outcomes along a track. The lives are made up; the logic is ours: common practice, no source. */
import { describe, expect, it } from 'vitest'
import { defaultPreset } from '../../src/life/preset.ts'
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
