/**
 * The bath's response to a tangential stress, as a sum of local fields.
 *
 * Creeping flow in a layer of depth H over a no-slip floor, flat closed surface: exact response u/F = G(k). As a function
 * of k² it has complex poles, so that a good local representation needs a complex pair beside real fields:
 *
 *     G(k) ≈ (H/ηo) [Σ w_m/(1 + ℓ_m² k²) + Re(w_c/(1 + ℓ_c² k²))],   lengths in units of H.
 *
 * Each term is the steady state of ∂t u = 4νo [∂r((1/r)∂r(r u)) + (w (H/ηo) F − u)/ℓ²]. The factor 4νo gives G at
 * k² + s/4νo for a stress that grows as exp(st), hence the exact limit u = F/(ηo √(s/νo)) for a sudden stress on deep oil.
 */
import { exp, square } from '../numerics/elementary.ts'

export interface RealField {
  /** Weight w. */
  weight: number
  /** Length ℓ in units of the depth H. */
  length: number
}

export interface BathFields {
  real: readonly RealField[]
  /** Complex weight w_c and 1/ℓ_c² in units of 1/H², each [real, imaginary]. */
  pair?: { weight: readonly [number, number]; decay: readonly [number, number] }
}

/** Number of field values per face. */
export const fieldCount = (fields: BathFields): number => fields.real.length + (fields.pair ? 2 : 0)

/** No bath at all: a rigid floor under the film. */
export const NO_FIELDS: BathFields = { real: [] }

/**
 * Exact creeping-flow response u/F (m/s per Pa) to a tangential stress of wavenumber k (1/m):
 * (1/2ηo k)(sinh²x − x²)/(sinh x cosh x − x), x = kH.
 * @param depth H, m
 * @param viscosity ηo, Pa·s
 */
export function exactResponse(k: number, depth: number, viscosity: number): number {
  const x = k * depth
  if (x < 0.02) return (depth / (4 * viscosity)) * (1 - (x * x) / 15)
  if (x > 300) return 1 / (2 * viscosity * k)
  const up = exp(x)
  const s = (up - 1 / up) / 2
  return (s * s - x * x) / ((s * (up + 1 / up)) / 2 - x) / (2 * viscosity * k)
}

/** Response of a set of fields to a steady stress of wavenumber k; see exactResponse. */
export function fieldResponse(fields: BathFields, k: number, depth: number, viscosity: number): number {
  const q = square(k * depth)
  let sum = 0
  for (const { weight, length } of fields.real) sum += weight / (1 + length * length * q)
  if (fields.pair) {
    const [wr, wi] = fields.pair.weight
    const [a, b] = fields.pair.decay
    // Re(w κ/(κ + q)), κ = a + ib
    const re = wr * a - wi * b
    const im = wr * b + wi * a
    sum += (re * (a + q) + im * b) / (square(a + q) + b * b)
  }
  return (sum * depth) / viscosity
}

/** Six fields: within 0.13 % of the exact response for kH from 0 to 520. Fitted for this project. */
export const DEEP_FIELDS: BathFields = {
  real: [
    { weight: 0.0008962760664, length: 0.001254187789 },
    { weight: 0.002425176707, length: 0.005901849406 },
    { weight: 0.008128447215, length: 0.02064333621 },
    { weight: 0.02953761949, length: 0.07207894182 },
  ],
  pair: { weight: [0.2090124805, 0.1970111679], decay: [7.45835289, -2.806598544] },
}

/** Four fields: within 0.27 % for kH from 0 to 60. Fitted for this project. */
export const SHORT_FIELDS: BathFields = {
  real: [
    { weight: 0.0088613135667, length: 0.0121198639052 },
    { weight: 0.0288262467996, length: 0.062867361503 },
  ],
  pair: { weight: [0.212312439634, 0.221936113183], decay: [8.05619166015, -2.41685749805] },
}

/** Three real fields: within 1 % for 0.01 ≤ kH ≤ 60. The reference case's numbers were computed with them. */
export const THREE_FIELDS: BathFields = {
  real: [
    { weight: 0.02457246, length: 0.05272327 },
    { weight: 0.00746466, length: 0.0103621 },
    { weight: 0.21796288, length: 0.29035473 },
  ],
}
