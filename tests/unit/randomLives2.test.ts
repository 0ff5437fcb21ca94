import { describe } from 'vitest'
import { soundLives } from '../fixtures/manyLives.ts'

describe('random presets over all keys, part 2 of 2', () => {
  soundLives(250, 500)
})
