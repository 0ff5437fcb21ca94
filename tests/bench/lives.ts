/** The lives that the bench measures, and what they are compared with. */
import { readFileSync } from 'node:fs'
import { parsePreset, setKeys } from '../../src/life/preset.ts'
import type { Preset } from '../../src/life/types.ts'

export interface BenchLife {
  name: string
  preset: Preset
}

const at = (path: string) => readFileSync(new URL(`../../presets/${path}`, import.meta.url), 'utf8')

function loaded(file: string, changes: [string, string | number | boolean][]): Preset {
  const parsed = parsePreset(at(file))
  if (!parsed.ok) throw new Error(parsed.problems[0]!.message)
  const changed = setKeys(parsed.preset, changes)
  if (!changed.ok) throw new Error(changed.problems[0]!.message)
  return changed.preset
}

/** Reference lives at three strengths (three-field bath as in their tables, and the exact one) and a real liquid. */
export const benchLives = (): BenchLife[] => [
  ...[0.4, 0.5, 0.7].map((strength) => ({
    name: `reference ${strength.toFixed(2)}`,
    preset: loaded('reference.json', [['drop.alcoholMassFraction', strength]]),
  })),
  {
    name: 'reference 0.50, exact bath',
    preset: loaded('reference.json', [['model.bath', 'exact']]),
  },
  { name: 'ethanol on rapeseed oil', preset: loaded('harbour-lane-spreads.json', []) },
]

/** Times, s, at which R is compared. */
export const CHECK_TIMES = [1, 2, 4, 6]
