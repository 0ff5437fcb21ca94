/** Finite differences of a vector function, kept within bounds. */

export interface Derivative {
  p: Float64Array
  lower: Float64Array
  upper: Float64Array
  /** Smallest size of each parameter that matters, above 0. */
  typical: Float64Array
  /** One-sided first-order differences instead of central ones. */
  forward: boolean
  /** Step relative to max(|p|, typical). */
  step?: number
}

/** Default steps balance truncation against rounding: ∛ε central, √ε forward. */
const CENTRAL = Number.EPSILON ** (1 / 3)
const FORWARD = Math.sqrt(Number.EPSILON)

/**
 * Points at which the function is wanted: two per parameter (one when `forward`).
 * Where a bound is near, both lie on the free side, at h and 2h.
 */
export function differencePoints(d: Derivative): Float64Array[] {
  const points: Float64Array[] = []
  for (let j = 0; j < d.p.length; j++) for (const offset of offsets(d, j)) points.push(moved(d, j, offset))
  return points
}

function moved({ p }: Derivative, j: number, offset: number): Float64Array {
  const point = p.slice()
  point[j]! += offset
  return point
}

function offsets(d: Derivative, j: number): number[] {
  const size = Math.max(Math.abs(d.p[j]!), d.typical[j]!)
  const range = d.upper[j]! - d.lower[j]!
  const h = Math.min(
    (d.step ?? (d.forward ? FORWARD : CENTRAL)) * size,
    Number.isFinite(range) ? range / 4 : Infinity,
  )
  const up = d.p[j]! + h <= d.upper[j]!
  const down = d.p[j]! - h >= d.lower[j]!
  if (d.forward) return [up ? h : -h]
  if (up && down) return [h, -h]
  return up ? [h, 2 * h] : [-h, -2 * h]
}

/**
 * ∂f/∂p, row-major, from the values at `differencePoints`. `base` is f(p).
 * A missing value is bridged by a one-sided difference; null when a parameter has no value left.
 */
export function fromDifferences(
  d: Derivative,
  points: readonly Float64Array[],
  values: readonly (Float64Array | null)[],
  base: Float64Array,
): Float64Array | null {
  const n = d.p.length
  const per = d.forward ? 1 : 2
  const jacobian = new Float64Array(base.length * n)
  for (let j = 0; j < n; j++) {
    const near = values[j * per] ?? null
    const far = d.forward ? null : (values[j * per + 1] ?? null)
    const a = points[j * per]![j]! - d.p[j]!
    const b = d.forward ? 0 : points[j * per + 1]![j]! - d.p[j]!
    if (!near && !far) return null
    for (let i = 0; i < base.length; i++) {
      const slopeNear = near ? (near[i]! - base[i]!) / a : 0
      const slopeFar = far ? (far[i]! - base[i]!) / b : 0
      // The parabola through the three points; for b = −a this is the central difference.
      jacobian[i * n + j] =
        near && far ? (slopeNear * b - slopeFar * a) / (b - a) : near ? slopeNear : slopeFar
    }
  }
  return jacobian
}
