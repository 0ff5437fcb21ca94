/**
 * The film coefficient from the speed of the air. Sources: Çengel & Ghajar, Heat and Mass Transfer, problem 7-17 (worked in its
 * solutions manual); Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, example 7.1 (from memory) and the
 * plate that gives off only from a distance on (7.2, from memory), local and averaged here by quadrature.
 */
import { describe, expect, it } from 'vitest'
import { checkPreset, defaultPreset, type Leaf, setKeys } from '../../src/life/preset.ts'
import { problemOf } from '../../src/life/problemOf.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Preset } from '../../src/life/types.ts'
import {
  airDensity,
  airStream,
  airViscosity,
  plateSherwood,
  speedOfCoefficient,
} from '../../src/liquids/airStream.ts'
import { mixtureOf, water } from '../../src/liquids/registry.ts'
import { whyNoEffect } from '../../src/page/controls/noEffect.ts'
import { MOVERS } from '../../src/plan/neighbours.ts'
import { expectClose } from '../matchers.ts'

describe('laminar flow over a plate', () => {
  it('has the Nusselt number and drag of the worked problem: 3 m/s, 0.3 m, air at 40 °C', () => {
    // Re = 52 883, Pr = 0.7255: Nu = 137.2, twice the local 68.6; local friction 0.664 Re^−½ = 0.0029.
    expectClose(plateSherwood(52_883, 0.7255), 137.2, { atol: 0.05 })
    const { reynolds, drag } = airStream(3, 0.3, 313.15, 2e-5)
    expectClose(reynolds, 52_883, { rtol: 0.01 })
    expectClose(drag, 0.0029 * 0.5 * 1.127 * 9, { rtol: 0.01 })
  })
  it('has the Nusselt number of the worked example: Re = 9597, Pr = 0.687, Nu = 57.4 (from memory)', () => {
    expectClose(plateSherwood(9597, 0.687), 57.4, { atol: 0.05 })
  })
  it('knows the air: 40 °C, 1.127 kg/m³ and 1.918e-5 Pa·s (table A-15 of the same book)', () => {
    expectClose(airDensity(313.15), 1.127, { rtol: 2e-3 })
    expectClose(airViscosity(313.15), 1.918e-5, { rtol: 0.01 })
  })
  it('is undone by speedOfCoefficient', () => {
    const { coefficient } = airStream(0.4, 0.07, 295, 1.2e-5)
    expectClose(speedOfCoefficient(coefficient, 0.07, 295, 1.2e-5), 0.4, { rtol: 1e-12 })
  })
})

describe('the length that is taken: from the rim of the dish to its middle', () => {
  /** Average over a drop of radius s (in dish radii) in the middle, its vapour layer beginning at its own edge. */
  function startingLength(s: number): number {
    const [from, to] = [1 - s, 1 + s]
    let sum = 0
    const n = 20_000
    for (let k = 0; k < n; k++) {
      // x = from + (to − from) z³ takes the singularity at the edge out of the integral.
      const z = (k + 0.5) / n
      const x = from + (to - from) * z ** 3
      sum += ((0.332 * Math.sqrt(x)) / x / Math.cbrt(1 - (from / x) ** 0.75) / n) * 3 * z * z
    }
    return sum
  }
  it.each([
    [1 / 28, 2.0],
    [0.2, 1.12],
    [0.3, 0.99],
    [0.5, 0.83],
    [1, 0.71],
  ])('a drop of %d dish radii would have %d times the coefficient', (s, factor) => {
    expectClose(startingLength(s) / 0.664, factor, { rtol: 0.015 })
  })
})

const preset = (changes: Record<string, Leaf>): Preset => {
  const result = setKeys(defaultPreset(), Object.entries(changes))
  if (!result.ok) throw new Error(result.problems.map((p) => p.message).join('\n'))
  return result.preset
}
const T = 295.15

