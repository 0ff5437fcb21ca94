/** The inputs of each row of a sweep. Pure; any row can be asked for, in any order. */
import { keyOf } from '../../life/keys.ts'
import { exp, log } from '../../numerics/elementary.ts'
import { latinHypercube } from '../../numerics/sampling/latinHypercube.ts'
import { randomStream } from '../../numerics/sampling/random.ts'
import { Sobol } from '../../numerics/sampling/sobol.ts'
import { type InputValue, isSpan, type Listed, type Span, type SweepInput, type SweepPlan } from './types.ts'

/** Inputs of row 0 … count − 1, in the order of the plan's. */
export type Points = (row: number) => InputValue[]

const isWhole = (path: string): boolean => {
  const key = keyOf(path)
  return key?.kind === 'number' && key.integer === true
}

const within = (value: number, { from, to }: Span): number => Math.min(to, Math.max(from, value))

/** The value a part `u` (0 … 1) of the way, by ratio where logarithmic. */
function along(span: Span, u: number): number {
  const { from, to, logarithmic } = span
  if (u <= 0) return from
  if (u >= 1) return to
  const value = logarithmic ? exp(log(from) + u * (log(to) - log(from))) : from + u * (to - from)
  return within(value, span)
}

/** Value `i` of a span on a grid, to 12 digits: 0.7, not 0.7000000000000001. */
function onGrid(span: Span, i: number): number {
  const value = along(span, i / (span.count! - 1))
  return isWhole(span.key) ? Math.round(value) : within(Number(value.toPrecision(12)), span)
}

/** Value for a number `u` in [0, 1): each of listed values, and each whole number, gets an equal part. */
function drawn(input: SweepInput, u: number): InputValue {
  if (!isSpan(input)) return input.values[Math.floor(u * input.values.length)]!
  if (!isWhole(input.key)) return along(input, u)
  const wide = { ...input, from: input.from - 0.5, to: input.to + 0.5 }
  return within(Math.round(along(wide, u)), input)
}

function gridPoints({ inputs }: SweepPlan): Points {
  const sizes = inputs.map((input) => (isSpan(input) ? input.count! : input.values.length))
  return (row) => {
    const values: InputValue[] = new Array(inputs.length)
    let rest = row
    // The last input changes from row to row, the first most slowly.
    for (let k = inputs.length - 1; k >= 0; k--) {
      const [input, size] = [inputs[k]!, sizes[k]!]
      const i = rest % size
      values[k] = isSpan(input) ? onGrid(input, i) : input.values[i]!
      rest = Math.floor(rest / size)
    }
    return values
  }
}

/**
 * Numbers in [0, 1) by a Sobol sequence from its first point on. A seed other than 0 shifts all points alike (digital shift,
 * one number of 32 bits a dimension), which keeps how evenly they lie: several such samples tell the error of a mean.
 * Owen, "Randomly permuted (t,m,s)-nets", in Monte Carlo and Quasi-Monte Carlo Methods (1995).
 */
function sobolNumbers({ inputs, seed }: SweepPlan): (row: number) => Float64Array {
  const sobol = new Sobol(inputs.length)
  if (seed === 0) return (row) => sobol.point(row)
  const random = randomStream(seed)
  const shifts = inputs.map(() => Math.floor(random() * 2 ** 32))
  return (row) => sobol.point(row).map((x, d) => (((x * 2 ** 32) ^ shifts[d]!) >>> 0) / 2 ** 32)
}

function latinNumbers({ inputs, count, seed }: SweepPlan): (row: number) => Float64Array {
  const { length } = inputs
  const all = latinHypercube(count, length, seed)
  return (row) => all.subarray(row * length, (row + 1) * length)
}

/** The rows of a plan. */
export function pointsOf(plan: SweepPlan): Points {
  const { inputs, design } = plan
  if (design === 'grid') return gridPoints(plan)
  if (design === 'list') return (row) => (inputs as readonly Listed[]).map(({ values }) => values[row]!)
  const numbers = design === 'sobol' ? sobolNumbers(plan) : latinNumbers(plan)
  return (row) => {
    const at = numbers(row)
    return inputs.map((input, d) => drawn(input, at[d]!))
  }
}
