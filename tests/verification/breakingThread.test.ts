/**
 * A thread of liquid of radius a breaks by its own tension (inviscid, nothing around it).
 * Answer: ω² = (γ/ρa³) x(1 − x²) I1(x)/I0(x), x = ka; fastest at x = 0.6970188 with ω = 0.3433387 √(γ/ρa³), wavelength
 * 9.0144 a; one wavelength of thread makes a drop of radius (¾ λ a²)^(1/3) = 1.8909 a.
 * Source: Lord Rayleigh, Proc. London Math. Soc. 10, 4 (1878) and 29, 71 (1879); constants derived here.
 */
import { describe, it } from 'vitest'
import { THREAD } from '../../src/model/ring.ts'
import { expectClose } from '../matchers.ts'

/** Modified Bessel function I_n(x), n = 0 or 1, by its power series. */
function besselI(n: 0 | 1, x: number): number {
  let term = n === 0 ? 1 : x / 2
  let sum = 0
  for (let k = 1; term > 1e-20 * sum; k++) {
    sum += term
    term *= (x * x) / (4 * k * (k + n))
  }
  return sum
}

const squaredRate = (x: number): number => (x * (1 - x * x) * besselI(1, x)) / besselI(0, x)

/** Place of the maximum by golden section; good to about the square root of the rounding, mended by a parabola. */
function fastest(): number {
  let [low, high] = [0.5, 0.9]
  const ratio = (Math.sqrt(5) - 1) / 2
  while (high - low > 1e-4) {
    const a = high - ratio * (high - low)
    const b = low + ratio * (high - low)
    if (squaredRate(a) > squaredRate(b)) high = b
    else low = a
  }
  const x = (low + high) / 2
  const d = 1e-3
  const [f, g, h] = [squaredRate(x - d), squaredRate(x), squaredRate(x + d)]
  return x + (0.5 * d * (f! - h!)) / (f! - 2 * g! + h!)
}

describe('breaking thread', () => {
  const x = fastest()
  it('has its fastest wave and rate from the dispersion relation, to 1e-6', () => {
    expectClose(x, 0.6970188, { rtol: 1e-6 })
    expectClose(Math.sqrt(squaredRate(x)), 0.3433387, { rtol: 1e-6 })
  })
  it('gives the wavelength and drop radius that the model uses, to 1e-6', () => {
    const wavelength = (2 * Math.PI) / x
    expectClose(THREAD.wavelength, wavelength, { rtol: 1e-6 })
    expectClose(THREAD.dropRadius, Math.cbrt(0.75 * wavelength), { rtol: 1e-6 })
  })
})
