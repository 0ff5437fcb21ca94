/**
 * A smooth state of the whole coupled system, made up, with its exact rates: the equations of film, alcohol, bath fields
 * and edge are written down here once more, by derivatives of polynomials, independent of the solver's differences.
 */
import type { FilmSystem } from '../../src/model/film.ts'
import type { DropProblem } from '../../src/model/problem.ts'
import { curves, problemWith } from './kernels.ts'

/** Polynomial in r by its coefficients. */
type Poly = readonly number[]
const value = (p: Poly, r: number): number => p.reduceRight((sum, c) => sum * r + c, 0)
const derivative = (p: Poly): Poly => p.slice(1).map((c, k) => c * (k + 1))

export const R = 0.01
const DISH = 0.03
const TOP = 1e-3
/** h = TOP (1 − s²)(1 + s²/2), φ = 0.6 − 0.15 s² + 0.05 s⁴, s = r/R. */
const thickness: Poly = [TOP, 0, (-0.5 * TOP) / R ** 2, 0, (-0.5 * TOP) / R ** 4]
const fraction: Poly = [0.6, 0, -0.15 / R ** 2, 0, 0.05 / R ** 4]
const CUT = 0.6e-3
const ALCOHOL_SPEED = 4e-5
const WATER_SPEED = 2e-5
const DISPERSION = 3e-6
const WEIGHT = 300

/** Closures as polynomials in φ, so that their tables are exact. */
const gammaA: Poly = [0.04, -0.02, 0.006]
const spreading: Poly = [-0.004, 0.012, 0.003]
const levelling: Poly = [0.006, -0.002]
const viscosity: Poly = [0.5, 0.3]
const alcoholLoss: Poly = [0, 1, -0.2]
const waterLoss: Poly = [0.8, -0.9]
const closure = (p: Poly) => (phi: number) => value(p, phi)

export const problem: DropProblem = problemWith({
  startRadius: R,
  dishRadius: DISH,
  depth: 4e-3,
  closures: curves({
    gammaA: closure(gammaA),
    spreading: closure(spreading),
    levelling: closure(levelling),
    viscosity: closure(viscosity),
    alcoholLoss: closure(alcoholLoss),
    waterLoss: closure(waterLoss),
  }),
  evaporation: { kind: 'uniform', alcoholSpeed: ALCOHOL_SPEED, waterSpeed: WATER_SPEED },
  coverage: CUT,
  evaporationCutoff: CUT,
  dispersion: DISPERSION,
  buoyancy: WEIGHT,
})

const h = (r: number) => value(thickness, r)
const phi = (r: number) => value(fraction, r)
const slope = derivative(thickness)
const phiSlope = derivative(fraction)
const along = (p: Poly, r: number) => value(derivative(p), phi(r)) * value(phiSlope, r)

/** ∇²h and its slope: for even polynomials n² c rⁿ⁻². */
const laplacian: Poly = [0, 1, 2].map((k) => (thickness[k + 2] ?? 0) * (k + 2) ** 2)
const pressureSlope = (r: number) =>
  -along(levelling, r) * value(laplacian, r) -
  value(levelling, phi(r)) * value(derivative(laplacian), r) +
  WEIGHT * value(slope, r)

const cover = (r: number) => h(r) ** 2 / (h(r) ** 2 + CUT ** 2)
/** σ' = −(C S)'. */
const tensionSlope = (r: number) => {
  const byH = (2 * h(r) * CUT ** 2) / (h(r) ** 2 + CUT ** 2) ** 2
  return -byH * value(slope, r) * value(spreading, phi(r)) - cover(r) * along(spreading, r)
}
const force = (r: number) =>
  tensionSlope(r) - h(r) * pressureSlope(r) - 0.5 * value(slope, r) ** 2 * along(levelling, r)
/** σ(R⁻) = γo since h vanishes there. */
const linePull = 0.5 * value(levelling, phi(R)) * value(slope, R) ** 2

const filmFlux = (r: number) => {
  const eta = value(viscosity, phi(r))
  return ((cover(r) * h(r) ** 2) / (2 * eta)) * along(gammaA, r) - (h(r) ** 3 / (3 * eta)) * pressureSlope(r)
}

/** Field m under the drop: u = A (s + B s³); outside a cubic in r − R that meets it with the kink of the line pull. */
const inside = (m: number): Poly => {
  const A = 2e-3 * (1 + 0.3 * m) * (m % 2 ? -0.6 : 1)
  return [0, A / R, 0, (A * (0.2 - 0.1 * m)) / R ** 3]
}

interface Field {
  inner: Poly
  outer: Poly
  gain: number
  decay: number
  spread: number
}

/** u'' + u'/r − u/r² of a polynomial in r (inner) at r > 0. */
const bend = (u: number, du: number, ddu: number, r: number) => ddu + du / r - u / (r * r)
const innerBend = ({ inner }: Field, r: number) => {
  const d = derivative(inner)
  // At the axis the odd polynomial's own limit is 0.
  return r === 0 ? 0 : bend(value(inner, r), value(d, r), value(derivative(d), r), r)
}
const outerBend = ({ outer }: Field, r: number) => {
  const d = derivative(outer)
  return bend(value(outer, r - R), value(d, r - R), value(derivative(d), r - R), r)
}

