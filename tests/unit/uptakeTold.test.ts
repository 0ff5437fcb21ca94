/** What the oil has taken, from a preset to what is shown: it must be what is missing elsewhere. */
import { describe, expect, it } from 'vitest'
import { jsonObject, tableText } from '../../src/cli/output.ts'
import { defaultPreset, setKeys } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import { seriesAt } from '../../src/life/sample.ts'
import type { Life } from '../../src/life/types.ts'
import { storyOf } from '../../src/page/explain/story.ts'
import { budgetPanel, budgetWords } from '../../src/page/plots/tracesModel.ts'
import { expectClose } from '../matchers.ts'

function lifeOf(): Life {
  const made = setKeys(defaultPreset(), [
    ['drop.alcoholMassFraction', 0.65],
    ['ring.breakUp', true],
  ])
  if (!made.ok) throw new Error(made.problems[0]!.message)
  const result = runLifeSync(made.preset)
  if (!result.ok) throw new Error('no life')
  return result.life
}

const life = lifeOf()
const { series } = life
/** Alcohol that is neither in the drop nor in the air nor in child drops, m³. */
const missing = (k: number) =>
  series.alcohol[0]! - series.alcohol[k]! - series.evaporatedAlcohol[k]! - series.childAlcohol[k]!
const last = series.t.length - 1

describe('what the oil has taken', () => {
  it('is a fair part of this drop’s alcohol, and never less than before in its first second', () => {
    expect(missing(last) / series.alcohol[0]!).toBeGreaterThan(0.1)
    series.t.forEach((t, k) => {
      if (k > 0 && t < 1) expect(series.inOil[k]!).toBeGreaterThanOrEqual(series.inOil[k - 1]!)
    })
  })
  it('stands in the JSON series in µL', () => {
    const { series: told } = jsonObject(life, 0.5, 1) as { series: Record<string, number[]> }
    const of = (name: string, k: number) => told[name]!.at(k)!
    expectClose(of('inOil_uL', -1), 1e9 * missing(last), { rtol: 1e-6 })
    expect(of('inOil_uL', 0)).toBe(0)
  })
  it('stands in the table in per cent', () => {
    const row =
      /alcohol at end +([\d.]+) % in the air, ([\d.]+) % in the oil, ([\d.]+) % in child drops, ([\d.]+) % in the drop/
    const shares = row
      .exec(tableText(life, 1, 1))!
      .slice(1)
      .map(Number)
    const start = series.alcohol[0]!
    const exact = [
      series.evaporatedAlcohol[last]!,
      missing(last),
      series.childAlcohol[last]!,
      series.alcohol[last]!,
    ]
    for (const [k, share] of shares.entries()) expectClose(share, (100 * exact[k]!) / start, { atol: 0.6 })
  })
  it('fills its place in the picture of where the liquid goes, whose top is the drop as it was set down', () => {
    const panel = budgetPanel(life, { dark: false, pins: [], curves: [] } as never)
    const oil = panel.lines.find(({ key }) => key === 'oil alcohol')!
    expect(oil.label).toBe('in the oil')
    const [top, base] = [oil.y, oil.base!]
    for (let k = 0; k <= last; k += 7) expectClose(top[k]! - base[k]!, 1e9 * missing(k), { atol: 1e-6 })
    const highest = panel.lines.at(-1)!.y
    for (let k = 0; k <= last; k += 7) expectClose(highest[k]!, 1e9 * series.volume[0]!, { rtol: 1e-9 })
  })
  it('is read off at a moment, the four adding up', () => {
    const k = series.t.findIndex((t) => t > 3)
    const words = budgetWords(seriesAt(series, series.t[k]!))
    const [, drop, children, oil, air] =
      /^drop ([\d.]+) · children ([\d.]+) · oil ([\d.]+) · air ([\d.]+) µL$/.exec(words)!.map(Number)
    expectClose(oil!, 1e9 * missing(k), { rtol: 0.05 })
    expectClose(drop! + children! + oil! + air!, 1e9 * series.volume[0]!, { rtol: 0.03 })
  })
  it('is told in the steps of the rim', () => {
    const step = storyOf(life).steps.find(({ text }) => /into the oil/.test(text))!
    const [, air, oil] =
      /Until then ([\d.]+) % of the alcohol has gone into the air and ([\d.]+) % into the oil/
        .exec(step.text)!
        .map(Number)
    const k = series.t.findLastIndex((t) => t <= step.time)
    const start = series.alcohol[0]!
    expectClose(air!, (100 * series.evaporatedAlcohol[k]!) / start, { rtol: 0.06 })
    expectClose(oil!, (100 * missing(k)) / start, { rtol: 0.06 })
  })
})
