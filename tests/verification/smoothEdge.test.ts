/**
 * The front inside the ring passes from cell to cell; a poor scheme puts a staircase of 0.2–0.3 mm/s on the edge speed.
 * U(t) of the reference lives is compared with a smooth curve: at each moment the value of the cubic that fits it best over
 * half a second. Largest radius and ring height are compared with a life of more than twice as many cells.
 * Weights of the moving cubic: Savitzky & Golay, Anal. Chem. 36, 1627 (1964), in closed form.
 */
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { parsePreset, setKeys } from '../../src/life/preset.ts'
import { runLevelSync } from '../../src/life/run.ts'
import { seriesAt } from '../../src/life/sample.ts'
import type { Life } from '../../src/life/types.ts'

const shipped = parsePreset(readFileSync(new URL('../../presets/reference.json', import.meta.url), 'utf8'))

function life(strength: number, level: 'quick' | 'normal' | 'fine'): Life {
  if (!shipped.ok) throw new Error('presets/reference.json is not a preset')
  const changed = setKeys(shipped.preset, [['drop.alcoholMassFraction', strength]])
  if (!changed.ok) throw new Error('a strength was refused')
  const result = runLevelSync(changed.preset, level)
  if (!result.ok) throw new Error('no life')
  return result.life
}

const EVERY = 0.02
const HALF = 12

/** Weight of the value k places away in the cubic's value at the middle of 2m + 1 even places. */
const weight = (m: number, k: number): number =>
  (3 * (3 * m * m + 3 * m - 1 - 5 * k * k)) / ((2 * m + 1) * (4 * m * m + 4 * m - 3))

/** Root mean square of U about the moving cubic from 0.5 s until 1 s after the maximum, m/s. */
function roughness({ series, summary }: Life): number {
  const count = Math.floor((summary.maxRadiusTime + 0.5) / EVERY)
  const U = Array.from({ length: count + 2 * HALF }, (_, j) => seriesAt(series, 0.5 + (j - HALF) * EVERY).U)
  let sum = 0
  for (let j = HALF; j < U.length - HALF; j++) {
    let smooth = 0
    for (let k = -HALF; k <= HALF; k++) smooth += weight(HALF, k) * U[j + k]!
    sum += (U[j]! - smooth) ** 2
  }
  return Math.sqrt(sum / count)
}

describe('the moving cubic', () => {
  it('leaves a cubic alone and sees a ripple', () => {
    const sum = (f: (k: number) => number) => {
      let total = 0
      for (let k = -HALF; k <= HALF; k++) total += weight(HALF, k) * f(k)
      return total
    }
    expect(sum((k) => 2 + k - 0.3 * k ** 2 + 0.01 * k ** 3)).toBeCloseTo(2, 12)
    expect(Math.abs(sum((k) => (k % 2 ? -1 : 1)))).toBeLessThan(0.2)
  })
})

describe.each([0.4, 0.5])('reference life at %f', (strength) => {
  const fine = life(strength, 'fine')
  const normal = life(strength, 'normal')

  it('has an edge speed within 0.03 mm/s of a smooth curve', () => {
    expect(roughness(normal)).toBeLessThan(0.03e-3)
  })

  it('has its largest radius within 0.3 % and its ring height within 5 % of the finer life', () => {
    expect(Math.abs(normal.summary.maxRadius / fine.summary.maxRadius - 1)).toBeLessThan(0.003)
    for (const t of [2, 4, 6]) {
      const finer = seriesAt(fine.series, t).ringHeight
      expect(finer).toBeGreaterThan(0)
      expect(Math.abs(seriesAt(normal.series, t).ringHeight / finer - 1)).toBeLessThan(0.05)
    }
  })
})
