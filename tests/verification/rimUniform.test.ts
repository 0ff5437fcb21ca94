/**
 * A wide film of one thickness on deep oil, disturbed along y only.
 * Answer: ḣ = k² [h0 (σ′ − h0 p′)/(2ηo k) + h0² γa′/2η − h0³ p′/3η] with σ′ = −S′(φ) φ′, p′ = γ_eff k² h′, and the alcohol
 * goes along at φ0 and diffuses. Source: lubrication theory over a half space of creeping liquid, derived for this project;
 * the matrix by hand (variables h′ and h0 φ′, rates of h′ and ψ′).
 */
import { describe, expect, it } from 'vitest'
import { CLOSURE, CLOSURE_COUNT } from '../../src/model/problem.ts'
import { CurveSet } from '../../src/numerics/curveSet.ts'
import { RimBase } from '../../src/rim/base.ts'
import { rimGeometry } from '../../src/rim/geometry.ts'
import { rimKernels } from '../../src/rim/kernels.ts'
import { RimOperator } from '../../src/rim/operator.ts'
import { layState, stateSystem } from '../../src/rim/states.ts'
import { problemWith } from './kernels.ts'

const h0 = 20e-6
const phi0 = 0.4
const R = 1

const functions: ((phi: number) => number)[] = Array.from({ length: CLOSURE_COUNT }, () => () => 0)
functions[CLOSURE.gammaA] = (phi) => 0.05 - 0.02 * phi
functions[CLOSURE.spreading] = (phi) => -0.01 + 0.03 * phi
functions[CLOSURE.levelling] = () => 5e-3
functions[CLOSURE.viscosity] = () => 2.5e-3
functions[CLOSURE.diffusivity] = () => 1e-9

/** Rates of h′ and ψ′ in the middle of the film by h′ (at constant φ) and by h0 φ′, both alike across the film. */
function rates(k: number): number[][] {
  const cells = 120
  const width = 60 / k
  const faces = Float64Array.from({ length: cells + 1 }, (_, f) => 1 - (width * (1 - f / cells)) / R)
  faces[cells] = 1
  const problem = problemWith({
    oilViscosity: 0.05,
    gammaO: 0.033,
    coverage: 1e-12,
    dispersion: 1e-9,
    closures: new CurveSet(functions),
    evaporation: { kind: 'uniform', alcoholSpeed: 0, waterSpeed: 0 },
  })
  const sys = stateSystem(problem, faces)
  layState(sys, sys.vector(), { R, h: () => h0, psi: () => h0 * phi0, speed: () => 0 }, 1)
  const geometry = rimGeometry(sys.mesh, { from: 0, inside: 'mirror', shift: { low: 2, high: 3 } })
  const operator = new RimOperator(geometry)
  operator.lay(new RimBase(geometry, sys), rimKernels(geometry, k * R))
  const m = geometry.count
  const row = (offset: number, byH: number, byPsi: number) => {
    const at = (offset + (m >> 1)) * operator.size
    let sum = 0
    for (let i = 0; i < m; i++) sum += operator.matrix[at + i]! * byH + operator.matrix[at + m + i]! * byPsi
    return sum
  }
  return [
    [row(0, 1, phi0), row(0, 0, 1)],
    [row(m, 1, phi0), row(m, 0, 1)],
  ]
}

const ANSWERS = [
  {
    k: 1000,
    matrix: [
      [-0.025333, -380.0],
      [-0.010133, -152.001],
    ],
  },
  {
    k: 3000,
    matrix: [
      [-0.972, -1620.0],
      [-0.3888, -648.009],
    ],
  },
] as const

describe('a wide even film', () => {
  it.each(ANSWERS)(
    'answers to a disturbance of wavenumber $k/m with the growth of the closed form',
    ({ k, matrix }) => {
      const found = rates(k)
      matrix.flat().forEach((wanted, at) => {
        expect(Math.abs(found.flat()[at]! / wanted - 1), `entry ${at}: ${found.flat()[at]}`).toBeLessThan(
          1e-4,
        )
      })
    },
  )
})
