/** Grid intervals of a set unless others are asked for. */
export const GRID = 512

/**
 * Several smooth functions of one variable on [0, 1], tabulated together on one uniform grid, so that all of them
 * and their derivatives come from one look-up. Cubic Hermite pieces with fourth-order node slopes; outside [0, 1]
 * each continues as its tangent.
 */
export class CurveSet {
  readonly count: number
  readonly intervals: number
  /** [interval][curve][4]: polynomial in the local coordinate 0 … 1. */
  readonly coefficients: Float64Array
  private readonly scratch: Float64Array

  /**
   * @param functions finite on [0, 1]
   * @param intervals number of grid intervals, at least 8
   */
  constructor(functions: readonly ((x: number) => number)[], intervals = GRID) {
    this.count = functions.length
    this.intervals = intervals
    this.scratch = new Float64Array(2 * functions.length)
    this.coefficients = new Float64Array(intervals * this.count * 4)
    functions.forEach((f, k) => {
      this.tabulate(f, k)
    })
  }

  private tabulate(f: (x: number) => number, k: number): void {
    const n = this.intervals
    const value = Float64Array.from({ length: n + 1 }, (_, i) => f(i / n))
    const slope = nodeSlopes(value)
    for (let i = 0; i < n; i++) {
      const at = (i * this.count + k) * 4
      const rise = value[i + 1] - value[i]
      this.coefficients[at] = value[i]
      this.coefficients[at + 1] = slope[i]
      this.coefficients[at + 2] = 3 * rise - 2 * slope[i] - slope[i + 1]
      this.coefficients[at + 3] = slope[i] + slope[i + 1] - 2 * rise
    }
  }

  /** Values into out[to … to + count), derivatives into the `count` places behind. */
  evaluate(x: number, out: Float64Array, to = 0): void {
    const n = this.intervals
    const inside = Math.min(1, Math.max(0, x))
    const i = inside < 1 ? Math.floor(inside * n) : n - 1
    const z = inside * n - i
    const beyond = x - inside
    const c = this.coefficients
    const count = this.count
    let at = i * count * 4
    for (let k = to; k < to + count; k++, at += 4) {
      const c1 = c[at + 1]
      const c2 = c[at + 2]
      const c3 = c[at + 3]
      const derivative = (c1 + z * (2 * c2 + z * 3 * c3)) * n
      out[k] = c[at] + z * (c1 + z * (c2 + z * c3)) + beyond * derivative
      out[count + k] = derivative
    }
  }

  /** Value of curve k at x. */
  at(x: number, k: number): number {
    this.evaluate(x, this.scratch)
    return this.scratch[k]
  }
}

/** Slopes per grid step: fourth-order differences, one-sided at the ends. */
function nodeSlopes(v: Float64Array): Float64Array {
  const n = v.length - 1
  const slope = new Float64Array(n + 1)
  for (let i = 2; i <= n - 2; i++) slope[i] = (v[i - 2] - 8 * v[i - 1] + 8 * v[i + 1] - v[i + 2]) / 12
  slope[0] = (-25 * v[0] + 48 * v[1] - 36 * v[2] + 16 * v[3] - 3 * v[4]) / 12
  slope[1] = (-3 * v[0] - 10 * v[1] + 18 * v[2] - 6 * v[3] + v[4]) / 12
  slope[n] = (25 * v[n] - 48 * v[n - 1] + 36 * v[n - 2] - 16 * v[n - 3] + 3 * v[n - 4]) / 12
  slope[n - 1] = (3 * v[n] + 10 * v[n - 1] - 18 * v[n - 2] + 6 * v[n - 3] - v[n - 4]) / 12
  return slope
}
