/** Errors of many data that are partly shared: V = diag(σ²) + Σ s sᵀ, whitened by V^(−½). */
import { svd } from './denseSolve.ts'

/**
 * Each shift s (one entry per datum) is what the data err by together when its cause is one standard deviation off.
 * With z = r/σ and U = diag(1/σ) S = Q D Wᵀ the whitened residuals are (1 + U Uᵀ)^(−½) z: only the k directions of Q
 * shrink, each by 1/√(1 + d²), and |r_w|² = rᵀV⁻¹r. That is the same as fitting one parameter of prior 0 ± 1 for each
 * cause (D'Agostini, Nucl. Instrum. Meth. A 346, 306, 1994).
 */
export class Whitening {
  private readonly directions: { q: Float64Array; d: number }[] = []
  /** U's columns: s/σ. */
  private readonly columns: Float64Array[]

  /** @param sigma own standard deviation of each datum, above 0 */
  constructor(
    readonly sigma: Float64Array,
    shifts: readonly ArrayLike<number>[] = [],
  ) {
    this.columns = shifts.map((shift) => sigma.map((one, i) => shift[i]! / one))
    const [m, k] = [sigma.length, shifts.length]
    if (k === 0) return
    const u = new Float64Array(m * k)
    this.columns.forEach((column, c) => {
      for (let i = 0; i < m; i++) u[i * k + c] = column[i]!
    })
    const { values, v } = svd(u, m, k)
    for (let c = 0; c < k && values[c]! > 1e-12 * values[0]!; c++) {
      const q = new Float64Array(m)
      for (let j = 0; j < k; j++) {
        const part = v[j * k + c]! / values[c]!
        for (let i = 0; i < m; i++) q[i]! += u[i * k + j]! * part
      }
      this.directions.push({ q, d: values[c]! })
    }
  }

  /** Differences in the data's unit → whitened. */
  apply(difference: ArrayLike<number>): Float64Array {
    return this.shrink(this.sigma.map((sigma, i) => difference[i]! / sigma))
  }

  /** Whitened → differences in the data's unit. */
  undo(whitened: ArrayLike<number>): Float64Array {
    const z = this.scaled(Float64Array.from(whitened), (d) => Math.hypot(1, d))
    return z.map((value, i) => value * this.sigma[i]!)
  }

  /** (1 + U Uᵀ)^(−½) z. Symmetric: its own transpose. */
  shrink(z: Float64Array): Float64Array {
    return this.scaled(z, (d) => 1 / Math.hypot(1, d))
  }

  /** What one standard deviation of cause k does to the whitened data. */
  effect(k: number): Float64Array {
    return this.shrink(this.columns[k]!)
  }

  private scaled(z: Float64Array, factor: (d: number) => number): Float64Array {
    const out = z.slice()
    for (const { q, d } of this.directions) {
      let along = 0
      for (let i = 0; i < z.length; i++) along += q[i]! * z[i]!
      along *= factor(d) - 1
      for (let i = 0; i < z.length; i++) out[i]! += along * q[i]!
    }
    return out
  }
}
