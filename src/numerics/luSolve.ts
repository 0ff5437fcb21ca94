/** LU factors of a dense real matrix with partial pivoting, made for repeated use at one size. */
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

  /** Factors `a` in place (Golub & Van Loan, Matrix Computations, algorithm 3.4.1); false if it is singular. */
  factor(): boolean {
    const { n, a, pivot } = this
    for (let k = 0; k < n; k++) {
      const at = k * n
      let best = k
      let most = Math.abs(a[at + k])
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
      const inverse = 1 / a[at + k]
      for (let i = k + 1; i < n; i++) {
        const row = i * n
        if (a[row + k] === 0) continue
        const factor = a[row + k] * inverse
        a[row + k] = factor
        for (let j = k + 1; j < n; j++) a[row + j] -= factor * a[at + j]
      }
    }
    return true
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
      for (let j = 0; j < i; j++) sum -= a[i * n + j] * work[j]
      work[i] = sum
    }
    for (let i = n - 1; i >= 0; i--) {
      let sum = work[i]
      for (let j = i + 1; j < n; j++) sum -= a[i * n + j] * b[j]
      b[i] = sum / a[i * n + i]
    }
  }
}
