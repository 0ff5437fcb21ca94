/**
 * A creeping bath of depth H over a rigid floor, closed dish, under a tangential stress on its flat surface.
 * Answers: uniform stress τ: u = τH/(4ηo). Stress of wavenumber k: u = τ G(k),
 *   G = (1/2ηo k)(sinh²x − x²)/(sinh x cosh x − x), x = kH. Sudden stress on deep oil: u = (2τ/ηo)√(νo t/π), in
 *   general u = τ/(ηo √(s/νo)) for a stress growing as exp(st), s ≫ νo k².
 * Sources: lid-driven layer with no net flux (textbook; e.g. G. K. Batchelor, An Introduction to Fluid Dynamics, §4,
 * from memory); G(k) and the sudden limit (Stokes' first problem with given stress) derived for this project.
 */
import { describe, expect, it } from 'vitest'
import {
  type BathFields,
  DEEP_FIELDS,
  exactResponse,
  fieldResponse,
  SHORT_FIELDS,
  unsteadyResponse,
} from '../../src/model/bathFields.ts'
import type { DropProblem } from '../../src/model/problem.ts'
import { expectClose } from '../matchers.ts'
import { bench, besselJ, curves, J1_ZEROS, lineSlope, problemWith, uniform } from './kernels.ts'

const viscosity = 0.05
const dish = 0.07

/** Creeping flow by finite differences across the layer: stream function of one wavenumber, u = ψ', ψ = 0 at both walls. */
function layerByDifferences(x: number, points: number): number {
  // (D² − x²)² ψ = 0 on 0…1; ψ(0) = ψ'(0) = ψ(1) = 0, ψ''(1) = 1: the answer is ψ'(1) in units of τH/ηo.
  const d = 1 / points
  const n = points + 3
  const A = Array.from({ length: n }, () => new Float64Array(n + 1))
  const at = (i: number) => i + 1
  A[0]!.set([1], at(0))
  A[1]!.set([1], at(1))
  A[1]!.set([-1], at(-1))
  A[2]!.set([1], at(points))
  A[3]!.set([1 / d ** 2, -2 / d ** 2, 1 / d ** 2], at(points - 1))
  A[3]![n] = 1
  for (let i = 1; i < points; i++) {
    const q = x * x * d * d
    A[3 + i]!.set([1, -4 - 2 * q, 6 + 4 * q + q * q, -4 - 2 * q, 1], at(i - 2))
  }
  for (let c = 0; c < n; c++) {
    let best = c
    for (let r = c + 1; r < n; r++) if (Math.abs(A[r]![c]!) > Math.abs(A[best]![c]!)) best = r
    ;[A[c], A[best]] = [A[best]!, A[c]!]
    for (let r = c + 1; r < n; r++) {
      const factor = A[r]![c]! / A[c]![c]!
      if (factor !== 0) for (let k = c; k <= n; k++) A[r]![k] = A[r]![k]! - factor * A[c]![k]!
    }
  }
  const psi = new Float64Array(n)
  for (let r = n - 1; r >= 0; r--) {
    let sum = A[r]![n]!
    for (let k = r + 1; k < n; k++) sum -= A[r]![k]! * psi[k]!
    psi[r] = sum / A[r]![r]!
  }
  return (psi[at(points + 1)]! - psi[at(points - 1)]!) / (2 * d)
}

describe('response of the bath as a formula', () => {
  it('exactResponse solves the creeping-flow layer', () => {
    for (const x of [0.1, 1, 3, 8, 15]) {
      const coarse = layerByDifferences(x, 60)
      const fine = layerByDifferences(x, 120)
      expectClose(exactResponse(x, 1, 1), fine + (fine - coarse) / 3, { rtol: 1e-3 }, `kH = ${x}`)
    }
  })
  it('exactResponse has its limits H/4ηo and 1/(2ηo k), without a step where the formula changes', () => {
    expectClose(exactResponse(1e-9, 0.01, viscosity), 0.01 / (4 * viscosity), { rtol: 1e-12 })
    expectClose(exactResponse(1e6, 0.01, viscosity), 1 / (2 * viscosity * 1e6), { rtol: 1e-12 })
    for (const x of [0.02, 300])
      expectClose(exactResponse(x * (1 - 1e-9), 1, 1), exactResponse(x * (1 + 1e-9), 1, 1), { rtol: 1e-7 })
  })
  const worst = (fields: BathFields, from: number, to: number): number => {
    let most = 0
    for (let i = 0; i <= 2000; i++) {
      const k = from * (to / from) ** (i / 2000)
      most = Math.max(most, Math.abs(fieldResponse(fields, k, 1, 1) / exactResponse(k, 1, 1) - 1))
    }
    return most
  }
  it('DEEP_FIELDS are within 0.2 % for 0.01 ≤ kH ≤ 500', () => {
    expect(worst(DEEP_FIELDS, 0.01, 500)).toBeLessThan(2e-3)
  })
  it('SHORT_FIELDS are within 0.3 % for 0.01 ≤ kH ≤ 60', () => {
    expect(worst(SHORT_FIELDS, 0.01, 60)).toBeLessThan(3e-3)
  })
  it('a uniform stress drags a closed layer at τH/(4ηo)', () => {
    for (const fields of [DEEP_FIELDS, SHORT_FIELDS])
      expectClose(fieldResponse(fields, 0, 0.01, viscosity), 0.01 / (4 * viscosity), { rtol: 2e-3 })
  })
})

/** A film that covers nearly the dish and pulls on the bath with σ = γo − κh, κ small: h prescribes the stress. */
const kappa = 1e-6
const nearly = 0.998 * dish

