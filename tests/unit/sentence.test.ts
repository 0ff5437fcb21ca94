/** The sentence is our own wording; these checks hold it to what a life says. Common practice, no source. */
import { describe, expect, it } from 'vitest'
import { defaultPreset } from '../../src/life/preset.ts'
import type { Life, Summary } from '../../src/life/types.ts'
import { count, duration, length, plain, withError } from '../../src/page/format.ts'
import { sentenceOf } from '../../src/page/sentence/sentence.ts'
import { type Neighbours, noNeighbours } from '../../src/page/store.ts'

const summary: Summary = {
  outcome: 'sheds',
  cut: false,
  otherOutcome: '',
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
    preset: { ...preset, drop: { ...preset.drop, alcoholMassFraction: strength } },
    status: 'done',
    summary: { ...summary, ...change },
    series: {
      t: Float64Array.of(0, 2.1),
      R: Float64Array.of(0.0025, 0.0123),
      U: Float64Array.of(0, 0.002),
      volume: Float64Array.of(1e-8, left),
    },
    facts: { criticalMassFraction: threshold, criticalPhi: 0.5, S0: strength - 0.48 },
  } as unknown as Life
}

describe('the sentence', () => {
  it('tells how far, how thin, how many and how long', () => {
    expect(sentenceOf(life()).text).toBe(
      'Spreads to 24.6 mm in 3.6 s, thins to 0.40 µm at 22 mm, sheds about 0.7 million child drops and is gone after 6.2 s.',
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
      'Has spread to 24.6 mm by 2.1 s, where the calculation ends, and is still growing.',
    )
  })
  it('carries the error where there is one', () => {
    expect(sentenceOf(life({ maxRadiusError: 1.1e-3 })).text).toContain('Spreads to 24.6 ± 1.1 mm')
  })
  const reach = (low: number, central: number, high: number) => ({ low, central, high, most: undefined })
  it('carries what neighbouring lives and the mesh make uncertain, together', () => {
    const band = { reach: { maxRadius: reach(0.0242, 0.0246, 0.025) } }
    const beside = { ...noNeighbours, band } as unknown as Neighbours
    expect(sentenceOf(life({ maxRadiusError: 3e-4 }), false, beside)).toMatchObject({
      text: expect.stringMatching(/^Spreads to 24\.6 ± 0\.5 mm in/),
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
      'Spreads to 24.6 mm in 3.6 s, thins to 0.40 µm at 22 mm and has drawn back to a small lens by 8.2 s.',
    )
  })
  it('names the threshold of a drop that is too weak', () => {
    expect(sentenceOf(life({ outcome: 'lens' }, 0.3)).text).toBe(
      'Too weak: below 48 % by mass this mixture stays a lens on this oil.',
    )
  })
  it('says so when no strength wets the oil', () => {
    expect(sentenceOf(life({ outcome: 'lens' }, 0.3, Number.NaN)).text).toMatch(/not wetted by any strength/)
  })
  it('names wall, drying and failure', () => {
    expect(sentenceOf(life({ outcome: 'reaches-wall', lifeEnd: 2.4 })).text).toBe(
      'Reaches the wall of the dish (70 mm) after 2.4 s: take a wider dish or a smaller drop.',
    )
    expect(
      sentenceOf(
        life({ outcome: 'dries', thinnest: { thickness: Number.NaN, radius: Number.NaN, time: Number.NaN } }),
      ).text,
    ).toBe('Spreads to 24.6 mm in 3.6 s and dries there by 6.2 s without drawing back.')
    expect(sentenceOf(life({ outcome: 'failed', cause: 'the step became too small.' })).text).toBe(
      'The calculation stopped after 6.2 s: the step became too small.',
    )
  })
  it('speaks of what is known while the life grows', () => {
    const growing = { ...life(), status: 'growing' as const }
    expect(sentenceOf(growing).text).toBe('Being worked out: 12.3 mm after 2.1 s so far.')
  })
  it('invites on the first visit only, toward the other side of the threshold', () => {
    expect(sentenceOf(life()).invitation).toBe('')
    expect(sentenceOf(life(), true).invitation).toBe('Drag the strength below 48 % and see it refuse.')
    expect(sentenceOf(life({ outcome: 'lens' }, 0.3), true).invitation).toMatch(/above 48 %/)
  })
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
