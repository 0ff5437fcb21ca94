/**
 * Vapour of a disc at the bottom of a layer of air of thickness δ, with no vapour at its top and no flux beside the disc.
 * By Hankel transform c^(k) = tanh(kδ)/(D k) j^(k). A disc of radius a with unit flux density puts over the disc of radius b
 *
 *     M(a, b) = D ∫0^b c r dr = ∫0^∞ tanh(kδ)/k² a J1(ka) b J1(kb) dk,
 *
 * from which rings follow as differences. Lengths in units of the drop's radius. Three forms, derived for Rimtide:
 * δ → ∞ by elliptic integrals (a Weber–Schafheitlin integral, DLMF 10.22.56); a thick layer as that less the integral over
 * (1 − tanh kδ), which ends at some 20/δ; a thin one by the layer's eigenmodes q_n = (n − ½)π/δ,
 * tanh(kδ)/k = (2/δ) Σ 1/(k² + q_n²), with DLMF 10.22.69 for each.
 */
import { besselJ1, scaledI1, scaledK1 } from '../numerics/besselOne.ts'
import { exp, square } from '../numerics/elementary.ts'
import { ellipticKE } from '../numerics/elliptic.ts'
import { exponentialE3 } from '../numerics/exponentialIntegral.ts'

/** Layers thicker than this (in drop radii) are thick. */
const THICK = 0.3
/** Where 1 − tanh kδ and e^−qd are below rounding. */
const NOTHING = 40
/** Eigenmodes that are summed one by one; the rest, where I1 K1 is e^−qd/(2q√(ab)), is one integral. */
const EIGENMODES = 80

/** M(a, b) without a layer's top, b ≤ a. */
function endless(a: number, b: number): number {
  if (b === 0) return 0
  const m = square(b / a)
  if (m === 1) return (4 * a * a * a) / (3 * Math.PI)
  const [K, E] = ellipticKE(m)
  return ((2 * a * a * a) / (3 * Math.PI)) * ((1 + m) * E - (1 - m) * K)
}

/** Nodes and weights of Gauss and Legendre on [−1, 1], eight points: Abramowitz & Stegun, table 25.4. */
const GAUSS = [
  [0.1834346424956498, 0.362683783378362],
  [0.525532409916329, 0.3137066458778873],
  [0.7966664774136267, 0.2223810344533745],
  [0.9602898564975363, 0.1012285362903763],
] as const

/** Adds to m what the top of a thick layer takes away. */
function addTop(m: Float64Array, faces: Float64Array, delta: number): void {
  const n = faces.length
  const most = (0.5 * NOTHING) / delta
  const panels = Math.ceil(Math.max(8, 0.7 * most))
  const half = (0.5 * most) / panels
  const wave = new Float64Array(n)
  for (let p = 0; p < panels; p++)
    for (const [node, weight] of GAUSS)
      for (const side of [-1, 1]) {
        const k = half * (2 * p + 1 + side * node)
        const lacking = (2 * half * weight) / (1 + exp(2 * k * delta))
        for (let f = 0; f < n; f++) wave[f] = (faces[f] * besselJ1(k * faces[f])) / k
        for (let f = 0; f < n; f++) {
          const scale = lacking * wave[f]
          for (let g = 0; g <= f; g++) m[f * n + g] -= scale * wave[g]
        }
      }
}

/** M for a thin layer: δ b²/2 − (2ab/δ) Σ I1(q b) K1(q a)/q², b ≤ a. */
function layThin(m: Float64Array, faces: Float64Array, delta: number): void {
  const n = faces.length
  const unit = Math.PI / delta
  const outward = new Float64Array(n)
  const inward = new Float64Array(n)
  m.fill(0)
  for (let mode = 0; mode < EIGENMODES; mode++) {
    const q = (mode + 0.5) * unit
    for (let f = 1; f < n; f++) {
      inward[f] = scaledI1(q * faces[f]) / (q * q)
      outward[f] = scaledK1(q * faces[f])
    }
    for (let f = 1; f < n; f++)
      for (let g = f; g > 0; g--) {
        const apart = q * (faces[f] - faces[g])
        if (apart > NOTHING) break
        m[f * n + g] += inward[g] * outward[f] * exp(-apart)
      }
  }
  const last = EIGENMODES * unit
  for (let f = 1; f < n; f++)
    for (let g = 1; g <= f; g++) {
      const [a, b] = [faces[f], faces[g]]
      const rest = exponentialE3(last * (a - b)) / (2 * unit * last * last * Math.sqrt(a * b))
      m[f * n + g] = 0.5 * delta * b * b - ((2 * a * b) / delta) * (m[f * n + g] + rest)
    }
}

/**
 * M(a, b) for all pairs of faces (ascending, the first may be 0), row by row, n × n.
 * @param delta thickness of the layer in drop radii, above 0; Infinity for still air
 */
export function vapourBetween(faces: Float64Array, delta: number): Float64Array {
  const n = faces.length
  const m = new Float64Array(n * n)
  if (delta > THICK) {
    for (let f = 1; f < n; f++) for (let g = 1; g <= f; g++) m[f * n + g] = endless(faces[f], faces[g])
    if (delta < Number.POSITIVE_INFINITY) addTop(m, faces, delta)
  } else layThin(m, faces, delta)
  for (let f = 0; f < n; f++) for (let g = 0; g < f; g++) m[g * n + f] = m[f * n + g]
  return m
}
