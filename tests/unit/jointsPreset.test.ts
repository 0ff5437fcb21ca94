/** From a preset to the numbers that the engine gets, against handbook values. */
import { describe, expect, it } from 'vitest'
import { keyOf } from '../../src/life/keys.ts'
import { defaultPreset } from '../../src/life/preset.ts'
import { problemOf } from '../../src/life/problemOf.ts'
import { type Change, presetWith, referencePreset } from '../fixtures/presetLives.ts'
import { expectClose } from '../matchers.ts'

const problemWith = (...changes: Change[]) => problemOf(presetWith(defaultPreset(), ...changes)).problem

/**
 * Water at 20 °C: heat of evaporation 2.454 MJ/kg, 998.2 kg/m³, saturation pressure 2.198 kPa at 19 °C and 2.488 kPa at 21 °C,
 * surface tension 72.90 mN/m at 19 °C and 72.59 at 21 °C (steam tables and IAPWS, from memory). Ethanol: 42.3 kJ/mol
 * (CRC Handbook, from memory), 46.07 g/mol, 789 kg/m³. Oil of 1000 kg/m³ with 1.97 kJ/(kg K) and 0.165 W/(m K), as its
 * source note says.
 */
describe('cooling of a drop of water on oil', () => {
  const oil: Change[] = [
    ['bath.density_kgPerM3', 1000],
    ['drop.alcoholMassFraction', 0],
    ['air.temperature_C', 20],
  ]
  const cooling = problemWith(...oil, ['air.relativeHumidity', 0]).cooling!
  it('takes heat by volume of what evaporates, over the heat that the oil holds', () => {
    expectClose(cooling.waterHeat, (2.454e6 * 998.2) / 1.97e6, { rtol: 0.01 })
    expectClose(cooling.alcoholHeat, ((42.3e3 / 0.04607) * 789) / 1.97e6, { rtol: 0.02 })
    expectClose(cooling.diffusivity, 0.165 / 1.97e6, { rtol: 1e-3 })
  })
  it('lowers the vapour pressure as the tables have it, and raises the tension', () => {
    expectClose(cooling.waterFall, Math.log(2488 / 2198) / 2, { rtol: 0.01 })
    expect(cooling.alcoholFall).toBeGreaterThan(0.05)
    expectClose(cooling.tensionRise, (72.9e-3 - 72.59e-3) / 2, { rtol: 0.05 })
  })
  it('knows the moisture of the room: as liquid, half of saturation at half of it', () => {
    expect(cooling.ambientWater).toBe(0)
    const half = problemWith(...oil, ['air.relativeHumidity', 0.5]).cooling!
    // 2339 Pa at 20 °C.
    expectClose(half.ambientWater, (0.5 * 2339 * 0.018015) / (8.3145 * 293.15) / 998.2, { rtol: 0.01 })
  })
  it('does not change a rate that is given', () => {
    const given = problemWith(...oil, ['air.mode', 'constant']).cooling!
    expect([given.waterFall, given.alcoholFall, given.ambientWater]).toEqual([0, 0, 0])
    expect(given.waterHeat).toBe(cooling.waterHeat)
  })
  it('is none where it or all evaporation is switched off; without a gradient above, the tension stays', () => {
    for (const name of ['cooling', 'evaporation'])
      expect(problemWith([`mechanisms.${name}`, false]).cooling).toBeNull()
    const flat = problemWith(...oil, ['air.relativeHumidity', 0], ['mechanisms.tensionAbove', false])
    expect(flat.cooling).toEqual({ ...cooling, tensionRise: 0 })
  })
})

/**
 * Diffusivities in air at 25 °C: water 0.249, ethanol 0.12 cm²/s (handbooks, from memory; correlations differ by 10 %).
 * Film coefficients in one stream go as D^(2/3): T. H. Chilton & A. P. Colburn, Ind. Eng. Chem. 26, 1183 (1934).
 */
describe('vapour of both liquids', () => {
  const of = (...changes: Change[]) => problemWith(['air.temperature_C', 25], ...changes).evaporation
  const still = of(['air.mode', 'still'], ['air.enhancement', 2])
  if (still.kind !== 'disc') throw new Error('still air is a disc')
  it('diffuses through still air as in the tables, faster by the draught', () => {
    expectClose(still.waterDiffusivity, 0.249e-4, { rtol: 0.1 })
    expectClose(still.alcoholDiffusivity, 0.12e-4, { rtol: 0.1 })
    expect(still.enhancement).toBe(2)
  })
  it('crosses a layer with the same, over its thickness', () => {
    const { alcoholDiffusivity, waterDiffusivity } = still
    const layer = { kind: 'layer', thickness: 5e-3, alcoholDiffusivity, waterDiffusivity }
    expect(of(['air.mode', 'layer'], ['air.layer_mm', 5])).toEqual(layer)
  })
  it('is carried off by moving air in the ratio of Chilton and Colburn', () => {
    const moving = of(['air.mode', 'moving'], ['air.filmCoefficient_mmPerS', 3])
    if (moving.kind !== 'uniform') throw new Error('moving air is uniform')
    expectClose(moving.alcoholSpeed, 3e-3, { rtol: 1e-12 })
    const ratio = (still.waterDiffusivity / still.alcoholDiffusivity) ** (2 / 3)
    expectClose(moving.waterSpeed / moving.alcoholSpeed, ratio, { rtol: 1e-9 })
  })
  it('is the alcohol’s alone at a constant rate', () => {
    const constant = of(['air.mode', 'constant'], ['air.constantRate_umPerS', 0.7])
    expect(constant).toEqual({ kind: 'uniform', alcoholSpeed: 0.7e-6, waterSpeed: 0 })
  })
})

describe('the sources of a drop', () => {
  const options = (path: string) => {
    const key = keyOf(path)
    if (key?.kind !== 'choice') throw new Error(`${path} is no choice`)
    return key.options.map(({ value }) => value).filter((value) => value !== 'own' && value !== 'reference')
  }
  const QUALITY = ['measured', 'correlated', 'derived', 'assumed', 'from memory']
  it.each([
    ...options('drop.alcohol').map((value): Change => ['drop.alcohol', value]),
    ...options('bath.liquid').map((value): Change => ['bath.liquid', value]),
  ])('say of each quantity whence, how good and where: %s = %s', (...change) => {
    const { sources } = problemOf(presetWith(defaultPreset(), change)).facts
    expect(sources.length).toBeGreaterThan(10)
    for (const { quantity, source, quality, range } of sources) {
      expect(quantity.length).toBeGreaterThan(4)
      expect(source.length).toBeGreaterThan(4)
      expect(range.length).toBeGreaterThan(2)
      expect(QUALITY).toContain(quality)
    }
  })
  it('of the closed forms too', () => {
    const [only, ...rest] = problemOf(referencePreset()).facts.sources
    expect(rest).toEqual([])
    expect(only).toMatchObject({ quality: 'assumed' })
    expect(only!.source).toMatch(/closed forms/)
  })
})
