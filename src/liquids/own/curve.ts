/** Curves through a user's table: smooth where that keeps to the table, never with a bump of their own. */
import { type Curve, type Point, smoothCurve } from '../smoothCurve.ts'

const STEPS = 24

/** True if the curve stays, in every interval, between the lowest and highest of the points around it. */
function staysNear(curve: Curve, points: readonly Point[], strict: boolean): boolean {
  const y = points.map((point) => point[1])
  for (let i = 0; i + 1 < points.length; i++) {
    const around = strict ? y.slice(i, i + 2) : y.slice(Math.max(0, i - 1), i + 3)
    const [low, high] = [Math.min(...around), Math.max(...around)]
    const slack = 1e-12 * (Math.abs(low) + Math.abs(high))
    const [from, to] = [points[i]![0], points[i + 1]![0]]
    let last = y[i]!
    const sign = Math.sign(y[i + 1]! - y[i]!)
    for (let k = 1; k <= STEPS; k++) {
      const value = curve(from + ((to - from) * k) / STEPS)
      if (value < low - slack || value > high + slack) return false
      if (strict && sign * (value - last) < -slack) return false
      last = value
    }
  }
  return true
}

/** Slope in a point of a piecewise cubic that turns only where the table turns: Fritsch & Carlson, SIAM J. Numer. Anal. 17, 238 (1980), with the weighted harmonic mean of Fritsch & Butland (1984). */
function innerSlope(h0: number, h1: number, d0: number, d1: number): number {
  if (d0 * d1 <= 0) return 0
  const [a, b] = [2 * h1 + h0, h1 + 2 * h0]
  return (a + b) / (a / d0 + b / d1)
}

/** Piecewise cubic without overshoot; straight lines outside. Points in rising x, at least two. */
function turningCurve(points: readonly Point[]): Curve {
  const n = points.length
  const x = points.map((point) => point[0])
  const y = points.map((point) => point[1])
  const h = x.slice(1).map((value, i) => value - x[i]!)
  const d = y.slice(1).map((value, i) => (value - y[i]!) / h[i]!)
  const slope = y.map((_, i) =>
    i === 0 ? d[0]! : i === n - 1 ? d[n - 2]! : innerSlope(h[i - 1]!, h[i]!, d[i - 1]!, d[i]!),
  )
  return (at) => {
    if (at <= x[0]!) return y[0]! + slope[0]! * (at - x[0]!)
    if (at >= x[n - 1]!) return y[n - 1]! + slope[n - 1]! * (at - x[n - 1]!)
    let i = 0
    while (at > x[i + 1]!) i++
    const z = (at - x[i]!) / h[i]!
    const rise = y[i + 1]! - y[i]!
    const [s0, s1] = [slope[i]! * h[i]!, slope[i + 1]! * h[i]!]
    return y[i]! + z * (s0 + z * (3 * rise - 2 * s0 - s1 + z * (s0 + s1 - 2 * rise)))
  }
}

/**
 * The curve through all points: a natural cubic spline where it adds no bump of its own, else a piecewise cubic
 * without overshoot. `monotone`: between two points it may only rise or fall as they do.
 */
export function tableCurve(points: readonly Point[], monotone: boolean): Curve {
  if (points.length < 3) return turningCurve(points)
  const smooth = smoothCurve(points)
  return staysNear(smooth, points, monotone) ? smooth : turningCurve(points)
}
