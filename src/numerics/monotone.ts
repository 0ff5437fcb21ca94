/**
 * Piecewise cubic interpolation without overshoot (Fritsch & Butland, SIAM J. Sci. Stat. Comput. 5, 300, 1984).
 * `x` must rise; points that repeat an x, or hold no finite number, are left out.
 */
export class MonotoneCurve {
  /** First and last x; NaN without points. */
  readonly from: number
  readonly to: number
  private readonly x: number[] = []
  private readonly y: number[] = []
  private readonly slope: Float64Array

  constructor(x: ArrayLike<number>, y: ArrayLike<number>) {
    for (let i = 0; i < Math.min(x.length, y.length); i++) {
      const last = this.x.at(-1)
      if (!Number.isFinite(x[i]!) || !Number.isFinite(y[i]!) || (last !== undefined && x[i]! <= last))
        continue
      this.x.push(x[i]!)
      this.y.push(y[i]!)
    }
    this.from = this.x[0] ?? Number.NaN
    this.to = this.x.at(-1) ?? Number.NaN
    this.slope = slopes(this.x, this.y)
  }

  /** Value at x; NaN outside the points. */
  at(x: number): number {
    if (!(x >= this.from && x <= this.to)) return Number.NaN
    let low = 0
    let high = this.x.length - 1
    while (high - low > 1) {
      const middle = (low + high) >> 1
      if (this.x[middle]! <= x) low = middle
      else high = middle
    }
    if (high === low) return this.y[0]!
    const h = this.x[high]! - this.x[low]!
    const t = (x - this.x[low]!) / h
    const [a, b] = [this.y[low]!, this.y[high]!]
    const [da, db] = [this.slope[low]! * h, this.slope[high]! * h]
    return a + t * (da + t * (3 * (b - a) - 2 * da - db + t * (da + db - 2 * (b - a))))
  }
}

/** Weighted harmonic means of the neighbouring secants; zero where they differ in sign. */
function slopes(x: readonly number[], y: readonly number[]): Float64Array {
  const n = x.length
  const d = new Float64Array(n)
  if (n < 2) return d
  const h = Array.from({ length: n - 1 }, (_, i) => x[i + 1]! - x[i]!)
  const s = h.map((width, i) => (y[i + 1]! - y[i]!) / width)
  for (let i = 1; i < n - 1; i++) {
    const [a, b] = [s[i - 1]!, s[i]!]
    if (a * b <= 0) continue
    const [wa, wb] = [2 * h[i]! + h[i - 1]!, h[i]! + 2 * h[i - 1]!]
    d[i] = (wa + wb) / (wa / a + wb / b)
  }
  d[0] = n > 2 ? endSlope(h[0]!, h[1]!, s[0]!, s[1]!) : s[0]!
  d[n - 1] = n > 2 ? endSlope(h[n - 2]!, h[n - 3]!, s[n - 2]!, s[n - 3]!) : s[0]!
  return d
}

/** Three-point slope at an end, limited so that the first piece stays monotone. */
function endSlope(h: number, next: number, s: number, sNext: number): number {
  const slope = ((2 * h + next) * s - h * sNext) / (h + next)
  if (slope * s <= 0) return 0
  return s * sNext <= 0 && Math.abs(slope) > 3 * Math.abs(s) ? 3 * s : slope
}
