/** Certified values: NIST Statistical Reference Datasets, non-linear regression (tests/data/nist-strd). */
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { fitAsync, fitSync } from '../../src/numerics/leastSquares.ts'

type Model = (b: ArrayLike<number>, x: number) => number
const { exp } = Math

/** The models as the files state them. */
const models: Record<string, Model> = {
  Misra1a: (b, x) => b[0]! * (1 - exp(-b[1]! * x)),
  Chwirut2: (b, x) => exp(-b[0]! * x) / (b[1]! + b[2]! * x),
  Thurber: (b, x) =>
    (b[0]! + b[1]! * x + b[2]! * x ** 2 + b[3]! * x ** 3) / (1 + b[4]! * x + b[5]! * x ** 2 + b[6]! * x ** 3),
  MGH09: (b, x) => (b[0]! * (x ** 2 + x * b[1]!)) / (x ** 2 + x * b[2]! + b[3]!),
  BoxBOD: (b, x) => b[0]! * (1 - exp(-b[1]! * x)),
  MGH10: (b, x) => b[0]! * exp(b[1]! / (x + b[2]!)),
  Eckerle4: (b, x) => (b[0]! / b[1]!) * exp(-0.5 * ((x - b[2]!) / b[1]!) ** 2),
  Rat43: (b, x) => b[0]! / (1 + exp(b[1]! - b[2]! * x)) ** (1 / b[3]!),
}

interface Certified {
  starts: [number[], number[]]
  values: number[]
  errors: number[]
  sumOfSquares: number
  deviation: number
  freedom: number
  x: number[]
  y: number[]
}

function readSet(name: string): Certified {
  const path = fileURLToPath(new URL(`../data/nist-strd/${name}.dat`, import.meta.url))
  const text = readFileSync(path, 'utf8')
  const rows = [...text.matchAll(/^\s*b\d+\s*=\s*(\S+)\s+(\S+)\s+(\S+)\s+(\S+)\s*$/gm)]
  const column = (k: number) => rows.map((row) => Number(row[k]))
  const number = (label: string) => Number(new RegExp(`${label}:\\s+(\\S+)`).exec(text)![1])
  const data = text
    .split('\n')
    .slice(60)
    .map((line) => line.trim().split(/\s+/).map(Number))
    .filter((row) => row.length === 2)
  expect(data).toHaveLength(number('Number of Observations'))
  return {
    starts: [column(1), column(2)],
    values: column(3),
    errors: column(4),
    sumOfSquares: number('Residual Sum of Squares'),
    deviation: number('Residual Standard Deviation'),
    freedom: number('Degrees of Freedom'),
    y: data.map((row) => row[0]!),
    x: data.map((row) => row[1]!),
  }
}

/** Equal digits: −log10 of the relative difference, as NIST counts them. */
const digits = (got: number, certified: number) => -Math.log10(Math.abs(got / certified - 1) + 1e-16)

describe.each(Object.keys(models))('NIST %s', (name) => {
  const set = readSet(name)
  const residuals = (p: Float64Array) => Float64Array.from(set.x, (x, i) => models[name]!(p, x) - set.y[i]!)

  it.each([1, 2] as const)('from start %i', (which) => {
    const result = fitSync({ residuals }, { start: set.starts[which - 1]! })
    expect(result.converged, result.reason).toBe(true)
    set.values.forEach((value, j) => {
      expect(digits(result.parameters[j]!, value), `b${j + 1}`).toBeGreaterThan(6)
      expect(digits(result.standardErrors[j]!, set.errors[j]!), `error of b${j + 1}`).toBeGreaterThan(4)
    })
    expect(digits(result.sumOfSquares, set.sumOfSquares)).toBeGreaterThan(6)
    expect(digits(result.residualDeviation, set.deviation)).toBeGreaterThan(6)
    // Rat43.dat prints 9, but its residual standard deviation (and its 15 data and 4 parameters) say 11.
    expect(result.degreesOfFreedom).toBe(name === 'Rat43' ? 11 : set.freedom)
  })
})

/** Sets whose b1 is a factor of y: with y in other units everything else must stay as it was. */
describe.each(['Misra1a', 'MGH09', 'BoxBOD', 'MGH10', 'Eckerle4', 'Rat43'])(
  'NIST %s with y and b1 in 1e-9',
  (name) => {
    it('through a model that answers later', async () => {
      const set = readSet(name)
      const tiny = 1e-9
      const residuals = async (p: Float64Array) => {
        const b = p.map((v, j) => (j ? v : v / tiny))
        return Float64Array.from(set.x, (x, i) => (models[name]!(b, x) - set.y[i]!) * tiny)
      }
      const start = set.starts[1].map((v, j) => (j ? v : v * tiny))
      const result = await fitAsync({ residuals }, { start })
      expect(result.converged, result.reason).toBe(true)
      set.values.forEach((value, j) => {
        const unit = j ? 1 : tiny
        expect(digits(result.parameters[j]!, value * unit)).toBeGreaterThan(6)
        expect(digits(result.standardErrors[j]!, set.errors[j]! * unit)).toBeGreaterThan(4)
      })
    })
  },
)

describe('analytic derivatives', () => {
  it('give the certified values of Misra1a with fewer evaluations', () => {
    const set = readSet('Misra1a')
    const residuals = (p: Float64Array) =>
      Float64Array.from(set.x, (x, i) => models.Misra1a!(p, x) - set.y[i]!)
    const jacobian = (p: Float64Array) =>
      Float64Array.from(set.x.flatMap((x) => [1 - exp(-p[1]! * x), p[0]! * x * exp(-p[1]! * x)]))
    const start = set.starts[0]
    const exact = fitSync({ residuals, jacobian }, { start })
    const differenced = fitSync({ residuals }, { start })
    set.values.forEach((value, j) => {
      expect(digits(exact.parameters[j]!, value)).toBeGreaterThan(6)
      expect(digits(exact.standardErrors[j]!, set.errors[j]!)).toBeGreaterThan(6)
    })
    expect(exact.evaluations).toBeLessThan(differenced.evaluations / 2)
  })

  it('one-sided differences reach 6 digits too', () => {
    const set = readSet('Rat43')
    const residuals = (p: Float64Array) => Float64Array.from(set.x, (x, i) => models.Rat43!(p, x) - set.y[i]!)
    const result = fitSync({ residuals }, { start: set.starts[0], differences: 'forward' })
    set.values.forEach((value, j) => {
      expect(digits(result.parameters[j]!, value)).toBeGreaterThan(6)
      expect(digits(result.standardErrors[j]!, set.errors[j]!)).toBeGreaterThan(4)
    })
  })
})
