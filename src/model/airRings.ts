/**
 * The vapour flux from the rings of a drop as a matrix on the vapour at their surface: j_i = (D/R) Σ A_ij Δc_j, with the air
 * over the drop one body (`airKernel.ts`). Galerkin's method: the flux in a ring is as that of a wide disc near its edge,
 * 1/√(1 − e^−πd/δ) at the distance d (exact for δ ≪ R, by a conformal map, and 1/√(R² − r²) for δ ≫ R), and the vapour
 * is met in the mean over the ring with the same weight. For that the outer rings are cut into narrower ones. Uniform
 * vapour then gives 4 D R Δc within 1e-5 and each ring's flux within 0.3 %, from 20 cells on.
 */
import { exp, log, square } from '../numerics/elementary.ts'
import { invert } from '../numerics/invert.ts'
import { vapourBetween } from './airKernel.ts'

/** The last ring is cut in so many parts an octave of the distance from the edge, over so many octaves. */
const PARTS = 3
const OCTAVES = 8
/** So many rings before it are cut in three. */
const CUT = 7

/** Narrower faces for the rings of `s`, and the ring in which each part lies. */
function narrowed(s: Float64Array): { faces: Float64Array; ring: number[] } {
  const last = s.length - 2
  const faces: number[] = []
  const ring: number[] = []
  const cut = (i: number, parts: number, ratio: number) => {
    for (let k = 0; k < parts; k++) {
      faces.push(k === 0 ? s[i] : 1 - (1 - s[i]) * exp(k * log(ratio)))
      ring.push(i)
    }
  }
  for (let i = 0; i < last; i++) {
    if (i < last - CUT) cut(i, 1, 1)
    else cut(i, 3, exp(log((1 - s[i + 1]) / (1 - s[i])) / 3))
  }
  cut(last, PARTS * OCTAVES + 1, exp(-Math.LN2 / PARTS))
  faces.push(1)
  return { faces: Float64Array.from(faces), ring }
}

/** ∫ of the flux's shape over 1 − s² from 0 to z. */
function shapeWithin(z: number, delta: number): number {
  const c = (0.5 * Math.PI) / delta
  if (c * z < 1e-6) return 2 * Math.sqrt(z / Math.max(c, 1e-300))
  const q = Math.sqrt(1 - exp(-c * z))
  return (2 / c) * log(1 + q) + z
}

/** Weight of each part within its ring, so that a ring's mean is 1. */
function weightsOf(faces: Float64Array, ring: readonly number[], delta: number): Float64Array {
  const z = faces.map((s) => 1 - square(s))
  const rings = ring[ring.length - 1]! + 1
  const [whole, wide] = [new Float64Array(rings), new Float64Array(rings)]
  const shape = Float64Array.from(ring, (i, p) => {
    const within = shapeWithin(z[p], delta) - shapeWithin(z[p + 1], delta)
    whole[i] += within
    wide[i] += z[p] - z[p + 1]
    return within / (z[p] - z[p + 1])
  })
  return shape.map((v, p) => (v * wide[ring[p]!]) / whole[ring[p]!])
}

/**
 * A for rings with faces s[0] = 0 … s[n] = 1, row by row.
 * @param delta thickness of the layer in drop radii, above 0; Infinity for still air
 */
export function fluxMatrix(s: Float64Array, delta: number): Float64Array {
  const n = s.length - 1
  const { faces, ring } = narrowed(s)
  const parts = ring.length
  const weight = weightsOf(faces, ring, Math.min(delta, 1e6))
  const m = vapourBetween(faces, delta)
  const size = parts + 1
  const q = new Float64Array(n * n)
  for (let p = 0; p < parts; p++)
    for (let u = 0; u < parts; u++) {
      const at = p * size + u
      const between = m[at + size + 1] - m[at + size] - m[at + 1] + m[at]
      q[ring[p]! * n + ring[u]!] += weight[p] * weight[u] * between
    }
  invert(q, 0, n)
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) q[i * n + j] *= 0.5 * (square(s[j + 1]) - square(s[j]))
  return q
}
