/** The bath's response to a tangential stress, as a sum of local fields. */

export interface BathMode {
  /** Weight w; the weights sum to 1/4 (long-wave limit H/4ηo). */
  weight: number
  /** Length ℓ in units of the depth H. */
  length: number
}

/** Three fields: within 1 % of the exact response for 0.01 ≤ kH ≤ 60. Derived for this project. */
export const THREE_MODES: readonly BathMode[] = [
  { weight: 0.02457246, length: 0.05272327 },
  { weight: 0.00746466, length: 0.0103621 },
  { weight: 0.21796288, length: 0.29035473 },
]

/**
 * Exact creeping-flow response u/F (m/s per Pa) of a layer over a no-slip floor with a flat, closed surface to a
 * tangential stress of wavenumber k (1/m): (1/2ηo k)(sinh²x − x²)/(sinh x cosh x − x), x = kH.
 * @param depth H, m
 * @param viscosity ηo, Pa·s
 */
export function exactResponse(k: number, depth: number, viscosity: number): number {
  const x = k * depth
  if (x < 0.05) return (depth / (4 * viscosity)) * (1 - x * x * (1 / 15))
  if (x > 300) return 1 / (2 * viscosity * k)
  const s = Math.sinh(x)
  return (s * s - x * x) / (s * Math.cosh(x) - x) / (2 * viscosity * k)
}

/** Response of a set of modes to a steady stress of wavenumber k; see exactResponse. */
export function modalResponse(
  modes: readonly BathMode[],
  k: number,
  depth: number,
  viscosity: number,
): number {
  let sum = 0
  for (const mode of modes) sum += mode.weight / (1 + (mode.length * depth * k) ** 2)
  return (sum * depth) / viscosity
}
