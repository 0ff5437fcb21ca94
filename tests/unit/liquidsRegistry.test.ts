import { describe, expect, test } from 'vitest'
import { KEYS } from '../../src/life/keys.ts'
import { massFractionOfPercent } from '../../src/liquids/composition.ts'
import { ATMOSPHERE, GAS_CONSTANT } from '../../src/liquids/constants.ts'
import { mixtureOf, mixtures, oilOf, oils } from '../../src/liquids/registry.ts'
import { flashPoint, hazards } from '../../src/liquids/safety.ts'
import { smoothCurve } from '../../src/liquids/smoothCurve.ts'
import { saturatedVapour } from '../../src/liquids/vapour.ts'
import { expectClose, isClose } from '../matchers.ts'

/** The choices of a preset key, but for "reference" (closed forms) and "own" (the user's), which are no liquids of the library. */
const choices = (path: string): string[] => {
  const key = KEYS.find((k) => k.path === path)
  if (key?.kind !== 'choice') throw new Error(`no choice ${path}`)
  return key.options.map((o) => o.value).filter((v) => v !== 'reference' && v !== 'own')
}

describe('registry', () => {
  test('holds exactly the liquids that a preset can name', () => {
    expect(Object.keys(mixtures).sort()).toEqual(choices('drop.alcohol').sort())
    expect(Object.keys(oils).sort()).toEqual(choices('bath.liquid').sort())
    for (const id of choices('drop.alcohol')) expect(mixtureOf(id).id).toBe(id)
    for (const id of choices('bath.liquid')) expect(oilOf(id).id).toBe(id)
  })

  test('an unknown name is refused with the known ones', () => {
    expect(() => mixtureOf('butanol')).toThrow(/butanol.*ethanol/)
    expect(() => oilOf('toString')).toThrow(/toString.*rapeseed-oil/)
  })

  test('every liquid says where its data come from', () => {
    for (const liquid of [...Object.values(mixtures), ...Object.values(oils)]) {
      expect(liquid.sources.length, liquid.id).toBeGreaterThanOrEqual(4)
      for (const note of liquid.sources) {
        for (const text of [note.quantity, note.source, note.range]) expect(text.trim()).not.toBe('')
      }
    }
  })
})

describe('hazards', () => {
  // Flash points of ethanol–water as they are handed on, attributed to Martínez, Rus & Compaña (1991): from memory.
  // They do not stand alone: pure ethanol below, and the vapour over the mixtures at these temperatures.
  test.each([
    [10, 49],
    [20, 36],
    [40, 26],
    [60, 22],
    [80, 20],
    [96, 17],
  ])('ethanol at %d %% by volume: flash point %d °C', (percent, t) => {
    expect(flashPoint('ethanol', percent)).toBe(t)
  })

  test('between the values on a line, outside them no answer', () => {
    expect(flashPoint('ethanol', 30)).toBe(31)
    expect(flashPoint('ethanol', 5)).toBeNull()
    // Pure ethanol 55 °F: NIOSH Pocket Guide.
    expect(flashPoint('ethanol', 100)).toBe(12.8)
    expect(flashPoint('ethanol', 99)).toBeCloseTo(12.8 + (17 - 12.8) / 4, 10)
    expect(flashPoint('1-propanol', 50)).toBeNull()
    expect(flashPoint('2-propanol', 50)).toBeNull()
  })

  // At the flash point the vapour over the liquid is about at its lower explosive limit (Zabetakis, US Bureau of Mines
  // Bulletin 627, 1965): 3.3 % for ethanol (NIOSH Pocket Guide). Closed cups read somewhat above it.
  test.each(hazards.ethanol!.flashPoint.filter(([percent]) => percent >= 20))(
    'ethanol at %d %% by volume: at its flash point, %d °C, the vapour is near the explosive limit',
    (percent, celsius) => {
      const T = celsius + 273.15
      const vapour = saturatedVapour(
        mixtureOf('ethanol'),
        massFractionOfPercent(mixtureOf('ethanol'), percent),
        T,
      )
      const share = (100 * vapour.alcohol * GAS_CONSTANT * T) / ATMOSPHERE
      expect(share).toBeGreaterThan(0.9 * 3.3)
      expect(share).toBeLessThan(1.35 * 3.3)
    },
  )

  // NIOSH Pocket Guide to Chemical Hazards.
  test('2-propanol and 1-propanol as in the NIOSH guide', () => {
    expect(hazards['2-propanol']).toMatchObject({
      limitPpm: 400,
      shortTermPpm: 500,
      dangerPpm: 2000,
      explosive: [2, 12.7],
    })
    expect(hazards['1-propanol']).toMatchObject({ limitPpm: 200, shortTermPpm: 250, dangerPpm: 800 })
  })

  test('every alcohol has its cautions, methanol its own', () => {
    for (const id of Object.keys(mixtures)) {
      expect(hazards[id]!.cautions.join(' ')).toMatch(/Local rules and the person responsible/)
    }
    expect(hazards.methanol!.cautions[0]).toMatch(/toxic/)
  })
})

describe('smooth curve', () => {
  // A natural cubic spline of a straight line is the line, also outside: textbook.
  test('keeps a straight line, with and without smoothing', () => {
    for (const roughness of [0, 1]) {
      const line = smoothCurve(
        [0, 1, 3, 4].map((x) => [x, 2 - x / 2] as const),
        roughness,
      )
      for (const x of [-1, 0, 0.4, 2, 3.9, 5]) expectClose(line(x), 2 - x / 2, { atol: 1e-12 })
    }
  })

  // Worked by hand: points 0, 1, 0 at 0, 1, 2 give y'' = −3 at the middle, so y(1/2) = 11/16.
  test('interpolates three points as worked by hand', () => {
    const curve = smoothCurve([
      [0, 0],
      [1, 1],
      [2, 0],
    ])
    expectClose(curve(1), 1, { atol: 1e-14 })
    expectClose(curve(0.5), 11 / 16, { atol: 1e-14 })
    expectClose(curve(1.5), 11 / 16, { atol: 1e-14 })
  })

  // SciPy 1.x make_smoothing_spline has the same objective Σ w (y−f)² + λ∫f''²; here its limit, the weighted line.
  test('tends to the least-squares line as the roughness weight grows', () => {
    const curve = smoothCurve(
      [
        [0, 0],
        [1, 1],
        [2, 1],
        [3, 3],
      ],
      1e9,
    )
    // Normal equations by hand: slope 0.9, intercept −0.1.
    for (const x of [0, 1.5, 3]) expectClose(curve(x), 0.9 * x - 0.1, { atol: 1e-6 })
  })

  test('refuses too few points and abscissas that do not rise', () => {
    expect(() =>
      smoothCurve([
        [0, 1],
        [1, 2],
      ]),
    ).toThrow(/at least 3/)
    expect(() =>
      smoothCurve([
        [0, 1],
        [0, 2],
        [1, 2],
      ]),
    ).toThrow(/rise/)
  })
})

test('the matcher itself: relative and absolute parts add, NaN is never close', () => {
  expect(isClose(1.1, 1, { atol: 0.05, rtol: 0.06 })).toBe(true)
  expect(isClose(1.1, 1, { atol: 0.05 })).toBe(false)
  expect(isClose(Number.NaN, 1, { rtol: 1e9 })).toBe(false)
  expect(() => expectClose(2, 1, { rtol: 0.1 }, 'case')).toThrow(/case: 2 instead of 1/)
})
