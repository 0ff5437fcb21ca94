/**
 * The bath's response to a tangential stress, as a sum of local fields.
 *
 * Unsteady Stokes flow in a layer of depth H over a no-slip floor, flat closed surface, stress of wavenumber k that grows
 * as exp(st): the stream function is made of cosh and sinh of kz and qz, q² = k² + s/νo, and the exact response u/F is
 *
 *     G(k, s) = (H/ηo) [2 c C − 2 − (q/k + k/q) σ Σ]/[(q² − k²)(c Σ/q − C σ/k)]   in units of H,
 *     c, σ = cosh, sinh k;   C, Σ = cosh, sinh q
 *
 * (s → 0: (1/2k)(σ² − k²)/(σ c − k); deep: 1/(k + q), hence u = F/(ηo √(s/νo)) for a sudden stress; k → 0: decay rates
 * νo x²/H² with tan x = x, x = 4.493, 7.725 …).
 *
 * No sum of fields that spread alike gives both limits and what lies between. Fields with spreading, decay and inertia of
 * their own do, where some drive each other:
 *
 *     ∂t u_m = νo [d_m ∂r((1/r)∂r(r u_m)) − Σ_n K_mn u_n/H²] + g_m (νo/ηo H) F,   u = Σ u_m.
 */
import { exp, square } from '../numerics/elementary.ts'
import { invert } from '../numerics/invert.ts'

export interface RealField {
  /** Weight w. */
  weight: number
  /** Length ℓ in units of the depth H. */
  length: number
}

/**
 * Fields with a common inertia: u_m answers w/(1 + ℓ²(k² + s/4νo)), which is right for a steady and for a sudden stress, and
 * up to 16 % too high in between.
 */
export interface CommonFields {
  real: readonly RealField[]
}

/** Three fields that drive each other, or one alone; lengths in units of H, rates of νo/H², speeds of F H/ηo. */
export interface DrivenFields {
  /** d_m, how fast each spreads in units of νo. */
  spread: readonly number[]
  /** K, a row a field: decay on the diagonal, minus the rate at which another one drives it beside. */
  rates: readonly (readonly number[])[]
  /** g_m, answer to the stress. */
  gain: readonly number[]
}

/** Fields with inertia of their own, in groups without influence on each other. */
export interface OwnFields {
  groups: readonly DrivenFields[]
}

export type BathFields = CommonFields | OwnFields

/** Number of field values per face. */
export const fieldCount = (fields: BathFields): number =>
  'real' in fields ? fields.real.length : fields.groups.reduce((sum, { gain }) => sum + gain.length, 0)

/** Field number `from` drives number `to` at a rate, 1/s. */
export interface FieldLink {
  to: number
  from: number
  rate: number
}

/** What the equations of all fields hold. */
export interface FieldRates {
  /** m²/s */
  spread: readonly number[]
  /** 1/s */
  decay: readonly number[]
  /** m/s² per Pa */
  gain: readonly number[]
  /** Number of fields in each group. */
  groups: readonly number[]
  /** Group by group, all that drive each other, row by row. */
  links: readonly FieldLink[]
}

/** @param kinematic νo, m²/s @param viscosity ηo, Pa·s @param depth H, m */
export function fieldRates(
  fields: BathFields,
  kinematic: number,
  viscosity: number,
  depth: number,
): FieldRates {
  const response = depth / viscosity
  if ('real' in fields) return commonRates(fields, 4 * kinematic, response, depth)
  const { groups } = fields
  const unit = kinematic / (depth * depth)
  const links: FieldLink[] = []
  let first = 0
  for (const { rates } of groups) {
    rates.forEach((row, i) => {
      row.forEach((rate, j) => {
        if (i !== j) links.push({ to: first + i, from: first + j, rate: -unit * rate })
      })
    })
    first += rates.length
  }
  return {
    spread: groups.flatMap(({ spread }) => spread.map((d) => kinematic * d)),
    decay: groups.flatMap(({ rates }) => rates.map((row, i) => unit * row[i]!)),
    gain: groups.flatMap(({ gain }) => gain.map((g) => unit * g * response)),
    groups: groups.map(({ gain }) => gain.length),
    links,
  }
}

function commonRates({ real }: CommonFields, spreading: number, response: number, depth: number): FieldRates {
  const unit = spreading / (depth * depth)
  const decay = real.map(({ length }) => unit / (length * length))
  return {
    spread: real.map(() => spreading),
    decay,
    gain: real.map(({ weight }, m) => decay[m]! * weight * response),
    groups: real.map(() => 1),
    links: [],
  }
}

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

