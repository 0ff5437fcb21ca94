import { describe, expect, it } from 'vitest'
import {
  colourTable,
  cssColour,
  oklabToSrgb,
  type Quantity,
  srgbToOklab,
  tableSize,
} from '../../src/page/colour.ts'
import { colourScale, legendText, placeOf, tickText } from '../../src/page/colourScale.ts'
import { syntheticLife } from '../fixtures/syntheticLife.ts'

const quantities: Quantity[] = ['thickness', 'alcohol', 'tension', 'speed']
const labOf = (table: Uint8Array, k: number) =>
  srgbToOklab([table[3 * k]! / 255, table[3 * k + 1]! / 255, table[3 * k + 2]! / 255])

describe('OKLab', () => {
  // Source: table of XYZ → OKLab pairs cannot be used for sRGB directly; these sRGB values are those of
  // CSS Color Module Level 4 (W3C), sample conversions of pure red and white.
  it('agrees with the published conversions', () => {
    const red = srgbToOklab([1, 0, 0])
    expect(red[0]).toBeCloseTo(0.62796, 4)
    expect(red[1]).toBeCloseTo(0.22486, 4)
    expect(red[2]).toBeCloseTo(0.12585, 4)
    const white = srgbToOklab([1, 1, 1])
    expect(white[0]).toBeCloseTo(1, 5)
    expect(Math.hypot(white[1], white[2])).toBeLessThan(1e-4)
  })
  it('goes there and back', () => {
    for (const rgb of [
      [0.2, 0.5, 0.9],
      [0.9, 0.1, 0.4],
      [0.05, 0.05, 0.06],
    ] as const) {
      const back = oklabToSrgb(srgbToOklab(rgb))
      for (let c = 0; c < 3; c++) expect(back[c]!).toBeCloseTo(rgb[c]!, 5)
    }
  })
})

describe('colour tables', () => {
  for (const onDark of [false, true]) {
    for (const quantity of quantities) {
      const table = colourTable(quantity, onDark)
      const name = `${quantity} on ${onDark ? 'dark' : 'light'}`

      it(`${name}: steps look equally large`, () => {
        // Over 16 colours at a time, where the rounding to bytes no longer matters.
        const steps: number[] = []
        for (let k = 0; k + 16 < tableSize; k += 16) {
          const [p, q] = [labOf(table, k), labOf(table, k + 16)]
          steps.push(Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]))
        }
        const mean = steps.reduce((a, b) => a + b) / steps.length
        // The middle of a diverging table bends: its chord is shorter than its path.
        const tolerance = quantity === 'speed' ? 0.35 : 0.15
        for (const step of steps) expect(Math.abs(step / mean - 1)).toBeLessThan(tolerance)
      })

      it(`${name}: lightness alone tells the order`, () => {
        const half = quantity === 'speed' ? tableSize / 2 : tableSize
        const L = Array.from({ length: tableSize }, (_, k) => labOf(table, k)[0])
        const sign = Math.sign(L[half - 1]! - L[0]!)
        for (let k = 8; k < half; k++) expect(sign * (L[k]! - L[k - 8]!)).toBeGreaterThan(0)
        for (let k = half + 8; k < tableSize; k++) expect(-sign * (L[k]! - L[k - 8]!)).toBeGreaterThan(0)
        expect(Math.abs(L[half - 1]! - L[0]!)).toBeGreaterThan(0.4)
      })
    }
  }
  it('tells the two signs apart without red against green: by blue–yellow', () => {
    for (const onDark of [false, true]) {
      const table = colourTable('speed', onDark)
      expect(labOf(table, 0)[2]).toBeLessThan(-0.08)
      expect(labOf(table, tableSize - 1)[2]).toBeGreaterThan(0.08)
    }
  })
  it('gives CSS', () => {
    expect(
      cssColour(
        Uint8Array.from({ length: 768 }, () => 7),
        0.5,
      ),
    ).toBe('rgb(7 7 7)')
  })
})

describe('scales', () => {
  const { frames } = syntheticLife({ moments: 30 })

  it('thickness: each power of ten takes the same room', () => {
    const scale = colourScale('thickness', frames)
    expect(placeOf(scale, 1e-7)).toBeCloseTo(0, 12)
    expect(placeOf(scale, 1e-6)).toBeCloseTo(0.25, 12)
    expect(placeOf(scale, 1e-3)).toBeCloseTo(1, 12)
    expect(placeOf(scale, 0)).toBe(0)
    expect(placeOf(scale, 1)).toBe(1)
  })
  it('speed: symmetric, rest in the middle', () => {
    const scale = colourScale('speed', frames)
    expect(scale.min).toBe(-scale.max)
    expect(placeOf(scale, 0)).toBe(0.5)
  })
  it('covers the life and ends on ticks', () => {
    for (const quantity of ['alcohol', 'tension'] as const) {
      const scale = colourScale(quantity, frames)
      const values = quantity === 'alcohol' ? frames.phi : frames.sigma
      expect(scale.min).toBeLessThanOrEqual(scale.perUnit * Math.min(...values) + 1e-9)
      expect(scale.max).toBeGreaterThanOrEqual(scale.perUnit * Math.max(...values) - 1e-9)
      expect(scale.ticks[0]).toBe(scale.min)
      expect(scale.ticks.at(-1)).toBe(scale.max)
      expect(scale.ticks.length).toBeLessThan(9)
    }
  })
  it('has words for ticks and legend', () => {
    expect(tickText(-0.5)).toBe('−0.5')
    expect(legendText(colourScale('thickness', null))).toBe(
      'Colours show: Thickness, from 0.1 to 1000 µm, logarithmic.',
    )
  })
})
