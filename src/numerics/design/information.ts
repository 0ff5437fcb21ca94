/** Fisher information of observations with independent unit errors, and what follows from it. Matrices are row-major. */

/** Adds JᵀJ of m × k derivatives (each row divided by its standard error) to `into`, k × k. */
export function addInformation(into: Float64Array, jacobian: ArrayLike<number>, k: number): void {
  for (let at = 0; at + k <= jacobian.length; at += k)
    for (let a = 0; a < k; a++)
      for (let b = 0; b < k; b++) into[a * k + b]! += jacobian[at + a]! * jacobian[at + b]!
}

/** Natural logarithm of the determinant of a symmetric k × k matrix; −∞ unless it is positive definite. `work` has k² entries. */
export function logDeterminant(m: ArrayLike<number>, k: number, work: Float64Array): number {
  let sum = 0
  for (let j = 0; j < k; j++) {
    let d = m[j * k + j]!
    for (let l = 0; l < j; l++) d -= work[j * k + l]! ** 2
    if (!(d > 0)) return Number.NEGATIVE_INFINITY
    const root = Math.sqrt(d)
    work[j * k + j] = root
    sum += 2 * Math.log(root)
    for (let i = j + 1; i < k; i++) {
      let s = m[i * k + j]!
      for (let l = 0; l < j; l++) s -= work[i * k + l]! * work[j * k + l]!
      work[i * k + j] = s / root
    }
  }
  return sum
}

/** Inverse of a symmetric k × k matrix by its Cholesky factors; null unless it is positive definite. */
export function inverseOf(m: ArrayLike<number>, k: number): Float64Array | null {
  const factor = new Float64Array(k * k)
  if (!Number.isFinite(logDeterminant(m, k, factor))) return null
  const inverse = new Float64Array(k * k)
  const x = new Float64Array(k)
  for (let c = 0; c < k; c++) {
    for (let i = 0; i < k; i++) {
      let s = i === c ? 1 : 0
      for (let l = 0; l < i; l++) s -= factor[i * k + l]! * x[l]!
      x[i] = s / factor[i * k + i]!
    }
    for (let i = k - 1; i >= 0; i--) {
      let s = x[i]!
      for (let l = i + 1; l < k; l++) s -= factor[l * k + i]! * x[l]!
      x[i] = s / factor[i * k + i]!
      inverse[i * k + c] = x[i]!
    }
  }
  return inverse
}

/** Trace of the inverse of a symmetric k × k matrix; ∞ unless it is positive definite. `work` has k² entries. */
export function traceOfInverse(m: ArrayLike<number>, k: number, work: Float64Array): number {
  if (!Number.isFinite(logDeterminant(m, k, work))) return Number.POSITIVE_INFINITY
  // With m = L Lᵀ the trace is the sum of squares of the entries of L⁻¹.
  let sum = 0
  const x = new Float64Array(k)
  for (let c = 0; c < k; c++)
    for (let i = c; i < k; i++) {
      let s = i === c ? 1 : 0
      for (let l = c; l < i; l++) s -= work[i * k + l]! * x[l]!
      x[i] = s / work[i * k + i]!
      sum += x[i]! ** 2
    }
  return sum
}
