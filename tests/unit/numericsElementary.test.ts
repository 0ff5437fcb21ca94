/**
 * Elementary functions against those of the engine that runs the tests (ECMA-262 leaves their last digits open, hence
 * some units of the last place), and the rule that everything a life rests on uses them.
 */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { cbrt, exp, log, log1p, pow } from '../../src/numerics/elementary.ts'

/** Numbers spread evenly from a to b; no chance, so that a failure can be repeated. */
const spread = (a: number, b: number, count = 20_001): number[] =>
  Array.from({ length: count }, (_, i) => a + ((b - a) * i) / (count - 1))

function worst(own: (x: number) => number, given: (x: number) => number, at: readonly number[]): number {
  return Math.max(...at.map((x) => Math.abs(own(x) / given(x) - 1) / Number.EPSILON))
}

describe('within a few units of the last place', () => {
  it('exp', () => {
    expect(worst(exp, Math.exp, spread(-1, 1))).toBeLessThanOrEqual(2)
    expect(worst(exp, Math.exp, spread(-700, 709.7))).toBeLessThanOrEqual(2)
  })
  it('log', () => {
    expect(worst(log, Math.log, spread(1e-9, 0.99))).toBeLessThanOrEqual(2)
    expect(worst(log, Math.log, spread(1.0001, 9e4))).toBeLessThanOrEqual(2)
    expect(worst(log, Math.log, [1e-300, 1e300, 5e-324, 1e-310, Number.MAX_VALUE])).toBeLessThanOrEqual(2)
  })
  it('log1p', () => {
    expect(worst(log1p, Math.log1p, spread(1e-15, 1e-3))).toBeLessThanOrEqual(4)
    expect(worst(log1p, Math.log1p, spread(1e-3, 2000))).toBeLessThanOrEqual(4)
    expect(worst(log1p, Math.log1p, spread(-0.9, -1e-9))).toBeLessThanOrEqual(4)
  })
  it('cbrt', () => {
    expect(worst(cbrt, Math.cbrt, spread(1e-6, 3))).toBeLessThanOrEqual(2)
    expect(worst(cbrt, Math.cbrt, spread(1e-20, 1e20))).toBeLessThanOrEqual(2)
  })
  it('pow', () => {
    for (const y of [0.25, 2 / 3, -1.9, -19.6, -40, 1.256])
      expect(
        worst(
          (x) => pow(x, y),
          (x) => x ** y,
          spread(0.3, 4),
        ),
      ).toBeLessThanOrEqual(4 + 2 * Math.abs(y))
  })
})

describe('at the ends', () => {
  it('exp', () => {
    expect([0, Infinity, -Infinity, 710, -746].map(exp)).toEqual([1, Infinity, 0, Infinity, 0])
    expect(exp(Number.NaN)).toBeNaN()
    // e^−745.1 is 0.517 of the smallest number, 2^−1074 = e^−744.440.
    expect(exp(-745.1)).toBe(Number.MIN_VALUE)
    expect(exp(709.78)).toBeLessThan(Infinity)
  })
  it('log', () => {
    expect([1, 0, Infinity].map(log)).toEqual([0, -Infinity, Infinity])
    expect(log(-1)).toBeNaN()
    expect(log(Number.NaN)).toBeNaN()
  })
  it('the others', () => {
    expect([log1p(0), log1p(-1), cbrt(0)]).toEqual([0, -Infinity, 0])
    expect([pow(0, 2), pow(0, 0), pow(0, -1), pow(5, 0)]).toEqual([0, 1, Infinity, 1])
    expect(log1p(Infinity)).toBe(Infinity)
  })
})

/** What engines may differ in. */
const FORBIDDEN =
  /Math\.(exp|expm1|log|log1p|log10|log2|pow|cbrt|hypot|sinh|cosh|tanh|sin|cos|tan|atan2?|asin|acos)\b|\*\*/
/** Not on the way from a preset to its life. */
const APART = ['numerics/elementary.ts', 'liquids/own/copy.ts']

describe('everything that a life rests on', () => {
  const source = join(import.meta.dirname, '../../src')
  const files = ['engine', 'liquids', 'model', 'life', 'rim'].flatMap((folder) =>
    (readdirSync(join(source, folder), { recursive: true }) as string[]).map((name) => `${folder}/${name}`),
  )
  const own = ['curveSet', 'rosenbrock', 'monotone', 'besselK', 'luSolve'].map(
    (name) => `numerics/${name}.ts`,
  )
  const all = [...files, ...own].filter((name) => name.endsWith('.ts') && !APART.includes(name))
  it.each(all)('%s gives the same digits everywhere', (name) => {
    const code = readFileSync(join(source, name), 'utf8').replace(/\/\*[\s\S]*?\*\/|\/\/.*/g, '')
    expect(code.split('\n').filter((line) => FORBIDDEN.test(line))).toEqual([])
  })
})
