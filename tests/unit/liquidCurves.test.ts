import { createHash } from 'node:crypto'
import { describe, expect, it } from 'vitest'
import { KEYS } from '../../src/life/keys.ts'
import { defaultPreset, type Leaf, setKeys } from '../../src/life/preset.ts'
import { problemOf } from '../../src/life/problemOf.ts'
import type { Preset } from '../../src/life/types.ts'

const changed = (base: Preset, changes: [string, Leaf][]): Preset | null => {
  const result = setKeys(base, changes)
  return result.ok ? result.preset : null
}

/** All numbers of a problem and its facts. */
const numbers = (preset: Preset): string => {
  const { problem, facts } = problemOf(preset)
  const { closures, ...rest } = problem
  const hash = createHash('sha256').update(closures.coefficients)
  for (const row of Object.values(facts.curve)) hash.update(row)
  return JSON.stringify([rest, facts.criticalMassFraction, facts.startFlux, facts.S0, hash.digest('hex')])
}

const reference: [string, Leaf][] = [
  ['drop.alcohol', 'reference'],
  ['bath.liquid', 'reference'],
  ['air.mode', 'constant'],
]

/** Curves of so many other liquids push out all that were kept. */
function forget(): void {
  for (let k = 0; k < 16; k++)
    problemOf(changed(defaultPreset(), [...reference, ['air.temperature_C', 11 + k]])!)
}

/** Two other values of a key than the base's. */
function others(key: (typeof KEYS)[number]): Leaf[] {
  if (key.kind === 'switch') return [false, true]
  if (key.kind === 'choice') return key.options.map(({ value }) => value).filter((v) => v !== 'own')
  const place = (part: number) => {
    const value =
      key.min > 0 && key.logarithmic
        ? key.min * (key.max / key.min) ** part
        : key.min + part * (key.max - key.min)
    return key.integer ? Math.round(value) : value
  }
  return [place(0.3), place(0.6)]
}

describe('curves that are kept for the next lives', () => {
  const bases: [string, [string, Leaf][]][] = [
    ['the default drop', []],
    ['a drop whose tension above is held', [['mechanisms.tensionAbove', false]]],
    ['the reference case', reference],
  ]
  // The same program without anything kept is what they are held to.
  it.each(bases)(
    'are those of the drop that asks, whichever key was changed: %s',
    (_, changes) => {
      const base = changed(defaultPreset(), changes)!
      let compared = 0
      for (const key of KEYS) {
        for (const value of others(key)) {
          const preset = changed(base, [[key.path, value]])
          if (!preset) continue
          forget()
          const alone = numbers(preset)
          forget()
          problemOf(base)
          expect(numbers(preset), `${key.path} = ${value}`).toBe(alone)
          compared++
        }
      }
      expect(compared).toBeGreaterThan(60)
    },
    120_000,
  )

  it('are not lost to who gives the rows of a life away', () => {
    const first = problemOf(defaultPreset()).facts.curve
    first.S.fill(0)
    expect(problemOf(defaultPreset()).facts.curve.S.some((v) => v !== 0)).toBe(true)
  })

  it('depend on the strength only where a tension is held', () => {
    const curves = (w: number, held: boolean) => {
      const preset = changed(defaultPreset(), [
        ['drop.alcoholMassFraction', w],
        ['mechanisms.tensionAbove', !held],
      ])!
      return problemOf(preset).problem.closures
    }
    expect(curves(0.4, false)).toBe(curves(0.6, false))
    expect(curves(0.4, true)).not.toBe(curves(0.6, true))
  })
})