function covered(given: Partial<DropProblem>, thickness: (s: number) => number, cells: number) {
  const coverage = 1e-3
  const problem = problemWith({
    dishRadius: dish,
    startRadius: nearly,
    oilViscosity: viscosity,
    coverageLaw: 'linear',
    coverage,
    closures: curves({ spreading: kappa * coverage }),
    ...given,
  })
  return bench(problem, { cells, outer: 4, faces: uniform(cells), rtol: 1e-6 }, thickness)
}

/** Surface speed at the faces under a stress that grows as exp(t/time), by the engine's own matrix. */
function answer(given: Partial<DropProblem>, thickness: (s: number) => number, time: number, cells = 160) {
  const { sys, stepper } = covered(given, thickness, cells)
  const rates = sys.vector()
  sys.linearise(stepper.y, rates)
  expect(sys.factor(time)).toBe(true)
  sys.solve(rates)
  const speeds = new Float64Array(cells + 1)
  for (let f = 1; f <= cells; f++) {
    for (let m = 0; m < sys.modes; m++) speeds[f]! += rates[(f - 1) * sys.block + 2 + m]!
  }
  return { speeds, s: sys.mesh.s }
}

/** u/τ for the stress τ J1(kr): the response to h0 + a J0 less that to the even layer that ends alike. */
function bessel(given: Partial<DropProblem>, n: number, time: number): number {
  const zero = J1_ZEROS[n]!
  const k = zero / dish
  const h0 = 1e-3
  const a = 5e-4
  const profile = (s: number) => h0 + a * besselJ(0, (zero * nearly * s) / dish)
  const cells = 160
  const lastMiddle = Math.sqrt((((cells - 1) / cells) ** 2 + 1) / 2)
  const wavy = answer(given, profile, time, cells)
  const even = answer(given, () => profile(lastMiddle), time, cells)
  // τ = −σ' read as ∂rσ = κ a k J1. Least squares over the inner nine tenths.
  let top = 0
  let bottom = 0
  for (let f = 1; f < 0.9 * cells; f++) {
    const stress = kappa * a * k * besselJ(1, k * nearly * wavy.s[f]!)
    top += stress * (wavy.speeds[f]! - even.speeds[f]!)
    bottom += stress * stress
  }
  return top / bottom
}

describe('response of the bath as it is solved', () => {
  for (const n of [0, 2, 4]) {
    it(`a steady stress J1(kr), zero ${n + 1}, is answered within 0.2 % of G(k), kH 0.01 to 500`, () => {
      const k = J1_ZEROS[n]! / dish
      for (const x of [0.01, 0.1, 0.5, 2, 8, 30, 120, 500]) {
        const depth = x / k
        // With the inertia of the bath switched off, within a time that is long for it and short for the film.
        const found = bessel({ depth, oilDensity: 1e-12 }, n, 1e-6)
        expectClose(found, exactResponse(k, depth, viscosity), { rtol: 2e-3 }, `kH = ${x}`)
      }
    })
  }
  it('a uniform stress drags the middle of a shallow dish at τH/(4ηo) within 0.5 %', () => {
    const depth = 1e-3
    const slope = 1e-3 / nearly
    const { speeds, s } = answer({ depth, oilDensity: 1e-12 }, (x) => 1e-3 * (1 - x), 1e-6, 400)
    const wanted = (kappa * slope * depth) / (4 * viscosity)
    for (let f = 120; f < 300; f++) expectClose(speeds[f]!, wanted, { rtol: 5e-3 }, `r/R = ${s[f]}`)
  })
  it('a stress growing fast is answered by the unsteady flow within 3 %, at last by 1/(ηo√(s/νo)) within 5 %', () => {
    const k = J1_ZEROS[0] / dish
    const nu = viscosity / 920
    for (const depth of [0.01, 0.05]) {
      for (const ratio of [400, 4000, 40_000]) {
        const s = Math.max(ratio * nu * k * k, (40 * nu) / depth ** 2)
        const found = bessel({ depth }, 0, 1 / s)
        const growth = (s * depth ** 2) / nu
        const label = `H = ${depth}, s H²/νo = ${growth}`
        expectClose(found, unsteadyResponse(k, depth, viscosity, growth), { rtol: 0.03 }, label)
        // Boundary layer √(ν/s) thin against 1/k and the depth: the floor still takes 1/√growth of the speed.
        if (growth > 1e4) expectClose(found, 1 / (viscosity * Math.sqrt(s / nu)), { rtol: 0.05 }, label)
      }
    }
  })
  it('a stress switched on is answered within 3 % by the unsteady flow, which leaves (2τ/ηo)√(νt/π) as the layer grows', () => {
    // u over (2τ/ηo)√(νo t/π) at r = 0.624 R: series of J1 over the dish, each wavenumber's G(k, s)/s inverted by Gaver–Stehfest
    // (14 terms, 4000 wavenumbers; Python, SciPy). Without floor and wall it would stay 1.
    const exact = { 2e-3: 0.9883, 5e-3: 0.9815, 1e-2: 0.9739, 2e-2: 0.9631, 5e-2: 0.9418, 0.1: 0.9179 }
    const cells = 80
    const tau = (kappa * 1e-3) / nearly
    const b = covered({ depth: 0.05 }, (x) => 1e-3 * (1 - x), cells)
    const [time, speed]: [number[], number[]] = [[], []]
    for (const [t, share] of Object.entries(exact).map(([key, value]) => [Number(key), value] as const)) {
      b.to(t)
      const wanted = share * ((2 * tau) / viscosity) * Math.sqrt(((viscosity / 920) * t) / Math.PI)
      expectClose(b.sys.speed[50]!, wanted, { rtol: 0.03 }, `t = ${t}`)
      time.push(Math.log(t))
      speed.push(Math.log(b.sys.speed[50]!))
    }
    expectClose(lineSlope(time, speed), 0.5, { atol: 0.025 })
  })
})
