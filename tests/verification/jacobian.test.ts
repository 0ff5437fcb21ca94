/**
 * The Jacobian is written by hand and its matrix solved by parts (band, border, eliminated outer bath). What it gives for
 * each unit vector must solve the equations with 1/hγ − J formed by differences of the rates.
 * Source: definition of the derivative.
 */
import { describe, expect, it } from 'vitest'
import { NO_FIELDS, SHORT_FIELDS } from '../../src/model/bathFields.ts'
import type { DropProblem } from '../../src/model/problem.ts'
import { findRing } from '../../src/model/ring.ts'
import { type Bench, bench } from './kernels.ts'
import { referenceProblem } from './reference.ts'

const CELLS = 16
const OUTER = 6

function at(given: Partial<DropProblem>, time: number, prepare?: (b: Bench) => void): Bench {
  const problem = referenceProblem(0.5, given)
  const top = (2 * problem.volume) / (Math.PI * problem.startRadius ** 2)
  const wall = problem.edge === 'wall'
  const shape = (s: number) => top * (wall ? 0.3 + 0.7 * (1 - s * s) ** 2 : 1 - s * s)
  const b = bench(
    problem,
    { cells: CELLS, outer: OUTER, rtol: 1e-3 },
    shape,
    (s) => problem.phi0 - 0.02 * s * s,
  )
  b.to(time)
  b.sys.beginStep(b.stepper.t, 1e-3, b.stepper.y)
  b.sys.evaluate(b.stepper.y)
  prepare?.(b)
  return b
}

/** Size of a change of each unknown that matters: contents per R², speeds, books, radius. */
function scales({ sys, stepper: { y } }: Bench): Float64Array {
  const scale = new Float64Array(sys.n)
  const R2 = y[sys.radiusAt]! ** 2
  let fastest = 1e-6
  for (let p = 0; p < sys.booksAt; p++)
    if (p >= sys.outerAt || p % sys.block >= 2) fastest = Math.max(fastest, Math.abs(y[p]!))
  for (let p = 0; p < sys.n; p++) {
    if (p === sys.radiusAt) scale[p] = y[p]!
    else if (p >= sys.booksAt) scale[p] = 1e-9
    else if (p >= sys.outerAt || p % sys.block >= 2) scale[p] = fastest
    else scale[p] = Math.max(y[p - (p % sys.block)]!, 1e-9 * R2)
  }
  return scale
}

/** 1/hγ − J by central differences of two widths (Richardson), row by row. */
function matrixByDifferences(b: Bench, hg: number): Float64Array[] {
  const { sys, stepper } = b
  const scale = scales(b)
  const [plus, minus, state] = [sys.vector(), sys.vector(), sys.vector()]
  const rows = Array.from({ length: sys.n }, () => new Float64Array(sys.n))
  const column = (q: number, d: number) => {
    state.set(stepper.y)
    state[q] = stepper.y[q]! + d
    sys.rates(state, plus)
    state[q] = stepper.y[q]! - d
    sys.rates(state, minus)
    return plus.map((v, p) => (v - minus[p]!) / (2 * d))
  }
  for (let q = 0; q < sys.n; q++) {
    const d = 1e-6 * scale[q]!
    const wide = column(q, 2 * d)
    const narrow = column(q, d)
    narrow.forEach((v, p) => {
      rows[p]![q] = (p === q ? 1 / hg : 0) - (4 * v - wide[p]!) / 3
    })
  }
  return rows
}

/**
 * Largest backward error of the solver over all right-hand sides e_p: what is left of M x − e_p in each row, against the
 * row's size times x's size, both in units of the unknowns' scales (Rigal & Gaches, J. ACM 14, 543 (1967)). A wrong entry
 * of the hand-written matrix shows in the right-hand sides whose answer leans on it; the matrix's condition does not enter.
 */
