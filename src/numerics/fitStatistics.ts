/** What a fit knows about its parameters: covariance, correlation, and which of them the data cannot tell apart. */
import { column, norm, qr, svd } from './denseSolve.ts'

/** A direction in which the parameters can move together while the residuals hardly change. */
export interface LooseDirection {
  /** Indices of the parameters that take part, largest share first. */
  parameters: number[]
  names: string[]
  /** Unit vector over all parameters, each scaled by the size of its derivatives. */
  direction: Float64Array
  /** Largest singular value over this one, of the Jacobian with columns of unit length. */
  conditionIndex: number
  /** True: the data say nothing about it; false: they say little. */
  undetermined: boolean
}

export interface FitStatistics {
  sumOfSquares: number
  /** Data minus free parameters. */
  degreesOfFreedom: number
  /** √(sum of squares / degrees of freedom); NaN without any. */
  residualDeviation: number
  /** Row-major, parameters × parameters; NaN for parameters at a bound, ∞ for undetermined ones. */
  covariance: Float64Array
  standardErrors: Float64Array
  /** Row-major; 1 on the diagonal, NaN where it is not defined. */
  correlation: Float64Array
  /** Parameters at one of their bounds; they count as given. */
  atBound: boolean[]
  /** Condition number of the Jacobian with columns of unit length. */
  condition: number
  loose: LooseDirection[]
}

export interface FitEnd {
  jacobian: Float64Array
  residuals: Float64Array
  parameters: Float64Array
  held: boolean[]
  names: readonly string[]
  absoluteWeights: boolean
  /** Singular value, relative to the largest, below which a direction counts as undetermined. */
  smallest: number
}

/** Condition indices above this mean strong dependence (Belsley, Kuh & Welsch, Regression Diagnostics, 1980, p. 105). */
const STRONG = 30

/** Share of a direction (squared) from which a parameter counts as part of it. */
const SHARE = 0.05

/** Statistics at the end of a fit; NaN throughout when no derivatives are known. */
export function describeFit(end: FitEnd): FitStatistics {
  const n = end.parameters.length
  const m = end.residuals.length
  const free = Array.from({ length: n }, (_, j) => j).filter((j) => !end.held[j])
  const sumOfSquares = m ? norm(end.residuals) ** 2 : Number.NaN
  const degreesOfFreedom = Math.max(0, m - free.length)
  const residualDeviation = degreesOfFreedom > 0 ? Math.sqrt(sumOfSquares / degreesOfFreedom) : Number.NaN
  const known = m >= free.length && m > 0 && end.jacobian.length === m * n
  const unit = end.absoluteWeights ? 1 : residualDeviation
  const parts = known && free.length ? decompose(end, free) : null
  const covariance = parts ? covarianceOf(parts, end, free, unit) : new Float64Array(n * n).fill(Number.NaN)
  const standardErrors = Float64Array.from({ length: n }, (_, j) => Math.sqrt(covariance[j * n + j]!))
  return {
    sumOfSquares,
    degreesOfFreedom,
    residualDeviation,
    covariance,
    standardErrors,
    correlation: correlationOf(covariance, standardErrors),
    atBound: [...end.held],
    condition: parts ? indexOf(parts, free.length - 1) : Number.NaN,
    loose: parts ? looseDirections(parts, end, free) : [],
  }
}

interface Parts {
  /** Column norms of the free parameters' derivatives. */
  sizes: Float64Array
  values: Float64Array
  v: Float64Array
}

/** SVD of the Jacobian of the free parameters with columns of unit length (a column of zeros stays one). */
function decompose({ jacobian, residuals, parameters }: FitEnd, free: readonly number[]): Parts {
  const m = residuals.length
  const k = free.length
  const sizes = Float64Array.from(free, (j) => norm(column(jacobian, m, parameters.length, j)))
  const a = new Float64Array(m * k)
  for (let i = 0; i < m; i++) {
    free.forEach((j, c) => {
      if (sizes[c]! > 0) a[i * k + c] = jacobian[i * parameters.length + j]! / sizes[c]!
    })
  }
  const { r } = qr(a, m, k, new Float64Array(m))
  return { sizes, ...svd(r, k, k) }
}

function indexOf({ values }: Parts, c: number): number {
  return values[c]! > 0 ? values[0]! / values[c]! : Infinity
}

function covarianceOf(parts: Parts, end: FitEnd, free: readonly number[], unit: number): Float64Array {
  const n = end.parameters.length
  const k = free.length
  const { sizes, values, v } = parts
  const covariance = new Float64Array(n * n).fill(Number.NaN)
  const lost = (c: number) => 1 / indexOf(parts, c) < end.smallest
  for (let a = 0; a < k; a++) {
    for (let b = 0; b < k; b++) {
      let sum = 0
      let open = false
      for (let c = 0; c < k; c++) {
        const product = v[a * k + c]! * v[b * k + c]!
        if (!lost(c)) sum += product / values[c]! ** 2
        else if (Math.abs(product) > end.smallest ** 0.5) open = true
      }
      const value = open ? (a === b ? Infinity : Number.NaN) : (unit * unit * sum) / (sizes[a]! * sizes[b]!)
      covariance[free[a]! * n + free[b]!] = value
    }
  }
  return covariance
}

function correlationOf(covariance: Float64Array, errors: Float64Array): Float64Array {
  const n = errors.length
  return covariance.map((value, at) => {
    const i = Math.floor(at / n)
    const j = at % n
    return i === j ? 1 : value / (errors[i]! * errors[j]!)
  })
}

function looseDirections(parts: Parts, end: FitEnd, free: readonly number[]): LooseDirection[] {
  const k = free.length
  const loose: LooseDirection[] = []
  for (let c = k - 1; c >= 0; c--) {
    const conditionIndex = indexOf(parts, c)
    if (!(conditionIndex > STRONG)) continue
    const share = (a: number) => parts.v[a * k + c]! ** 2
    const members = free
      .map((j, a) => ({ j, share: share(a) }))
      .filter((member) => member.share > SHARE)
      .sort((a, b) => b.share - a.share)
    const direction = new Float64Array(end.parameters.length)
    free.forEach((j, a) => {
      direction[j] = parts.v[a * k + c]!
    })
    loose.push({
      parameters: members.map(({ j }) => j),
      names: members.map(({ j }) => end.names[j] ?? `parameter ${j + 1}`),
      direction,
      conditionIndex,
      undetermined: 1 / conditionIndex < end.smallest,
    })
  }
  return loose
}