describe('the preset key air.speed_mPerS', () => {
  it('gives the coefficient of both vapours, water by the Schmidt numbers', () => {
    const { problem, facts } = problemOf(preset({ 'air.speed_mPerS': 0.5 }))
    const vapour = mixtureOf('ethanol').vapourDiffusivity(T)
    const alcohol = airStream(0.5, 0.07, T, vapour).coefficient
    const wet = airStream(0.5, 0.07, T, water.vapourDiffusivity(T)).coefficient
    expect(problem.evaporation.kind).toBe('uniform')
    if (problem.evaporation.kind !== 'uniform') return
    expectClose(problem.evaporation.alcoholSpeed, alcohol, { rtol: 1e-12 })
    expectClose(problem.evaporation.waterSpeed, wet, { rtol: 1e-12 })
    expectClose(facts.air!.filmCoefficient, alcohol, { rtol: 1e-12 })
    expect(facts.air).toMatchObject({ fromSpeed: true, speed: 0.5, length: 0.07 })
  })
  it('gives the same life as the coefficient that it comes to', () => {
    const quick = { 'drop.alcoholMassFraction': 0.6, 'model.accuracy': 'quick' }
    const blown = preset({ ...quick, 'air.speed_mPerS': 0.3 })
    const coefficient = 1e3 * problemOf(blown).facts.air!.filmCoefficient
    const given = preset({ ...quick, 'air.filmCoefficient_mmPerS': coefficient })
    const [a, b] = [runLifeSync(blown), runLifeSync(given)]
    if (!a.ok || !b.ok) throw new Error('no life')
    expectClose(a.life.summary.maxRadius, b.life.summary.maxRadius, { rtol: 1e-9 })
  })
  it('without it the coefficient stands, and the speed that would give it is told', () => {
    const { problem, facts } = problemOf(preset({}))
    expect(problem.evaporation).toMatchObject({ alcoholSpeed: 4e-3 })
    expect(facts.air!.fromSpeed).toBe(false)
    const again = problemOf(preset({ 'air.speed_mPerS': facts.air!.speed })).facts.air!
    expectClose(again.filmCoefficient, 4e-3, { rtol: 1e-9 })
  })
  it('plays no part in still air, at a constant rate and with the closed forms', () => {
    for (const mode of ['still', 'constant']) {
      const [without, blown] = [{}, { 'air.speed_mPerS': 2 }].map((more) =>
        problemOf(preset({ 'air.mode': mode, ...more })),
      )
      expect(blown!.problem.evaporation).toEqual(without!.problem.evaporation)
      expect(blown!.facts.air).toBeNull()
    }
  })
  it('warns outside the range of the correlation, of a drag that is left out, and of a coefficient that is not used', () => {
    const warnings = (changes: Record<string, Leaf>) => problemOf(preset(changes)).facts.warnings.join(' ')
    expect(warnings({ 'air.speed_mPerS': 0.3 })).toBe('')
    expect(warnings({ 'air.speed_mPerS': 0.015 })).toMatch(/Re = \d+; below 100 .*Still air/)
    expect(warnings({ 'air.speed_mPerS': 30, 'bath.dishRadius_mm': 300 })).toMatch(
      /Re = 5\.\d·10\^5; above 5·10\^5.*turbulent/,
    )
    expect(warnings({ 'air.speed_mPerS': 3 })).toMatch(/pulls on the surface with about 0\.0\d+ Pa.*left out/)
    expect(warnings({ 'air.speed_mPerS': 0.3, 'air.filmCoefficient_mmPerS': 7 })).toMatch(
      /7 mm\/s is not used: the air speed gives 4\.\d+ mm\/s/,
    )
    expect(warnings({ 'air.speed_mPerS': 3, 'air.mode': 'still' })).toBe('')
  })
  it('is checked like any other', () => {
    const made = checkPreset({
      format: 'rimtide-preset',
      version: 1,
      air: { speed_mPers: 1, filmCoefficient_mmPerS: 3 },
    })
    expect(made.ok).toBe(false)
    if (!made.ok) expect(made.problems[0]!.message).toMatch(/Did you mean air\.speed_mPerS/)
    expect(setKeys(defaultPreset(), [['air.speed_mPerS', 31]]).ok).toBe(false)
  })
})

describe('around it', () => {
  it('the band of neighbours moves the coefficient, not the speed', () => {
    const blown = preset({ 'air.speed_mPerS': 0.5 })
    const { filmCoefficient } = problemOf(blown).facts.air!
    const moved = MOVERS.find(({ input }) => input === 'evaporation')!.move(blown, 1)
    expectClose(problemOf(moved).facts.air!.filmCoefficient, 1.3 * filmCoefficient, { rtol: 1e-12 })
  })
  it('the page says which of the two is not used', () => {
    const why = (path: string, changes: Record<string, Leaf>) => whyNoEffect(path, preset(changes))
    expect(why('air.filmCoefficient_mmPerS', {})).toBe('')
    expect(why('air.filmCoefficient_mmPerS', { 'air.speed_mPerS': 1 })).toMatch(/air speed/)
    expect(why('air.speed_mPerS', { 'air.mode': 'still' })).toMatch(/still air/)
    expect(why('air.speed_mPerS', {})).toBe('')
  })
})
