/**
 * The modified Bessel functions K0 and K1 and the integral ∫0^x K0, for x > 0; relative error below 1e-13.
 *
 * Up to x = 2 their power series (DLMF 10.31.1–2, the integral term by term). Beyond, √x e^x times K0, K1 and
 * ∫x^∞ K0 as Chebyshev series in 1/x; their coefficients are found when the module is loaded, from the integrals
 * K_ν(x) = ∫0^∞ exp(−x cosh t) cosh νt dt (DLMF 10.32.9) and ∫x^∞ K0 = ∫0^∞ exp(−x cosh t)/cosh t dt by the trapezoidal
 * rule, whose error falls faster than any power of its step for such integrands.
 */
import { exp, log } from './elementary.ts'

/** Euler's constant. */
const EULER = 0.5772156649015329
/** Where the power series are left. */
const SPLIT = 2

/** Sum over k of (x²/4)^k/(k!)² · term(k). */
function series(x: number, term: (k: number) => number): number {
  const t = 0.25 * x * x
  let power = 1
  let sum = term(0)
  for (let k = 1; k < 16; k++) {
    power *= t / (k * k)
    sum += power * term(k)
  }
  return sum
}

/** 1 + 1/2 + … + 1/k. */
const HARMONIC = Float64Array.from({ length: 18 }, () => 0)
for (let k = 1; k < HARMONIC.length; k++) HARMONIC[k] = HARMONIC[k - 1] + 1 / k

const smallK0 = (x: number): number => {
  const lead = -log(0.5 * x) - EULER
  return series(x, (k) => lead + HARMONIC[k])
}

const smallK1 = (x: number): number => {
  const lead = log(0.5 * x) + EULER
  return 1 / x + 0.5 * x * series(x, (k) => (lead - 0.5 * (HARMONIC[k] + HARMONIC[k + 1])) / (k + 1))
}

const smallIntegral = (x: number): number => {
  const lead = -log(0.5 * x) - EULER
  return x * series(x, (k) => (lead + HARMONIC[k] + 1 / (2 * k + 1)) / (2 * k + 1))
}

/** √x e^x ∫0^∞ exp(−x cosh t) weight(cosh t) dt by the trapezoidal rule, x ≥ SPLIT; 1/x = 0 gives its limit √(π/2). */
function scaled(x: number, weight: (cosh: number) => number): number {
  if (x > 1e12) return Math.sqrt(0.5 * Math.PI)
  // In τ = t √x the integrand has a width of order 1 for every x.
  const step = 0.08
  const root = Math.sqrt(x)
  let sum = 0.5 * weight(1)
  for (let j = 1; ; j++) {
    const half = exp((0.5 * j * step) / root)
    const sinh = 0.5 * (half - 1 / half)
    const rise = 2 * sinh * sinh
    if (x * rise > 44) break
    sum += exp(-x * rise) * weight(1 + rise)
  }
  return step * sum
}

const TERMS = 30

/** Chebyshev coefficients over y = 2 SPLIT/x − 1 in [−1, 1]. */
function coefficients(weight: (cosh: number) => number): Float64Array {
  // cos(π(j + ½)/TERMS) by the recurrence of the Chebyshev polynomials from half-angle roots would do as well; the nodes
  // need not be exact, since values and polynomials are taken at the same place.
  const nodes = Float64Array.from({ length: TERMS }, (_, j) => node(j))
  const values = nodes.map((y) => scaled(y <= -1 ? Number.POSITIVE_INFINITY : (2 * SPLIT) / (1 + y), weight))
  const c = new Float64Array(TERMS)
  nodes.forEach((y, j) => {
    let before = 1
    let here = y
    c[0] += values[j] / TERMS
    for (let m = 1; m < TERMS; m++) {
      c[m] += (2 * values[j] * here) / TERMS
      const next = 2 * y * here - before
      before = here
      here = next
    }
  })
  return c
}

/** cos(π(j + ½)/TERMS) by Taylor's series on [0, π/2]: the same digits everywhere. */
function node(j: number): number {
  const angle = (Math.PI * (j + 0.5)) / TERMS
  const near = angle > 0.5 * Math.PI ? Math.PI - angle : angle
  let term = 1
  let sum = 1
  for (let k = 2; k < 32; k += 2) {
    term *= (-near * near) / (k * (k - 1))
    sum += term
  }
  return angle > 0.5 * Math.PI ? -sum : sum
}

const FAR_K0 = coefficients(() => 1)
const FAR_K1 = coefficients((cosh) => cosh)
const FAR_REST = coefficients((cosh) => 1 / cosh)

/** Clenshaw's sum at x ≥ SPLIT, with the factor e^−x/√x. */
function far(c: Float64Array, x: number): number {
  const y = (2 * SPLIT) / x - 1
  let a = 0
  let b = 0
  for (let m = TERMS - 1; m > 0; m--) {
    const next = 2 * y * a - b + c[m]
    b = a
    a = next
  }
  return ((y * a - b + c[0]) * exp(-x)) / Math.sqrt(x)
}

/** K0(x), x > 0. */
export const besselK0 = (x: number): number => (x <= SPLIT ? smallK0(x) : far(FAR_K0, x))

/** K1(x), x > 0. */
export const besselK1 = (x: number): number => (x <= SPLIT ? smallK1(x) : far(FAR_K1, x))

/** ∫0^x K0(t) dt, x ≥ 0; π/2 at infinity. */
export const integralK0 = (x: number): number => {
  if (x === 0) return 0
  return x <= SPLIT ? smallIntegral(x) : 0.5 * Math.PI - far(FAR_REST, x)
}

/** x K1(x), x ≥ 0: 1 at 0. It is 1 − ∫0^x t K0(t) dt. */
export const xK1 = (x: number): number => (x < 1e-300 ? 1 : x * besselK1(x))

/** x K0(x), x ≥ 0: 0 at 0. With ∫0^x K0 it gives ∫0^x t K1(t) dt = ∫0^x K0 − x K0(x). */
export const xK0 = (x: number): number => (x < 1e-300 ? 0 : x * besselK0(x))

/** −ln x − K0(x), x ≥ 0, finite at 0 (γ − ln 2): the logarithm taken out of K0. */
export const withoutLog = (x: number): number => (x < 1e-300 ? EULER - Math.LN2 : -log(x) - besselK0(x))
