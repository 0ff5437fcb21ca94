/** The sentence is our own wording; these checks hold it to what a life says. Common practice, no source. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { main, real } from '../../src/cli/simulate.ts'
import { defaultPreset, parsePreset } from '../../src/life/preset.ts'
import { runLifeSync } from '../../src/life/run.ts'
import type { Life, Summary } from '../../src/life/types.ts'
import { count, duration, length, plain, withError } from '../../src/page/format.ts'
import { beadReason } from '../../src/page/sentence/beads.ts'
import { sentenceOf } from '../../src/page/sentence/sentence.ts'
import { type Neighbours, noNeighbours } from '../../src/page/store.ts'
import { beadFacts } from '../../src/plan/beads.ts'
import { type Fingers, fingersOf } from '../../src/rim/fingers.ts'
import { captured } from '../fixtures/captured.ts'
import { expectClose } from '../matchers.ts'

const summary: Summary = {
  outcome: 'sheds',
  cut: false,
  otherOutcome: '',
  waves: 0.3,
  cause: '',
  maxRadius: 0.0246,
  maxRadiusTime: 3.6,
  maxRadiusBand: [3.2, 4.1],
  collapseTime: Number.NaN,
  lifeEnd: 6.21,
  maxRadiusError: Number.NaN,
  collapseTimeError: Number.NaN,
  scale: { radius: 0.035, time: 9, ratio: 0.7, filmRadius: 0.1, filmTime: 1 },
  volumeClosure: 0,
  alcoholClosure: 0,
  childDrops: { count: 712_000, volume: 7e-9, medianRadius: 2e-6 },
  thinnest: { thickness: 4.04e-7, radius: 0.022, time: 3.1 },
  firstBreakUp: 1,
  steps: 1,
  rejected: 0,
  factorisations: 1,
  wall_ms: 1,
}

function life(change: Partial<Summary> = {}, strength = 0.5, threshold = 0.48, left = 1e-10): Life {
  const preset = defaultPreset()
  return {
    preset: {
      ...preset,
      drop: { ...preset.drop, alcoholMassFraction: strength },
      ring: { breakUp: true },
    },
    status: 'done',
    summary: { ...summary, ...change },
    series: {
      t: Float64Array.of(0, 2.1),
      R: Float64Array.of(0.0025, 0.0123),
      U: Float64Array.of(0, 0.002),
      volume: Float64Array.of(1e-8, left),
      ringHeight: Float64Array.of(0, 0),
      beads: Float64Array.of(0, 0),
      beadAmplitude: Float64Array.of(0, 0),
      beadRadius: Float64Array.of(0, 0),
      ringBase: Float64Array.of(0, 0),
    },
    facts: { criticalMassFraction: threshold, criticalPhi: 0.5, S0: strength - 0.48 },
  } as unknown as Life
}

const fingersWith = (change: Partial<Fingers>): Fingers => ({
  verdict: 'beads',
  appear_s: { low: 0.8, value: 0.9, high: 1.1 },
  count: 180,
  wavelength_mm: 0.62,
  growth_perS: 9,
  gainAtLargest: 20,
  countAtLargest: 120,
  dropRadius_um: 60,
  table: { t_s: [3.6], count: [120], wavelength_mm: [1.3], growth_perS: [2], gain: [20] },
  ...change,
})

describe('the sentence', () => {
  it('tells how far, how thin, how many and how long', () => {
    expect(sentenceOf(life()).text).toBe(
      'This drop spreads to a radius of 24.6 mm in 3.6 s and its film thins to 0.40 µm. It sheds about 0.7 million child drops and is gone after 6.2 s.',
    )
  })
  it('does not call gone what is still there', () => {
    expect(sentenceOf(life({}, 0.5, 0.48, 3e-9)).text).toMatch(
      /child drops and still holds 3.0 µL after 6.2 s\.$/,
    )
    expect(sentenceOf(life({ collapseTime: 5 }, 0.5, 0.48, 3e-9)).text).toMatch(
      /and has drawn back to a lens of 3.0 µL by 5.0 s\.$/,
    )
  })
  it('claims nothing of a drop that is still spread when the calculation ends', () => {
    expect(sentenceOf(life({ outcome: 'spreads', lifeEnd: 2.1 })).text).toBe(
      'This drop has spread to a radius of 24.6 mm by 2.1 s, where the calculation ends, and is still growing.',
    )
  })
  it('carries the error where there is one', () => {
    expect(sentenceOf(life({ maxRadiusError: 1.1e-3 })).text).toContain(
      'spreads to a radius of 24.6 ± 1.1 mm',
    )
  })
  const reach = (low: number, central: number, high: number) => ({ low, central, high, most: undefined })
  it('carries what neighbouring lives and the mesh make uncertain, together', () => {
    const band = { reach: { maxRadius: reach(0.0242, 0.0246, 0.025) } }
    const beside = { ...noNeighbours, band } as unknown as Neighbours
    expect(sentenceOf(life({ maxRadiusError: 3e-4 }), false, beside)).toMatchObject({
      text: expect.stringMatching(/^This drop spreads to a radius of 24\.6 ± 0\.5 mm in/),
      uncertain: '24.6 ± 0.5 mm',
    })
    expect(sentenceOf(life()).uncertain).toBe('')
  })
  it('says what would make a weak drop spread, and what to add', () => {
    const nearest = {
      kind: 'stronger',
      suggested: { massFraction: 0.52, percent: 60, maxRadius: 0.01523 },
      amendment: { add: 'stock', add_mL: 12.34 },
    }
    const beside = { ...noNeighbours, nearest, threshold: reach(0.46, 0.48, 0.5) } as unknown as Neighbours
    expect(sentenceOf(life({ outcome: 'lens' }, 0.3), false, beside).text).toBe(
      'Too weak: below 48 ± 2 % by mass this mixture stays a lens on this oil. At 52 % it would spread to 15 mm: add 12 mL of the stock (96 %vol) to your 50 mL.',
    )
  })
  it('tells a drop that draws back from one that bursts', () => {
    expect(sentenceOf(life({ outcome: 'recedes', collapseTime: 8.24 })).text).toBe(
      'This drop spreads to a radius of 24.6 mm in 3.6 s and its film thins to 0.40 µm. It has drawn back to a small lens by 8.2 s.',
    )
  })
  it('names the threshold of a drop that is too weak', () => {
    expect(sentenceOf(life({ outcome: 'lens' }, 0.3)).text).toBe(
      'Too weak: below 48 % by mass this mixture stays a lens on this oil.',
    )
  })
  it('says so when no strength wets the oil', () => {
    expect(sentenceOf(life({ outcome: 'lens' }, 0.3, Number.NaN)).text).toMatch(
      /^No strength of this alcohol spreads on this oil/,
    )
  })
  it('names wall, drying and failure', () => {
    expect(sentenceOf(life({ outcome: 'reaches-wall', lifeEnd: 2.4 })).text).toBe(
      'This drop reaches the wall of the dish (70 mm) after 2.4 s: take a wider dish or a smaller drop.',
    )
    expect(
      sentenceOf(
        life({ outcome: 'dries', thinnest: { thickness: Number.NaN, radius: Number.NaN, time: Number.NaN } }),
      ).text,
    ).toBe('This drop spreads to a radius of 24.6 mm in 3.6 s. It dries there by 6.2 s without drawing back.')
    expect(sentenceOf(life({ outcome: 'failed', cause: 'the step became too small.' })).text).toBe(
      'The calculation stopped after 6.2 s: the step became too small.',
    )
  })
  it('speaks of what is known while the life grows', () => {
    const growing = { ...life(), status: 'growing' as const }
    expect(sentenceOf(growing).text).toBe('Computing: 12.3 mm after 2.1 s so far.')
  })
  it('invites on the first visit only, toward the other side of the threshold', () => {
    expect(sentenceOf(life()).invitation).toBe('')
    expect(sentenceOf(life(), true).invitation).toBe('Drag the strength below 48 % and watch it stay a lens.')
    expect(sentenceOf(life({ outcome: 'lens' }, 0.3), true).invitation).toMatch(/above 48 %/)
  })
})

describe('the beads in the sentence', () => {
  const said = (change: Partial<Fingers>, of = life()) =>
    sentenceOf(of, false, { ...noNeighbours, fingers: fingersWith(change) }).text
  const recedes = life({ outcome: 'recedes', collapseTime: 8.24 })
  it('tells when, how many and how far apart, then what comes of it', () => {
    expect(said({})).toMatch(
      /µm\. Its rim beads from 0\.90 s on: about 180 beads, later about 120, 1\.3 mm apart; it sheds about 0\.7 million child drops and is gone after 6\.2 s\.$/,
    )
    expect(said({ count: 123 })).toContain('on: about 120 beads, 1.3 mm apart; it sheds')
  })
  it('does not have a rim bead that is kept whole', () => {
    const whole = { ...recedes, preset: { ...recedes.preset, ring: { breakUp: false } } }
    expect(said({}, whole)).toMatch(
      /Its rim would bead from .* \(break-up is off\); it has drawn back to a small lens by 8\.2 s\.$/,
    )
  })
  it('claims no more than the calculation: none, weak ones, or not certain', () => {
    expect(said({ verdict: 'none' }, recedes)).toContain(
      'No beads are expected on its rim; it has drawn back',
    )
    const never = { low: Number.NaN, value: Number.NaN, high: Number.NaN }
    expect(said({ appear_s: never }, recedes)).toContain(
      'Its rim only begins to bead: about 120 beads at the largest radius, 1.3 mm apart; it has drawn back',
    )
    expect(said({ verdict: 'depends' })).toContain(
      'Its rim may or may not bead, depending on the drop/oil tension; as given, it sheds',
    )
  })
  it('does not deny the beads of what is shed', () => {
    expect(said({ verdict: 'none' }, life({ firstBreakUp: 5 }))).toContain(
      'Its rim does not bead before the drop is largest; it sheds',
    )
    expect(said({ verdict: 'none' })).toContain(
      'The full calculation expects no beads on its rim; by the quick estimate it sheds',
    )
  })
  it('does not tell of beads at the largest radius that have faded by then', () => {
    const faded = { gainAtLargest: -2, appear_s: { low: 1.33, value: 1.334, high: 1.3 } }
    expect(said(faded)).toContain(
      'beads from 1.3 s on: about 180 beads, 0.62 mm apart, which fade again; it sheds',
    )
    const reason = beadReason(beadFacts(life(), fingersWith(faded))).join(' ')
    expect(reason).toMatch(/from 1\.3 s on, the same for ten times more or less noise/)
    expect(reason).toMatch(/0\.62 mm apart; they fade before the largest radius\./)
  })
  it('does not count beyond the most waves that are followed', () => {
    expect(said({ count: 1000 })).toContain('on: at least 1 000 beads, later about 120')
  })
  it('says nothing of the beads of a lens, of a failed life, or before anything is known', () => {
    for (const outcome of ['lens', 'failed'] as const)
      expect(said({}, life({ outcome }, 0.3))).not.toMatch(/bead/)
    expect(sentenceOf(recedes).text).not.toMatch(/bead/)
  })
  it('keeps the noise and the oil tension behind the ±', () => {
    const reason = (change: Partial<Fingers>) => beadReason(beadFacts(life(), fingersWith(change))).join(' ')
    expect(reason({})).toMatch(/from 0\.90 s on, between 0\.80 and 1\.1 s for ten times more or less noise/)
    expect(reason({})).toMatch(
      /about 180 beads, 0\.62 mm apart;.*Each bead would make a drop of 60 µm radius/,
    )
    expect(reason({ verdict: 'depends' })).toMatch(/drop\/oil tension.*± 2 mN\/m/)
    const late = { low: 1.2, value: Number.NaN, high: Number.NaN }
    expect(reason({ appear_s: late })).toMatch(
      /do not grow as high as the rim before .*; from 1\.2 s on with ten times more noise/,
    )
  })
})

// The whole way: the preset that a first visit sees, the command's own numbers, and what stands in the sentence.
it('says of the first drop what `simulate --fingers` prints', async () => {
  const file = join(import.meta.dirname, '../../presets/harbour-lane-bursts.json')
  const { to, told } = captured()
  expect(await main([file, '--fingers', '--json'], { ...real, ...to })).toBe(0)
  const { fingers } = JSON.parse(told.out)
  const parsed = parsePreset(readFileSync(file, 'utf8'))
  if (!parsed.ok) throw new Error('no preset')
  const run = runLifeSync(parsed.preset)
  if (!run.ok) throw new Error('no life')
  const known = await fingersOf(run.life)
  const { text } = sentenceOf(run.life, false, { ...noNeighbours, fingers: known })
  const rim = /beads from ([\d.]+) s on: about (\d+) beads, later about (\d+), ([\d.]+) mm apart/.exec(text)
  expect(rim, text).not.toBeNull()
  const [from, first, later, apart] = rim!.slice(1).map(Number)
  expectClose(from!, fingers.appear_s.value, { rtol: 0.05 })
  // Two digits: 155 is told as 160.
  expectClose(first!, fingers.count, { rtol: 0.05 })
  expectClose(later!, fingers.countAtLargest, { rtol: 0.05 })
  expectClose(apart!, fingers.table.wavelength_mm.at(-1), { rtol: 0.05 })
  // As many as fit round the drop: a circle, nothing else.
  expectClose((later! * apart!) / (2 * Math.PI), 1e3 * run.life.summary.maxRadius, { rtol: 0.1 })
  expect(run.life.summary.outcome).toBe('sheds')
})

describe('numbers in words', () => {
  it('chooses sensible units and digits', () => {
    expect([length(0.02461), length(4.1e-7, 2), length(3.5e-8, 2), length(1.2345e-3)]).toEqual([
      '24.6 mm',
      '0.41 µm',
      '35 nm',
      '1.23 mm',
    ])
    expect([duration(0.345), duration(6.24), duration(47.6), duration(125)]).toEqual([
      '0.34 s',
      '6.2 s',
      '48 s',
      '2 min 5 s',
    ])
    expect([count(12), count(348), count(5234), count(712_345), count(3.4e6), count(2.1e9)]).toEqual([
      '12',
      'about 350',
      'about 5 200',
      'about 0.7 million',
      'about 3.4 million',
      'about 2.1 thousand million',
    ])
    expect([plain(-0.00123, 2), plain(0), plain(1234.5, 3)]).toEqual(['−0.0012', '0', '1230'])
  })
  it('rounds value and error to the same place', () => {
    expect(withError(24.6, 1.14, 'mm')).toBe('24.6 ± 1.1 mm')
    expect(withError(24.63, 0.42, 'mm')).toBe('24.6 ± 0.4 mm')
    expect(withError(24.63, Number.NaN, 'mm')).toBe('24.6 mm')
  })
})
