/**
 * Manufactured solution for the full coupled operator (film, alcohol, bath fields that drive each other, moving edge with
 * its line force, evaporation, dispersion, weight): find y with y − τ f(y) = y* − τ f*, where y* is a made-up smooth
 * state and f* its exact rates. The answer differs from y* by the error of the discretisation alone.
 * Answer: second order in the cell width.
 * Source: method of manufactured solutions, P. J. Roache, J. Fluids Eng. 124, 4 (2002), from memory.
 */
import { describe, expect, it } from 'vitest'
import { type BathFields, DEEP_FIELDS, fieldCount, THREE_FIELDS } from '../../src/model/bathFields.ts'
import { FilmSystem } from '../../src/model/film.ts'
import { makeFilmMesh } from '../../src/model/filmMesh.ts'
import { uniform } from './kernels.ts'
import { manufactured, problem, R } from './manufactured.ts'

/** Both meshes keep their grading under refinement, inside as well as outside. */
function system(cells: number, even: boolean, fields: BathFields): FilmSystem {
  const mesh = even ? makeFilmMesh(cells, cells, uniform(cells)) : makeFilmMesh(cells, cells)
  mesh.g.forEach((_, k) => {
    mesh.g[k] = Math.expm1((4 * k) / cells) / Math.expm1(4)
  })
  const sys = new FilmSystem(mesh, fieldCount(fields))
  sys.setProblem({ ...problem, fields })
  return sys
}

interface Errors {
  volume: number
  alcohol: number
  under: number
  outside: number
  radius: number
}

/** Newton's iteration with the solver's own matrix; deviations in units of the fields' sizes. */
function errors(cells: number, even: boolean, tau: number, fields: BathFields): Errors {
  const sys = system(cells, even, fields)
  const { state, rates } = manufactured(sys)
  const goal = state.map((v, p) => v - tau * rates[p]!)
  const [y, f, b] = [sys.vector(), sys.vector(), sys.vector()]
  y.set(state)
  const isBook = (p: number) => p >= sys.booksAt && p < sys.radiusAt
  let change = 1
  for (let round = 0; round < 20 && change > 1e-10; round++) {
    sys.beginStep(0, tau, y)
    sys.linearise(y, f)
    expect(sys.factor(tau)).toBe(true)
    b.set(f.map((rate, p) => (isBook(p) ? 0 : (goal[p]! - y[p]! + tau * rate) / tau)))
    sys.solve(b)
    change = 0
    b.forEach((d, p) => {
      if (isBook(p)) return
      y[p] = y[p]! + d
      change = Math.max(change, Math.abs(d) / (Math.abs(state[p]!) + 1e-12))
    })
  }
  // Rounding of the matrix leaves about 1e-9, a hundred-thousandth of what is measured.
  expect(change).toBeLessThan(1e-8)
  const worst = (from: number, to: number, chosen: (p: number) => boolean, scale: number) => {
    let most = 0
    for (let p = from; p < to; p++) if (chosen(p)) most = Math.max(most, Math.abs(y[p]! - state[p]!) / scale)
    return most
  }
  const content = 1e-3 * R * R
  return {
    volume: worst(0, sys.outerAt, (p) => p % sys.block === 0, content),
    alcohol: worst(0, sys.outerAt, (p) => p % sys.block === 1, content),
    under: worst(0, sys.outerAt, (p) => p % sys.block > 1, 2e-3),
    outside: worst(sys.outerAt, sys.booksAt, () => true, 2e-3),
    radius: Math.abs(y[sys.radiusAt]! / R - 1),
  }
}

/** Fields, and how far they may be off under the drop at 80 cells: one of the six spreads ten times as fast as the three. */
const SETS: [string, BathFields, number][] = [
  ['three fields with a common inertia', THREE_FIELDS, 5e-3],
  ['six fields that drive each other', DEEP_FIELDS, 8e-3],
]

describe.each(SETS)('order in space of the full coupled operator, %s', (_name, fields, off) => {
  for (const even of [true, false]) {
    it(`is 2 on ${even ? 'an even' : 'the bunched'} mesh`, () => {
      const found = [40, 80, 160].map((cells) => errors(cells, even, 0.03, fields))
      for (const name of ['volume', 'alcohol', 'under', 'outside'] as const) {
        for (const k of [1, 2]) {
          const order = Math.log2(found[k - 1]![name] / found[k]![name])
          expect(order, `${name}, ${40 * 2 ** k} cells`).toBeGreaterThan(1.75)
          expect(order, `${name}, ${40 * 2 ** k} cells`).toBeLessThan(2.6)
        }
      }
      // The edge's own error is small and changes sign: its order over both halvings.
      expect(0.5 * Math.log2(found[0]!.radius / found[2]!.radius), 'radius').toBeGreaterThan(1.75)
      expect(found[1]!.volume).toBeLessThan(2e-4)
      expect(found[1]!.under).toBeLessThan(off)
      expect(found[1]!.radius).toBeLessThan(1e-4)
    })
  }
})
