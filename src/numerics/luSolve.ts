/** LU factors of a dense real matrix with partial pivoting, made for repeated use at one size. */

/** Columns that are eliminated together: each row of the rest is then read and written once for all of them. */
const PANEL = 4

export class DenseLU {
  private readonly pivot: Int32Array
  private readonly work: Float64Array

  /** @param n rows and columns @param a the matrix, row-major; `factor` overwrites it with its factors */
  constructor(
    readonly n: number,
    readonly a = new Float64Array(n * n),
  ) {
    this.pivot = new Int32Array(n)
    this.work = new Float64Array(n)
  }

  /** Factors `a` in place (Golub & Van Loan, Matrix Computations, section 3.4, by panels); false if it is singular. */
  factor(): boolean {
    const { n } = this
    for (let from = 0; from < n; from += PANEL) {
      const to = Math.min(from + PANEL, n)
      for (let k = from; k < to; k++) if (!this.eliminate(k, to)) return false
      this.upperRows(from, to)
      if (to - from === PANEL) this.rest(from, to)
    }
    return true
  }

  /** Column k within the panel that ends before `to`. */
  private eliminate(k: number, to: number): boolean {
    const { n, a, pivot } = this
    let best = k
    let most = Math.abs(a[k * n + k])
    for (let i = k + 1; i < n; i++) {
      const size = Math.abs(a[i * n + k])
      if (size > most) {
        most = size
        best = i
      }
    }
    pivot[k] = best
    if (!(most > 0 && most < Number.POSITIVE_INFINITY)) return false
    if (best !== k) this.swap(k, best)
    const at = k * n
    const inverse = 1 / a[at + k]
    for (let i = k + 1; i < n; i++) {
      const row = i * n
      const factor = a[row + k] * inverse
      a[row + k] = factor
      for (let j = k + 1; j < to; j++) a[row + j] -= factor * a[at + j]
    }
    return true
  }

  /** What the panel's rows have to the right of it. */
  private upperRows(from: number, to: number): void {
    const { n, a } = this
    for (let i = from + 1; i < to; i++) {
      for (let k = from; k < i; k++) {
        const factor = a[i * n + k]
        for (let j = to, row = i * n, at = k * n; j < n; j++) a[row + j] -= factor * a[at + j]
      }
    }
  }

  /** Takes a full panel's part out of the rows below it. */
  private rest(from: number, to: number): void {
    const { n, a } = this
    const r0 = from * n
    const r1 = r0 + n
    const r2 = r1 + n
    const r3 = r2 + n
    for (let i = to; i < n; i++) {
      const row = i * n
      const f0 = a[row + from]
      const f1 = a[row + from + 1]
      const f2 = a[row + from + 2]
      const f3 = a[row + from + 3]
      for (let j = to; j < n; j++)
        a[row + j] -= f0 * a[r0 + j] + f1 * a[r1 + j] + (f2 * a[r2 + j] + f3 * a[r3 + j])
    }
  }

  private swap(k: number, l: number): void {
    const { n, a } = this
    for (let j = 0; j < n; j++) {
      const kept = a[k * n + j]
      a[k * n + j] = a[l * n + j]
      a[l * n + j] = kept
    }
  }

  /** Solves in place with the factors. */
  solve(b: Float64Array): void {
    const { n, a, pivot, work } = this
    for (let k = 0; k < n; k++) {
      const kept = b[k]
      b[k] = b[pivot[k]]
      b[pivot[k]] = kept
    }
    for (let i = 0; i < n; i++) {
      let sum = b[i]
      for (let j = 0, at = i * n; j < i; j++, at++) sum -= a[at] * work[j]
      work[i] = sum
    }
    for (let i = n - 1; i >= 0; i--) {
      let sum = work[i]
      for (let j = i + 1, at = i * n + i + 1; j < n; j++, at++) sum -= a[at] * b[j]
      b[i] = sum / a[i * n + i]
    }
  }
}
