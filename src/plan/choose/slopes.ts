/** How the radii of a drop change with the unknowns: differences of quick lives, smoothed over time, and how rough they are. */
import { radiusAt } from '../../measured/fit/course.ts'
import type { Course } from '../../measured/fit/types.ts'
import { basisAt, combined, localPolynomial } from '../../numerics/localPolynomial.ts'

/** Evenly spaced moments at which lives are compared. */
export const MOMENTS = 60
/** Moments on either side through which a parabola is laid. */
const REACH = 6

/** A quantity at even moments from `end`/MOMENTS to `end`. */
export type Sampled = Float64Array

export const sampled = (course: Pick<Course, 't' | 'R' | 'U'>, end: number): Sampled =>
  Float64Array.from({ length: MOMENTS }, (_, i) => radiusAt(course, ((i + 1) * end) / MOMENTS))

/** Savitzky and Golay's parabolas (Analytical Chemistry 36, 1627, 1964) through sampled values, at any moment (share of `end`). */
export function smoothAt(values: Sampled, share: number): number {
  const x = share * MOMENTS - 1
  const middle = Math.min(Math.max(Math.round(x), REACH), MOMENTS - 1 - REACH)
  const places = Array.from({ length: 2 * REACH + 1 }, (_, i) => middle - REACH + i)
  const parabola = localPolynomial(
    places,
    places.map((i) => values[i]!),
    places.map(() => 1),
    2,
    middle,
    REACH,
  )!
  return combined(basisAt(parabola, x), parabola.coefficients)
}

export interface Slope {
  /** Change of the radius, m, per relative change of the unknown, at even moments, smoothed. */
  slope: Sampled
  /** Standard deviation of the radius of one life about the smooth course, m: what the calculation is rough by. */
  rough: number
}

/** Slope from two lives whose values of the unknown lie `step` (a share of the value) apart. */
export function slopeOf(up: Sampled, down: Sampled, step: number): Slope {
  const difference = up.map((R, i) => R - down[i]!)
  const smooth = difference.map((_, i) => smoothAt(difference, (i + 1) / MOMENTS))
  const squares = difference.reduce((sum, one, i) => sum + (one - smooth[i]!) ** 2, 0)
  // A parabola takes up 3 of each 2 REACH + 1 values; the difference has the roughness of two lives.
  const free = MOMENTS * (1 - 3 / (2 * REACH + 1))
  return { slope: smooth.map((one) => one / step), rough: Math.sqrt(squares / free / 2) }
}
