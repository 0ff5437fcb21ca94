/**
 * Curves through tables. A natural cubic spline has continuous first and second derivatives; with a
 * roughness weight above zero it passes near the points instead of through them (Reinsch, Numer. Math. 10,
 * 177, 1967), so that the digit noise of a table does not show in the derivative.
 */

/** A table row: abscissa, ordinate and, optionally, its weight (default 1). */
export type Point = readonly [x: number, y: number, weight?: number]

/** A curve on the table's span, continued as a straight line outside it (the second derivative stays continuous). */
export type Curve = (x: number) => number

interface Spline {
  x: Float64Array
  /** Ordinates of the curve at the knots. */
  y: Float64Array
  /** Second derivatives at the knots. */
  m: Float64Array
}

/** Natural cubic spline; `roughness` ≥ 0 weighs ∫y''² against the squared misfit. Points in rising x, at least three. */
export function smoothCurve(points: readonly Point[], roughness = 0): Curve {
  const s = spline(points, roughness)
  return (x) => evaluate(s, x)
}

function spline(points: readonly Point[], roughness: number): Spline {
  const n = points.length
  if (n < 3) throw new RangeError(`smoothCurve: at least 3 points, got ${n}`)
  const x = Float64Array.from(points, (p) => p[0])
  const raw = Float64Array.from(points, (p) => p[1])
  const variance = Float64Array.from(points, (p) => 1 / (p[2] ?? 1))
  const inner = n - 2
  const step = Float64Array.from({ length: n - 1 }, (_, i) => x[i + 1]! - x[i]!)
  if (step.some((h) => !(h > 0))) throw new RangeError('smoothCurve: abscissas must rise')
  // Column j of Q touches the points j, j+1, j+2; R is tridiagonal. Solve (R + roughness·QᵀVQ) c = Qᵀy.
  const column = (j: number) => [1 / step[j]!, -1 / step[j]! - 1 / step[j + 1]!, 1 / step[j + 1]!]
  const A = Array.from({ length: inner }, () => new Float64Array(inner))
  const b = new Float64Array(inner)
  for (let j = 0; j < inner; j++) {
    const q = column(j)
    A[j]![j] = (step[j]! + step[j + 1]!) / 3
    if (j + 1 < inner) A[j]![j + 1] = A[j + 1]![j] = step[j + 1]! / 6
    for (let a = 0; a < 3; a++) b[j]! += q[a]! * raw[j + a]!
  }
  for (let j = 0; j < inner; j++) {
    for (let k = j; k < Math.min(inner, j + 3); k++) {
      let sum = 0
      for (let p = k; p <= j + 2; p++) sum += column(j)[p - j]! * variance[p]! * column(k)[p - k]!
      A[j]![k]! += roughness * sum
      if (k > j) A[k]![j]! += roughness * sum
    }
  }
  const c = solveSymmetric(A, b)
  const m = new Float64Array(n)
  m.set(c, 1)
  const y = raw.slice()
  for (let j = 0; j < inner; j++) {
    const q = column(j)
    for (let a = 0; a < 3; a++) y[j + a]! -= roughness * variance[j + a]! * q[a]! * c[j]!
  }
  return { x, y, m }
}

/** Gaussian elimination without pivoting: the matrix is symmetric and positive definite. */
function solveSymmetric(A: Float64Array[], b: Float64Array): Float64Array {
  const n = b.length
  const x = b.slice()
  for (let i = 0; i < n; i++) {
    for (let k = i + 1; k < n; k++) {
      const f = A[k]![i]! / A[i]![i]!
      if (f === 0) continue
      for (let j = i; j < n; j++) A[k]![j]! -= f * A[i]![j]!
      x[k]! -= f * x[i]!
    }
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let j = i + 1; j < n; j++) x[i]! -= A[i]![j]! * x[j]!
    x[i]! /= A[i]![i]!
  }
  return x
}

function evaluate({ x, y, m }: Spline, at: number): number {
  const last = x.length - 1
  let i = 0
  while (i < last - 1 && at > x[i + 1]!) i++
  const h = x[i + 1]! - x[i]!
  const b = (at - x[i]!) / h
  const a = 1 - b
  const bend = (h * h) / 6
  if (b < 0) return y[0]! + b * (y[1]! - y[0]! - m[1]! * bend)
  if (a < 0) return y[last]! - a * (y[last]! - y[last - 1]! + m[last - 1]! * bend)
  return a * y[i]! + b * y[i + 1]! + ((a * a * a - a) * m[i]! + (b * b * b - b) * m[i + 1]!) * bend
}
