import { describe } from 'vitest'
import { soundLives } from '../fixtures/manyLives.ts'

describe('random presets over all keys, part 1 of 2', () => {
  soundLives(0, 250)
})
