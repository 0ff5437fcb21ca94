/** Presets that once broke something, found by the long soak and shrunk; each must now be sound and must not fail. */
import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { parsePreset } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import { breachesOf } from '../fixtures/lifeChecks.ts'

const FOLDER = new URL('../regressions/', import.meta.url)
const files = readdirSync(FOLDER).filter((name) => name.endsWith('.json'))

describe('regressions', () => {
  it('are there', () => expect(files.length).toBeGreaterThan(0))
  for (const name of files) {
    it(name, () => {
      const parsed = parsePreset(readFileSync(new URL(name, FOLDER), 'utf8'))
      if (!parsed.ok) throw new Error(parsed.problems.map((p) => p.message).join('\n'))
      const result = runLifeSync(parsed.preset)
      expect(breachesOf(result)).toEqual([])
      if (result.ok) expect(result.life.summary.outcome).not.toBe('failed')
    })
  }
})
