/** Small dense linear algebra for fits: Householder QR and Jacobi SVD. Matrices are row-major Float64Arrays. */

/** Largest entry first and scaled, so that neither tiny nor huge numbers underflow or overflow. */
export function norm(values: ArrayLike<number>): number {
  let most = 0
  for (let i = 0; i < values.length; i++) most = Math.max(most, Math.abs(values[i]!))
  if (most === 0 || !Number.isFinite(most)) return most
  let sum = 0
  for (let i = 0; i < values.length; i++) sum += (values[i]! / most) ** 2
  return most * Math.sqrt(sum)
}

/** Column j of an m × n matrix, copied. */
export function column(a: Float64Array, m: number, n: number, j: number): Float64Array {
  const c = new Float64Array(m)
  for (let i = 0; i < m; i++) c[i] = a[i * n + j]!
  return c
}

/**
 * Householder QR of the m × n matrix `a` (any m ≥ 1) with one right-hand side, both left as they are.
 * Returns R (k × n upper triangle, k = min(m, n)) and the first k entries of Qᵀb.
 * Golub & Van Loan, Matrix Computations, algorithm 5.2.1.
 */
export function qr(
  a: Float64Array,
  m: number,
  n: number,
  b: Float64Array,
): { r: Float64Array; qtb: Float64Array } {
  const w = a.slice()
  const rhs = b.slice()
  const k = Math.min(m, n)
  for (let j = 0; j < k; j++) reflect(w, rhs, m, n, j)
  const r = new Float64Array(k * n)
  for (let i = 0; i < k; i++) for (let j = i; j < n; j++) r[i * n + j] = w[i * n + j]!
  return { r, qtb: rhs.slice(0, k) }
}

/** Reflects column j of w below the diagonal to zero; the same reflection goes over the rest of w and over b. */
function reflect(w: Float64Array, b: Float64Array, m: number, n: number, j: number): void {
  const v = new Float64Array(m - j)
  for (let i = j; i < m; i++) v[i - j] = w[i * n + j]!
  const size = norm(v)
  if (size === 0) return
  const alpha = v[0]! > 0 ? -size : size
  v[0]! -= alpha
  const vNorm = norm(v)
  for (let i = 0; i < v.length; i++) v[i]! /= vNorm
  w[j * n + j] = alpha
  for (let i = j + 1; i < m; i++) w[i * n + j] = 0
  for (let c = j + 1; c < n; c++) {
    let dot = 0
    for (let i = j; i < m; i++) dot += v[i - j]! * w[i * n + c]!
    for (let i = j; i < m; i++) w[i * n + c]! -= 2 * dot * v[i - j]!
  }
  let dot = 0
  for (let i = j; i < m; i++) dot += v[i - j]! * b[i]!
  for (let i = j; i < m; i++) b[i]! -= 2 * dot * v[i - j]!
}

/** Solves R x = y for the n × n upper triangle R; null when a diagonal entry is zero. */
export function solveUpper(r: Float64Array, n: number, y: Float64Array): Float64Array | null {
  const x = new Float64Array(n)
  for (let i = n - 1; i >= 0; i--) {
    if (r[i * n + i] === 0) return null
    let sum = y[i]!
    for (let j = i + 1; j < n; j++) sum -= r[i * n + j]! * x[j]!
    x[i] = sum / r[i * n + i]!
  }
  return x
}

export interface Svd {
  /** Singular values, falling. */
  values: Float64Array
  /** Right singular vectors: column j belongs to values[j]; n × n. */
  v: Float64Array
}

/**
 * Singular values and right singular vectors of an m × n matrix, m ≥ n, by one-sided Jacobi rotations:
 * small singular values come out with high relative accuracy (Demmel & Veselić, SIAM J. Matrix Anal. 13, 1204, 1992).
 */
export function svd(a: Float64Array, m: number, n: number): Svd {
  const w = a.slice()
  const v = new Float64Array(n * n)
  for (let i = 0; i < n; i++) v[i * n + i] = 1
  for (let sweep = 0; sweep < 60; sweep++) {
    let turned = false
    for (let p = 0; p < n - 1; p++)
      for (let q = p + 1; q < n; q++) turned = rotate(w, v, m, n, p, q) || turned
    if (!turned) break
  }
  const sizes = Array.from({ length: n }, (_, j) => norm(column(w, m, n, j)))
  const order = sizes.map((_, j) => j).sort((i, j) => sizes[j]! - sizes[i]!)
  const sorted = new Float64Array(n * n)
  order.forEach((from, to) => {
    for (let i = 0; i < n; i++) sorted[i * n + to] = v[i * n + from]!
  })
  return { values: Float64Array.from(order, (j) => sizes[j]!), v: sorted }
}

/** Makes columns p and q of w orthogonal; true if they were not. */
function rotate(w: Float64Array, v: Float64Array, m: number, n: number, p: number, q: number): boolean {
  let pp = 0
  let qq = 0
  let pq = 0
  for (let i = 0; i < m; i++) {
    const x = w[i * n + p]!
    const y = w[i * n + q]!
    pp += x * x
    qq += y * y
    pq += x * y
  }
  if (Math.abs(pq) <= 1e-15 * Math.sqrt(pp * qq) || pq === 0) return false
  const zeta = (qq - pp) / (2 * pq)
  const t = (zeta >= 0 ? 1 : -1) / (Math.abs(zeta) + Math.hypot(1, zeta))
  const c = 1 / Math.hypot(1, t)
  turn(w, m, n, p, q, c, c * t)
  turn(v, n, n, p, q, c, c * t)
  return true
}

function turn(w: Float64Array, m: number, n: number, p: number, q: number, c: number, s: number): void {
  for (let i = 0; i < m; i++) {
    const x = w[i * n + p]!
    const y = w[i * n + q]!
    w[i * n + p] = c * x - s * y
    w[i * n + q] = s * x + c * y
  }
}