function fieldsOf(sys: FilmSystem): { fields: Field[]; U: number } {
  const inner = Array.from({ length: sys.modes }, (_, m) => inside(m))
  const U = inner.reduce((sum, p) => sum + value(p, R), 0)
  const width = DISH - R
  const fields = inner.map((p, m): Field => {
    const gain = sys.gain[m]!
    const spread = sys.spread[m]!
    const u = value(p, R)
    const d = value(derivative(p), R)
    const jump = (-gain * linePull) / spread
    const field: Field = { inner: p, outer: [u, d + jump, 0, 0], gain, decay: sys.decay[m]!, spread }
    // Both sides must accelerate the edge alike; that sets u'' outside. The cubic term brings u to 0 at the wall.
    const gap = spread * (innerBend(field, R) - outerBend(field, R)) + gain * force(R) - U * jump
    const second = gap / spread
    const third = -(u + (d + jump) * width + (second / 2) * width ** 2) / width ** 3
    return { ...field, outer: [u, d + jump, second / 2, third] }
  })
  return { fields, U }
}

const GAUSS = [
  [-0.906179845938664, 0.236926885056189],
  [-0.538469310105683, 0.478628670499366],
  [0, 0.568888888888889],
  [0.538469310105683, 0.478628670499366],
  [0.906179845938664, 0.236926885056189],
] as const

/** ∫ f(r) s ds over cell i, f of low degree. */
function overCell(sys: FilmSystem, i: number, f: (r: number) => number): number {
  const [a, b] = [sys.mesh.s[i]!, sys.mesh.s[i + 1]!]
  return GAUSS.reduce((sum, [x, w]) => {
    const s = (a + b + x * (b - a)) / 2
    return sum + ((w * (b - a)) / 2) * s * f(s * R)
  }, 0)
}

/** The made-up state on the mesh of `sys` and its exact rates (the four books are left at zero). */
export function manufactured(sys: FilmSystem): { state: Float64Array; rates: Float64Array } {
  const state = new Float64Array(sys.n)
  const rates = new Float64Array(sys.n)
  const { s, area, cells, outer, g } = sys.mesh
  const { fields, U } = fieldsOf(sys)
  const total = (r: number) => fields.reduce((sum, f) => sum + value(f.inner, r), 0)
  const relative = (r: number) => total(r) - (r / R) * U
  const volumeFlux = (r: number) => (r < R ? r * (h(r) * relative(r) + filmFlux(r)) : 0)
  const alcoholFlux = (r: number) =>
    r < R ? phi(r) * volumeFlux(r) - r * h(r) * DISPERSION * value(phiSlope, r) : 0
  const wet = (r: number) => h(r) / (h(r) + CUT)
  const alcohol = (r: number) => wet(r) * ALCOHOL_SPEED * value(alcoholLoss, phi(r))
  const water = (r: number) => wet(r) * WATER_SPEED * value(waterLoss, phi(r))
  for (let i = 0; i < cells; i++) {
    const at = i * sys.block
    const mean = (f: (r: number) => number) => (R * R * overCell(sys, i, f)) / area[i]!
    state[at] = mean(h)
    state[at + 1] = mean((r) => h(r) * phi(r))
    const change = (flux: (r: number) => number) => (flux(s[i]! * R) - flux(s[i + 1]! * R)) / area[i]!
    rates[at] = change(volumeFlux) - mean(alcohol) - mean(water)
    rates[at + 1] = change(alcoholFlux) - mean(alcohol)
  }
  const drivenBy = (values: number[], m: number) =>
    sys.state.linkRate.reduce(
      (sum, rate, c) => sum + (sys.state.linkTo[c] === m ? rate * values[sys.state.linkFrom[c]!]! : 0),
      0,
    )
  for (let f = 1; f <= cells; f++) {
    const r = s[f]! * R
    const values = fields.map(({ inner }) => value(inner, r))
    fields.forEach((field, m) => {
      const at = (f - 1) * sys.block + 2 + m
      state[at] = values[m]!
      rates[at] =
        field.spread * innerBend(field, r) +
        field.gain * force(r) -
        field.decay * values[m]! +
        drivenBy(values, m) +
        s[f]! * U * value(derivative(field.inner), r)
    })
  }
  for (let k = 1; k < outer; k++) {
    const r = R + g[k]! * (DISH - R)
    const values = fields.map((field) => value(field.outer, r - R))
    fields.forEach((field, m) => {
      const at = sys.outerAt + m * (outer - 1) + k - 1
      state[at] = values[m]!
      rates[at] =
        field.spread * outerBend(field, r) -
        field.decay * values[m]! +
        drivenBy(values, m) +
        (1 - g[k]!) * U * value(derivative(field.outer), r - R)
    })
  }
  state[sys.radiusAt] = R
  rates[sys.radiusAt] = U
  return { state, rates }
}