function worst(b: Bench, hg: number): { size: number; row: number; side: number } {
  const { sys, stepper } = b
  const scale = scales(b)
  const matrix = matrixByDifferences(b, hg)
  const extent = matrix.map((row) => row.reduce((sum, m, q) => sum + Math.abs(m) * scale[q]!, 0))
  const [x, elsewhere] = [sys.vector(), sys.vector()]
  sys.linearise(stepper.y, x)
  expect(sys.factor(hg)).toBe(true)
  // As within a step: another state is evaluated between factorisation and solution.
  elsewhere.set(stepper.y.map((v, p) => v + 1e-2 * scale[p]!))
  sys.rates(elsewhere, sys.vector())
  let found = { size: 0, row: -1, side: -1 }
  // A fixed wall has no equation for R.
  const sides = sys.problem.edge === 'wall' ? sys.n - 1 : sys.n
  for (let p = 0; p < sides; p++) {
    x.fill(0)
    x[p] = 1
    sys.solve(x)
    const length = x.reduce((most, v, q) => Math.max(most, Math.abs(v) / scale[q]!), 0)
    matrix.forEach((row, i) => {
      const left = row.reduce((sum, m, q) => sum + m * x[q]!, i === p ? -1 : 0)
      const size = Math.abs(left) / (extent[i]! * length)
      if (!(size <= found.size)) found = { size, row: i, side: p }
    })
  }
  return found
}

const sheds = (b: Bench) => {
  const ring = findRing(b.sys)
  expect(ring.section).toBeGreaterThan(0)
  b.sys.shedFrom = ring.thinCell + 1
  b.sys.shedAbove = ring.thin
  b.sys.shedRate = 3
}

const CASES: [string, Partial<DropProblem>, number, ((b: Bench) => void)?][] = [
  ['soon after touch-down', {}, 0.05],
  ['while it spreads', {}, 0.8],
  ['with a thin ring', {}, 3],
  ['while it draws back', {}, 6.5],
  ['few fields', { fields: SHORT_FIELDS }, 2],
  [
    'fields of their own inertia, three that drive each other and one alone',
    {
      fields: {
        groups: [
          { spread: [3], rates: [[40]], gain: [3] },
          {
            spread: [9, 0.7, 2],
            rates: [
              [70, -20, 11],
              [35, 90, -8],
              [-6, 17, 50],
            ],
            gain: [8, -2, 1.5],
          },
        ],
      },
    },
    2,
  ],
  ['real fields only', { fields: { real: [{ weight: 0.25, length: 0.25 }] } }, 2],
  ['shedding child drops', { breakUp: true }, 2, sheds],
  [
    'still air',
    { evaporation: { kind: 'disc', alcoholDiffusivity: 1e-9, waterDiffusivity: 3e-10, enhancement: 2 } },
    1,
  ],
  [
    'layer of air',
    {
      evaporation: { kind: 'layer', alcoholDiffusivity: 1e-9, waterDiffusivity: 3e-10, thickness: 3e-3 },
      evaporationCutoff: 50e-9,
    },
    1,
  ],
  ['oil that takes up alcohol, soon', { uptake: { diffusivity: 2e-10 } }, 0.05],
  ['oil that takes up alcohol, partly dry', { uptake: { diffusivity: 2e-10 }, evaporationCutoff: 5e-6 }, 3],
  ['shear dispersion', { dispersion: null }, 1],
  ['weight, light drop', { buoyancy: 500 }, 1],
  ['weight, heavy drop', { buoyancy: -300 }, 1],
  ['linear coverage', { coverageLaw: 'linear', coverage: 1e-3 }, 0.3],
  ['rigid floor, wall', { fields: NO_FIELDS, edge: 'wall', buoyancy: 2000 }, 0.2],
  ['bath, wall', { edge: 'wall' }, 1e-3],
]

describe('Jacobian against differences', () => {
  it('bath fields that drive each other are taken in threes, nothing else', () => {
    const pair = {
      spread: [9, 0.7],
      rates: [
        [70, -20],
        [35, 90],
      ],
      gain: [8, -2],
    }
    expect(() => at({ fields: { groups: [pair] } }, 0.1)).toThrow('groups of three')
  })

  for (const [name, given, time, prepare] of CASES) {
    it(name, () => {
      const b = at(given, time, prepare)
      for (const hg of [1e-6, 1e-3, 0.1]) {
        const { size, row, side } = worst(b, hg)
        expect(size, `hγ = ${hg}, row ${row}, side ${side}, block ${b.sys.block}`).toBeLessThan(2e-5)
      }
    })
  }
})