/**
 * Exact response u/F (m/s per Pa) to a stress of wavenumber k (1/m) that grows as exp(st): G(k, s) of the head of this file.
 * @param growth s H²/νo, above 0 (below 0.1 rounding begins to tell, where 1 ≪ kH)
 */
export function unsteadyResponse(k: number, depth: number, viscosity: number, growth: number): number {
  const x = k * depth
  const q = Math.sqrt(x * x + growth)
  // cosh and sinh divided by exp(x)/2 and exp(q)/2.
  const [c, s] = [1 + exp(-2 * x), 1 - exp(-2 * x)]
  const [C, S] = [1 + exp(-2 * q), 1 - exp(-2 * q)]
  const top = 2 * c * C - 8 * exp(-x - q) - (q / x + x / q) * s * S
  return ((depth / viscosity) * top) / (growth * ((c * S) / q - (C * s) / x))
}

/**
 * Response of a set of fields to a stress of wavenumber k that grows as exp(st); see exactResponse.
 * @param growth s H²/νo; 0: a steady stress
 */
export function fieldResponse(
  fields: BathFields,
  k: number,
  depth: number,
  viscosity: number,
  growth = 0,
): number {
  const { spread, decay, gain, links } = fieldRates(fields, 1, 1, 1)
  const n = gain.length
  const matrix = new Float64Array(n * n)
  for (let m = 0; m < n; m++) matrix[m * n + m] = growth + decay[m]! + spread[m]! * square(k * depth)
  for (const { to, from, rate } of links) matrix[to * n + from] = -rate
  invert(matrix, 0, n)
  let sum = 0
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) sum += matrix[i * n + j]! * gain[j]!
  return (sum * depth) / viscosity
}

/**
 * Six fields: within 0.13 % of the steady response for kH from 0 to 520; within 2 % of the unsteady one for kH 0.01 to 60
 * and s H²/νo 0.1 to 10 000, within 4 % up to s H²/νo = 1 000 000. Decay rates as k → 0: 20.19 and 59.68 νo/H², as exact.
 *
 * Fitted for this project: relative deviations from G(k, 0) at 120 wavenumbers and G(k, s) at 700 pairs (and more loosely at
 * kH up to 520 and s H²/νo up to 1 000 000), each divided by the tolerance wanted there, raised to the powers 1, 2, 4, 7 in
 * turn, in least squares over all constants from random starts (SciPy least_squares with analytic derivatives), the two
 * slowest rates held at their exact values, leading minors of the rates kept above 0 (their factorisation is not pivoted).
 */
export const DEEP_FIELDS: BathFields = {
  groups: [
    {
      spread: [3.28785202, 14.4239844, 0.674858639],
      rates: [
        [1965289.95, -207768.976, 457426.266],
        [733276.439, 28693.3355, -5157341.05],
        [110616.864, -12056.4156, 50654.5099],
      ],
      gain: [1593.81471, 625.541704, 90.8373013],
    },
    {
      spread: [50.5346084, 2.22324936, 0.764102798],
      rates: [
        [651.756499, 209.563007, 589.311724],
        [17.0560101, 156.918538, 378.541349],
        [167.391339, 26.1374373, 95.0268038],
      ],
      gain: [16.9680746, 14.0996843, 0.868570274],
    },
  ],
}

/**
 * Four fields: within 0.26 % of the steady response for kH from 0 to 60, within 2.8 % of the unsteady one for the same and
 * s H²/νo 0.1 to 10 000; beyond, their shortest length is too long. Fitted as DEEP_FIELDS.
 */
export const SHORT_FIELDS: BathFields = {
  groups: [
    {
      spread: [3.55283351],
      rates: [[24841.0841]],
      gain: [216.927523],
    },
    {
      spread: [1.78680592, 27.9816259, 2.77039366],
      rates: [
        [372.306625, 323.008813, -3143.83785],
        [427.345359, 456.404535, -3702.6366],
        [-12.9460298, -9.71662988, 141.293438],
      ],
      gain: [15.832262, 21.4585175, 0.185752898],
    },
  ],
}

/** Three real fields: within 1 % for 0.01 ≤ kH ≤ 60. The reference case's numbers were computed with them. */
export const THREE_FIELDS: BathFields = {
  real: [
    { weight: 0.02457246, length: 0.05272327 },
    { weight: 0.00746466, length: 0.0103621 },
    { weight: 0.21796288, length: 0.29035473 },
  ],
}
