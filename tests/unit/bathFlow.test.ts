/**
 * A runny oil's own momentum is left out: said by the life's largest U R/νo, from a preset to what is printed.
 * Source: definition of the Reynolds number; its limit of about 30 is common practice, no source.
 */
import { describe, expect, it } from 'vitest'
import { main as sheet } from '../../src/cli/sheet.ts'
import { real, main as simulate } from '../../src/cli/simulate.ts'
import { bathReynolds, LINEAR } from '../../src/life/bathFlow.ts'
import { defaultPreset, type Leaf, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life } from '../../src/life/types.ts'
import { callOf } from '../fixtures/captured.ts'
import { expectClose } from '../matchers.ts'

const WORDS = /The oil is runny for this drop: the Reynolds number of its flow reaches ([\d.]+)/
const life: typeof sheet = (argv, to) => simulate(argv, { ...real, ...to })
const PRESET = 'presets/harbour-lane-spreads.json'
const set = (...keys: string[]) => ['model.accuracy=quick', ...keys].flatMap((key) => ['--set', key])

function lifeOf(...changes: [string, Leaf][]): Life {
  const made = setKeys(defaultPreset(), [['model.accuracy', 'quick'], ...changes])
  if (!made.ok) throw new Error(made.problems[0]!.message)
  const result = runLifeSync(made.preset)
  if (!result.ok) throw new Error('no life')
  return result.life
}
async function printed(main: typeof sheet, argv: string[]): Promise<string> {
  const { code, out, err } = await callOf((to) => main(argv, to))
  expect(`${code} ${err}`).toBe('0 ')
  return out
}
const said = ({ facts }: Life) => facts.warnings.filter((words) => WORDS.test(words))

describe('warning of a runny oil', () => {
  it('goes by the largest of edge speed times radius over the kinematic viscosity', () => {
    const series = {
      U: Float64Array.of(9, 0.01, -0.02, 0.001),
      R: Float64Array.of(0.002, 0.0028, 0.01, 0.02),
    }
    expect(bathReynolds(series, { oilDensity: 900, oilViscosity: 0.009 })).toBeCloseTo(20, 10)
  })
  it('does not count the jerk at touch-down, before the edge has gone half of its first radius', () => {
    const series = { U: Float64Array.of(9, 5, -9), R: Float64Array.of(0.002, 0.0028, 0.0012) }
    expect(bathReynolds(series, { oilDensity: 900, oilViscosity: 0.009 })).toBe(0)
  })
  it('comes with a drop that spreads fast on it, with its number, not on kitchen oil; 15 mPa·s is about the border', () => {
    const runny = lifeOf(['bath.viscosity_mPas', 5], ['drop.alcoholMassFraction', 0.6])
    const reynolds = bathReynolds(runny.series, runny.facts)
    expect(reynolds).toBeGreaterThan(2 * LINEAR)
    expect(said(runny)).toHaveLength(1)
    expect(Number(WORDS.exec(said(runny)[0]!)![1])).toBe(Number(reynolds.toPrecision(2)))
    const border = lifeOf(['bath.viscosity_mPas', 15], ['drop.alcoholMassFraction', 0.6])
    expectClose(bathReynolds(border.series, border.facts), LINEAR, { rtol: 0.2 })
    const kitchen = lifeOf()
    expect(bathReynolds(kitchen.series, kitchen.facts)).toBeLessThan(LINEAR / 3)
    expect(said(kitchen)).toEqual([])
  })
  it('goes by the drop, not by the oil: a lens on the same oil hardly moves it', () => {
    const lens = lifeOf(['bath.viscosity_mPas', 5], ['drop.alcoholMassFraction', 0.1])
    expect(lens.summary.outcome).toBe('lens')
    expect(said(lens)).toEqual([])
  })
  it('is printed by the commands, as text and JSON, only where it holds', async () => {
    const runny = set('bath.viscosity_mPas=5')
    for (const args of [runny, set()]) {
      const wanted = args === runny
      const text = await printed(life, [PRESET, ...args])
      expect(WORDS.test(text)).toBe(wanted)
      const json = JSON.parse(await printed(life, [PRESET, ...args, '--json']))
      expect(json.warnings.some((words: string) => WORDS.test(words))).toBe(wanted)
      const paper = await printed(sheet, [PRESET, '--stock', '96%vol', '--brief', ...args])
      expect(/The oil is runny for\s+this\s+drop/.test(paper)).toBe(wanted)
    }
  })
})
