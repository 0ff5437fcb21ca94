/** The error of each point taken apart: its own, and what all points of a curve err by together. */
import type { MeasuredCurve, SharedCause } from './types.ts'
import { type Points, usedPoints } from './usable.ts'

/** Least share of a point's uncertainty that counts as its own, however large the shared part is stated. */
const LEAST_OWN = 0.1

export interface ErrorParts {
  /** Each point's own standard uncertainty, m, above 0; NaN where none is known. */
  own: Float64Array
  /** By cause: by how much each radius is too large when the cause is one standard uncertainty off, m. */
  shared: { cause: SharedCause; shift: Float64Array }[]
  /** Points whose stated shared part is as large as their whole uncertainty: a tenth of it is left as their own. */
  floored: number
}

type Source = Pick<MeasuredCurve, 'time' | 'radius' | 'uncertainty' | 'shared' | 'excluded' | 'meta'>

/**
 * Parts of the uncertainty of the used points. The own part is √(σ² − Σ shift²). A scale that the curve states
 * (`meta.sigma.radiusScale`) takes the place of a shared scale that came with the points.
 */
export function errorParts(curve: Source): ErrorParts {
  const points = usedPoints(curve)
  const { own, floored } = ownPart(points)
  const scale = curve.meta.sigma?.radiusScale
  const stated = (points.shared ?? []).map(({ cause, shift }) => ({ cause, shift }))
  if (scale === undefined || !(scale > 0)) return { own, shared: stated, floored }
  const others = stated.filter(({ cause }) => cause !== 'scale')
  return { own, shared: [{ cause: 'scale', shift: points.radius.map((R) => scale * R) }, ...others], floored }
}

function ownPart({ radius, uncertainty, shared = [] }: Points): { own: Float64Array; floored: number } {
  if (!uncertainty) return { own: new Float64Array(radius.length).fill(Number.NaN), floored: 0 }
  let floored = 0
  const own = uncertainty.map((sigma, i) => {
    const common = shared.reduce((sum, { shift }) => sum + shift[i]! ** 2, 0)
    const rest = sigma ** 2 - common
    const least = LEAST_OWN * sigma
    if (rest < least ** 2) floored++
    return rest > least ** 2 ? Math.sqrt(rest) : least
  })
  return { own, floored }
}
