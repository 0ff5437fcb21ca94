/** What is planned and printed for a drop, against the drop itself: threshold as text, beads in words, other outcomes. */
import { describe, expect, it } from 'vitest'
import { defaultPreset } from '../../src/life/preset.ts'
import type { OutcomeName } from '../../src/life/types.ts'
import { type BeadFacts, bandWords } from '../../src/plan/beads.ts'
import { labSheet } from '../../src/plan/sheet/labSheet.ts'
import type { SureBand } from '../../src/plan/sureness.ts'
import { thresholdObject, thresholdReport, thresholdText } from '../../src/plan/thresholdReport.ts'
import { type Change, lifeOf, presetWith, referencePreset } from '../fixtures/presetLives.ts'
import { expectClose } from '../matchers.ts'

/** The closed-form liquids: S = 33 − γa − γi, mN/m. */
const spreading = (phi: number): number =>
  33 - (27.6 - 6.4 * phi + 44.4 * Math.exp(-phi / 0.085)) - (0.4 + 24.5 * Math.exp(-3.6 * phi))

/** The lines of the curve: strength, S, place of its mark, place of ":" and whether it is this drop. */
function curveOf(text: string) {
  return text
    .split('\n')
    .map((line) => /^ *([\d.]+) +([\d.]+) +(-?[\d.]+) {3}(.*)$/.exec(line))
    .filter((found) => found !== null)
    .map(([, mass, volume, S, bar]) => ({
      mass: Number(mass),
      volume: Number(volume),
      S: Number(S),
      mark: bar!.search(/[o*]/),
      zero: bar!.indexOf(':'),
      own: bar!.includes('o'),
      said: bar!.includes('this drop'),
    }))
}

describe('the threshold as text', () => {
  const report = thresholdReport(presetWith(referencePreset(), ['drop.alcoholMassFraction', 0.52]))
  const text = thresholdText(report)
  const lines = curveOf(text)
  it('has S at every fifth per cent and at the drop, in order', () => {
    expect(lines.map(({ mass }) => mass)).toEqual([
      ...Array.from({ length: 11 }, (_, k) => 5 * k),
      52,
      ...Array.from({ length: 10 }, (_, k) => 55 + 5 * k),
    ])
    for (const { mass, volume, S } of lines) {
      expect(volume).toBe(mass)
      expectClose(S, spreading(mass / 100), { atol: 0.051 })
    }
  })
  it('marks S left of ":" where it is below 0, right of it above, farther the more, and the drop by its own sign', () => {
    for (const { S, mark, zero, own, said, mass } of lines) {
      expect([own, said]).toEqual([mass === 52, mass === 52])
      if (zero < 0) expect(Math.abs(S)).toBeLessThan(1)
      else expect(Math.sign(mark - zero)).toBe(Math.sign(S))
    }
    const above = lines.filter(({ S }) => S > -30)
    for (const one of above) {
      for (const other of above) if (one.S > other.S + 1) expect(one.mark).toBeGreaterThan(other.mark)
    }
  })
  it('names threshold and reach, as the closed forms have it', () => {
    const found = Number(/threshold {3}([\d.]+) % by volume/.exec(text)![1]) / 100
    expectClose(spreading(found), 0, { atol: 0.1 })
    const [low, high] = /likely {6}([\d.]+) to ([\d.]+) % by volume/.exec(text)!.slice(1).map(Number) as [
      number,
      number,
    ]
    expect(low).toBeLessThan(100 * found)
    expect(high).toBeGreaterThan(100 * found)
    const object = JSON.parse(JSON.stringify(thresholdObject(report)))
    expect(JSON.stringify(object)).not.toMatch(/NaN|undefined/)
  })
  it('says where nothing spreads, without a threshold', () => {
    const never = thresholdText(
      thresholdReport(presetWith(defaultPreset(), ['bath.liquid', 'silicone-oil-50'])),
    )
    expect(never).toMatch(/No mixture of ethanol and water spreads on silicone oil/)
    expect(never).not.toMatch(/^(threshold|likely) /m)
    for (const { S } of curveOf(never)) expect(S).toBeLessThan(0)
  })
})

describe('when the beads come, with more or less noise', () => {
  const facts = (low: number, high: number, from = 1): BeadFacts => ({
    verdict: 'beads',
    by: 'calculation',
    from,
    band: { low, high },
    count: 100,
    spacing: 1e-3,
    dropRadius: 1e-4,
    atLargest: null,
  })
  const never = Number.NaN
  it.each([
    [facts(0.59, 0.74), 'between 0.59 and 0.74 s for ten times more or less noise'],
    [facts(0.7, 0.7), 'the same for ten times more or less noise'],
    [
      facts(0.59, never),
      'from 0.59 s on with ten times more noise, not before the largest radius with ten times less',
    ],
    [facts(0.59, never, never), 'from 0.59 s on with ten times more noise'],
    [facts(never, never, never), 'not even with ten times more noise'],
    [facts(never, never), ''],
    [{ ...facts(0.59, 0.74), by: 'life' as const }, ''],
  ])('%#: in words', (of, words) => {
    expect(bandWords(of)).toBe(words)
  })
})

describe('the lab sheet', () => {
  const strong: Change[] = [
    ['model.accuracy', 'quick'],
    ['drop.alcoholMassFraction', 0.6],
  ]
  const life = lifeOf(defaultPreset(), ...strong)
  const reach = { central: 1, low: 1, high: 1, most: undefined }
  const remarkWith = (...counts: [OutcomeName, number][]) => {
    const of = counts.reduce((sum, [, count]) => sum + count, 0)
    const chances = counts.map(([outcome, count]) => ({ outcome, count, of, low: 0, high: 1 }))
    const band = {
      status: 'done',
      reach: { maxRadius: reach, maxRadiusTime: reach, collapseTime: reach, threshold: reach },
      shifts: [],
      outcomes: counts.map(([outcome]) => outcome),
      failures: [],
      sure: { lives: of, failed: 0, chances },
    } as unknown as SureBand
    const stock = { by: 'volume', value: 96 } as const
    const made = labSheet({ life, band, stock, mixture_mL: 50, frames: 201, pixels: 1000 })
    if (!made.ok) throw new Error(JSON.stringify(made.problems))
    return made.sheet.sections.flatMap(({ rows }) => rows).find(({ label }) => label === 'Outcome')!
  }
  it('tells what else may become of the drop, and of nothing else', () => {
    expect(life.summary.outcome).toBe('recedes')
    expect(JSON.stringify(remarkWith(['recedes', 32]))).not.toContain('drawn from')
    const said = JSON.stringify(remarkWith(['recedes', 16], ['lens', 12], ['sheds', 4]))
    expect(said).toMatch(
      /drawn from their widths: 50 of 100 \(.*\) draw back; 38 of 100 .* stay lenses; 13 of 100 .* shed child drops"/,
    )
  })
})
