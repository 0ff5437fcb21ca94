/** What the panels below the frame are made of, as far as it needs no document. Common practice, no source. */
import { describe, expect, it } from 'vitest'
import { defaultPreset, setKeys } from '../../src/life/preset.ts'
import { problemOf } from '../../src/life/problemOf.ts'
import { plainBottle, shortStrength, wantOf } from '../../src/page/bottle.ts'
import { numberIn } from '../../src/page/fields.ts'
import { withoutInput } from '../../src/page/neighbours.ts'
import { sectionOf } from '../../src/page/sections.ts'
import { along, assumedLaw, spreadingPanel, tensionsPanel } from '../../src/page/thresholdModel.ts'
import { thresholdOf } from '../../src/plan/threshold.ts'

const preset = defaultPreset()
const { facts } = problemOf(preset)
const colours = { dark: false, ink: '#000', life: '#00f' }

describe('threshold plots', () => {
  it('reads the assumed curve back from its points, whatever its three numbers are', () => {
    const given = setKeys(preset, [
      ['interface.water_mNperM', 18.5],
      ['interface.end_mNperM', 2.25],
      ['interface.decay', 2.9],
    ])
    if (!given.ok) throw new Error('not permitted')
    const law = assumedLaw(problemOf(given.preset).facts)
    expect([1e3 * law.water, 1e3 * law.end, law.decay].map((v) => Number(v.toFixed(6)))).toEqual([
      18.5, 2.25, 2.9,
    ])
  })
  it('puts the mark of the threshold on the zero line and the drop on the curve', () => {
    const threshold = thresholdOf(preset, facts)
    const { marks, lines } = spreadingPanel(preset, threshold, null, colours)
    const S = lines.find(({ key }) => key === 'S')!
    const onCurve = (x: number) => along(Float64Array.from(S.x), Float64Array.from(S.y), x / 100)
    for (const { x, y } of marks) expect(Math.abs(onCurve(x) - y)).toBeLessThan(0.02)
    expect(marks[1]!.y).toBe(0)
  })
  it('shades the reach of the threshold over the whole height', () => {
    const reach = { low: 0.46, central: 0.48, high: 0.51, most: undefined }
    const panel = spreadingPanel(preset, thresholdOf(preset, facts), reach, colours)
    const shade = panel.lines.find(({ kind }) => kind === 'area')!
    expect([...Array.from(shade.x), shade.y[0], shade.base![0]]).toEqual([46, 51, panel.yMax, panel.yMin])
  })
  it('draws the tensions whose difference is S', () => {
    const { lines } = tensionsPanel(preset, facts, colours)
    const of = (key: string) => Array.from(lines.find((line) => line.key === key)!.y)
    const S = of('air').map((a, i) => of('oil')[0]! - a - of('below')[i]!)
    // The facts' S goes through a fine table of curves, the tensions do not.
    for (const [i, value] of S.entries()) expect(value).toBeCloseTo(1e3 * facts.curve.S[i]!, 5)
  })
})

describe('bottle and fields', () => {
  it('takes a decimal comma and refuses what is no number', () => {
    expect([numberIn(' 12,5 '), numberIn('0.5'), numberIn('1e3')]).toEqual([12.5, 0.5, 1000])
    for (const text of ['', '1,2,3', '12 mL', 'NaN', '-', '0x10']) expect(numberIn(text), text).toBeNaN()
  })
  it('wants the strength of the drop unless another is given', () => {
    expect(wantOf(plainBottle, preset)).toEqual({ by: 'mass', value: preset.drop.alcoholMassFraction })
    const want = { by: 'volume', value: 40 } as const
    expect(wantOf({ ...plainBottle, want }, preset)).toBe(want)
    expect([shortStrength(plainBottle.stock), shortStrength({ by: 'mass', value: 0.937 })]).toEqual([
      '96 %vol',
      '93.7 % by mass',
    ])
  })
})

describe('links and tracks', () => {
  it('finds the part of the page in both kinds of address', () => {
    expect(
      ['#recipe', '#rimtide=1&drop.volume_uL=5&view.at=map', '#rimtide=1', '#nonsense', ''].map(sectionOf),
    ).toEqual(['recipe', 'map', '', '', ''])
  })
  it('names the same drop for every value of the input itself, and for its words', () => {
    const other = { ...preset, title: 'x', drop: { ...preset.drop, volume_uL: 33 } }
    expect(withoutInput(other, 'drop.volume_uL')).toBe(withoutInput(preset, 'drop.volume_uL'))
    expect(withoutInput(other, 'drop.alcoholMassFraction')).not.toBe(
      withoutInput(preset, 'drop.alcoholMassFraction'),
    )
  })
})
