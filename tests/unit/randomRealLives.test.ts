import { describe, expect, it } from 'vitest'
import { KEYS } from '../../src/life/keys.ts'
import { cases } from '../fixtures/long.ts'
import { REAL, soundLives } from '../fixtures/manyLives.ts'
import { presetsOf } from '../fixtures/randomPresets.ts'

const count = cases(50, 500)

describe('random presets with real liquids', () => {
  it('hold every alcohol, every oil and every kind of air', () => {
    const presets = presetsOf(count, REAL.seed, REAL.selection)
    const seen = new Set(presets.flatMap(({ drop, bath, air }) => [drop.alcohol, bath.liquid, air.mode]))
    const choices = KEYS.filter(({ path }) => ['drop.alcohol', 'bath.liquid', 'air.mode'].includes(path))
    const known = choices.flatMap((key) => (key.kind === 'choice' ? key.options.map((o) => o.value) : []))
    expect([...seen].sort()).toEqual(
      [...new Set(known)].filter((name) => name !== 'reference' && name !== 'own').sort(),
    )
  })
  soundLives(count, REAL)
})
