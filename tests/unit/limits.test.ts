/** What the limits say of uptake and cooling is what lives give, today. */
import { describe, expect, it } from 'vitest'
import { alcoholShares } from '../../src/life/alcoholShares.ts'
import { defaultPreset, type Leaf, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life } from '../../src/life/types.ts'
import { LIMITS } from '../../src/plan/limits.ts'

type Changes = readonly (readonly [string, Leaf])[]

/** Four usual drops, 10 µL on 10 mm of oil at 22 °C in moving air, the last of them near its threshold. */
const DROPS: readonly Changes[] = [
  [['drop.alcoholMassFraction', 0.65]],
  [
    ['drop.alcohol', '2-propanol'],
    ['bath.liquid', 'sunflower-oil'],
    ['drop.alcoholMassFraction', 0.5],
  ],
  [
    ['drop.alcohol', '2-propanol'],
    ['bath.liquid', 'sunflower-oil-kitchen'],
    ['drop.alcoholMassFraction', 0.4],
  ],
  [['drop.alcoholMassFraction', 0.52]],
]

function lifeOf(...changes: Changes): Life {
  const made = setKeys(defaultPreset(), changes)
  if (!made.ok) throw new Error(made.problems[0]!.message)
  const result = runLifeSync(made.preset)
  if (!result.ok) throw new Error('no life')
  return result.life
}

const whole = DROPS.map((drop) => lifeOf(...drop))
const radius = ({ summary }: Life) => summary.maxRadius
/** By how much smaller than `other`, %. */
const less = (of: (life: Life) => number, other: readonly Life[]) =>
  whole.map((life, k) => 100 * (1 - of(life) / of(other[k]!)))
const ends = (values: readonly number[]) => [Math.min(...values), Math.max(...values)].map(Math.round)
const numbers = (text: string, pattern: RegExp) => pattern.exec(text)!.slice(1).map(Number)

describe('the limits quote', () => {
  const uptake = LIMITS.find((line) => line.startsWith('How much alcohol the oil takes up'))!
  const cooling = LIMITS.find((line) => line.startsWith('The drop is cooled'))!

  it('what the oil takes of four usual drops, and what that does to them', () => {
    const without = DROPS.map((drop) => lifeOf(...drop, ['mechanisms.uptake', false]))
    const shares = whole.map(({ series }) => 100 * alcoholShares(series)!.oil)
    expect(ends(shares)).toEqual(numbers(uptake, /the oil takes (\d+) to (\d+) % of the alcohol/))
    expect(ends(less(radius, without))).toEqual(
      numbers(uptake, /largest radius is (\d+) to (\d+) % smaller for it/),
    )
    const shorter = less(({ summary }) => summary.collapseTime, without)
    expect(uptake).toMatch(/a quarter to almost a half shorter/)
    expect(Math.min(...shorter)).toBeGreaterThan(20)
    expect(Math.max(...shorter)).toBeLessThan(50)
    expect(Math.max(...shorter)).toBeGreaterThan(40)
  })
  it('what half or twice the uptake does', () => {
    const [low, high] = numbers(uptake, /moves the largest radius by (\d+) to (\d+) %/)
    for (const [k, drop] of DROPS.entries()) {
      for (const factor of [0.5, 2]) {
        const solubility = factor * whole[k]!.facts.uptake.solubility
        const moved =
          100 * Math.abs(radius(lifeOf(...drop, ['bath.solubility', solubility])) / radius(whole[k]!) - 1)
        expect(moved).toBeGreaterThan(low! - 1)
        expect(moved).toBeLessThan(high! + 1)
      }
    }
    const factors = whole.map(({ facts }) => facts.uptake.factor)
    const stated = Number(/accurate to a factor of about (\d+\.\d+)/.exec(uptake)![1])
    for (const factor of factors) expect(Math.abs(factor - stated)).toBeLessThan(0.1)
  })
  it('what cooling does', () => {
    const warm = DROPS.map((drop) => lifeOf(...drop, ['mechanisms.cooling', false]))
    const [low, high] = numbers(cooling, /largest radius by ([\d.]+) to ([\d.]+) %/)
    for (const smaller of less(radius, warm)) {
      expect(smaller).toBeGreaterThan(low! - 0.3)
      expect(smaller).toBeLessThan(high! + 0.3)
    }
  })
})
