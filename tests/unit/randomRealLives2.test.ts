import { describe } from 'vitest'
import { REAL, soundLives } from '../fixtures/manyLives.ts'

describe('random presets with real liquids, part 2 of 2', () => {
  soundLives(250, 500, REAL)
})
