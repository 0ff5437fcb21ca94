/**
 * Which input a scattered result comes from: first-order and total indices from the three kinds of rows of Saltelli's
 * design. Saltelli et al., Variance based sensitivity analysis of model output, Comput. Phys. Commun. 181, 259–270 (2010):
 * first order by its equation (b) of table 2, total by Jansen's (f). Where an input makes much of the variance the
 * first order of Janon et al., ESAIM Probab. Stat. 18, 342–364 (2014), scatters less; the two are mixed by their scatter.
 */
import { randomStream } from './random.ts'
import { Sobol } from './sobol.ts'

/**
 * Rows of one base point: a, b, and a with input k taken from b, for k = 0 … inputs − 1; each of `inputs` numbers in (0, 1).
 * @param base 0, 1, 2 …; the sequence's origin is passed over
 */
export function saltelliRows(sequence: Sobol, base: number): Float64Array[] {
  const inputs = sequence.dimensions / 2
  const point = sequence.point(base + 1)
  const a = point.slice(0, inputs)
  const b = point.slice(inputs)
  const mixed = Array.from({ length: inputs }, (_, k) => {
    const row = a.slice()
    row[k] = b[k]!
    return row
  })
  return [a, b, ...mixed]
}

/** The sequence for a number of inputs. @throws RangeError for more than 80 inputs */
export const saltelliSequence = (inputs: number): Sobol => new Sobol(2 * inputs)

export interface Index {
  /** Part of the variance that this input alone makes; by chance it may come out slightly below 0. */
  first: number
  firstError: number
  /** Part that goes when this input is known, together with all that it does in company with others. */
  total: number
  totalError: number
}

export interface Indices {
  indices: Index[]
  mean: number
  variance: number
  /** Base points used; those with a result that is not finite are left out. */
  used: number
  left: number
}

/** Results of the rows of one base point in the order of `saltelliRows`. */
export type BaseResults = ArrayLike<number>

interface Estimate {
  /** By differences: good for small parts. */
  first: number[]
  /** By correlation: good for large ones. */
  correlated: number[]
  total: number[]
}

/** Correlation of the results that have input k in common, with the moments of both (Janon et al.). */
function correlatedPart(rows: readonly BaseResults[], k: number): number {
  const n = rows.length
  let [sum, product, squares] = [0, 0, 0]
  // Less a first value: the moments lose no digits where the results are nearly alike.
  const origin = rows[0]![1]!
  for (const row of rows) {
    const [y, other] = [row[1]! - origin, row[2 + k]! - origin]
    sum += (y + other) / 2
    product += y * other
    squares += (y * y + other * other) / 2
  }
  const mean = sum / n
  return (product / n - mean * mean) / (squares / n - mean * mean)
}

function estimate(rows: readonly BaseResults[], inputs: number): Estimate {
  const n = rows.length
  let sum = 0
  for (const row of rows) sum += row[0]! + row[1]!
  const mean = sum / (2 * n)
  let squares = 0
  for (const row of rows) squares += (row[0]! - mean) ** 2 + (row[1]! - mean) ** 2
  const variance = squares / (2 * n)
  const first = new Array<number>(inputs).fill(0)
  const total = new Array<number>(inputs).fill(0)
  for (const row of rows) {
    for (let k = 0; k < inputs; k++) {
      const change = row[2 + k]! - row[0]!
      // f_B less the mean: the same expectation, less scatter.
      first[k]! += ((row[1]! - mean) * change) / (n * variance)
      total[k]! += change ** 2 / (2 * n * variance)
    }
  }
  const correlated = first.map((_, k) => correlatedPart(rows, k))
  return { first, correlated, total }
}

/** Share of the second of two estimates of one number that makes the mixture scatter least, 0–1. */
function mixing(one: readonly number[], other: readonly number[]): number {
  const apart = one.map((value, i) => value - other[i]!)
  const gap = deviation(apart) ** 2
  if (!(gap > 0)) return 0
  const [a, b] = [deviation(one) ** 2, deviation(other) ** 2]
  return Math.min(1, Math.max(0, (a + gap - b) / (2 * gap)))
}

const deviation = (values: readonly number[]): number => {
  const mean = values.reduce((a, b) => a + b, 0) / values.length
  return Math.sqrt(values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (values.length - 1))
}

/**
 * @param results one entry per base point
 * @param again resamplings of the base points with replacement, from which the standard errors come (bootstrap)
 * NaN everywhere where nothing varies or fewer than two base points are complete.
 */
export function sensitivityIndices(
  results: readonly BaseResults[],
  inputs: number,
  { again = 200, seed = 1 }: { again?: number; seed?: number } = {},
): Indices {
  const rows = results.filter((row) =>
    Array.from({ length: inputs + 2 }, (_, i) => row[i]!).every(Number.isFinite),
  )
  const n = rows.length
  const ends = rows.flatMap((row) => [row[0]!, row[1]!])
  const mean = ends.reduce((a, b) => a + b, 0) / ends.length
  const variance = ends.reduce((sum, v) => sum + (v - mean) ** 2, 0) / ends.length
  const count = { mean, variance, used: n, left: results.length - n }
  if (n < 2 || !(variance > 0)) {
    const none = { first: Number.NaN, firstError: Number.NaN, total: Number.NaN, totalError: Number.NaN }
    return { ...count, indices: Array.from({ length: inputs }, () => none) }
  }
  const whole = estimate(rows, inputs)
  const random = randomStream(seed)
  const resampled = Array.from({ length: again }, () =>
    estimate(
      Array.from({ length: n }, () => rows[Math.floor(random() * n)]!),
      inputs,
    ),
  )
  const indices = Array.from({ length: inputs }, (_, k) => {
    const usual = resampled.map((one) => one.first[k]!)
    const other = resampled.map((one) => one.correlated[k]!)
    const part = mixing(usual, other)
    const mixed = (a: number, b: number): number => (part === 0 ? a : a + part * (b - a))
    return {
      first: mixed(whole.first[k]!, whole.correlated[k]!),
      firstError: deviation(usual.map((value, i) => mixed(value, other[i]!))),
      total: whole.total[k]!,
      totalError: deviation(resampled.map((one) => one.total[k]!)),
    }
  })
  return { ...count, indices }
}
