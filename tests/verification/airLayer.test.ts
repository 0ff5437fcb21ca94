/**
 * The air over the drop as one body: a disc of radius R at the bottom of a layer of thickness δ, no flux beside it.
 *
 * Answers from outside:
 * - δ → ∞: 4 D R Δc in all, (2/π) D Δc/√(R² − r²) locally (sources in stillAirDisc.test.ts); a disc of unit flux has
 *   (2a/π) E(r²/a²) inside and (2r/π) [E(a²/r²) − (1 − a²/r²) K(a²/r²)] outside (potential theory of a disc, textbook);
 *   Δc = 1 − r²/R² needs (2/π)(3 − 4r²/R²)/√(R² − r²), by Copson's solution (Proc. Edinburgh Math. Soc. 8, 14 (1947),
 *   from memory; the algebra done for this project, its total 4/3 D R agrees with reciprocity).
 * - δ ≪ R: D Δc/δ, and at the edge 1/√(1 − e^−πd/δ) times that (conformal map of a half-plane strip), in all
 *   (π R²/δ)(1 + (4 ln 2/π) δ/R); δ ≫ R: 4 R (1 + (2 ln 2/π) R/δ) by images. Derived for this project.
 * - M(a, b) and the flux through circles at δ/R of order 1: computed once with scipy 1.17 and quoted. M as its integral
 *   by Gauss and Legendre, 20 nodes on each of 8400 panels up to k = 8000, mean tail added; the fluxes by another way
 *   altogether, Fredholm's equation of the second kind for c^ = (2/π) ∫0^1 φ(t) cos kt dt with 120 nodes.
 * - Crank, The Mathematics of Diffusion (from memory) for a wide layer that forms; held against small explicit steps.
 */
import { describe, expect, it } from 'vitest'
import { vapourBetween } from '../../src/model/airKernel.ts'
import { formedThickness } from '../../src/model/airLayer.ts'
import { fluxMatrix } from '../../src/model/airRings.ts'
import { airTablesOf, meanFlux } from '../../src/model/airTables.ts'
import { BOOKS } from '../../src/model/film.ts'
import { makeFilmMesh } from '../../src/model/filmMesh.ts'
import { ellipticKE } from '../../src/numerics/elliptic.ts'
import { expectClose } from '../matchers.ts'
import { type Bench, bench, curves, problemWith } from './kernels.ts'

const square = (x: number) => x * x
const meshOf = (cells: number) => makeFilmMesh(cells, 10)

/** Fluxes of the rings (per D/R) for the vapour c(s²) at the rings' middles. */
function fluxes(matrix: Float64Array, c: Float64Array): Float64Array {
  const n = c.length
  return Float64Array.from({ length: n }, (_, i) => c.reduce((sum, v, j) => sum + matrix[i * n + j]! * v, 0))
}

/** Flux through the disc up to face f, per D R Δc. */
const through = (j: Float64Array, area: Float64Array, faces: number): number =>
  j.slice(0, faces).reduce((sum, v, i) => sum + 2 * Math.PI * area[i]! * v, 0)

describe('M(a, b)', () => {
  const faces = Float64Array.of(0, 0.1, 0.5, 0.85, 0.9, 1)
  /** δ/R; M(1, 1), M(1, ½), M(0.9, 0.85), M(0.1, 0.1). */
  const TABLE = [
    [0.01, 0.00497286266789, 0.00124999999959, 0.00361249123196, 4.72901814787e-5],
    [0.05, 0.0243218032816, 0.00624999993173, 0.0179451808377, 0.000184936569138],
    [0.2, 0.0892089725234, 0.0248655500111, 0.0661088528579, 0.000341024083222],
    [0.35, 0.142383991056, 0.0417207942327, 0.104448034488, 0.000375542326547],
    [1, 0.272622366594, 0.081350541874, 0.191541546924, 0.000407112580575],
    [5, 0.389978223508, 0.112331543123, 0.262595181966, 0.000420947670845],
    [50, 0.420947671031, 0.120094540145, 0.280749360389, 0.000424066608027],
  ] as const
  it.each(TABLE)('at δ/R = %d is the integral done otherwise', (delta, ...wanted) => {
    const m = vapourBetween(faces, delta)
    const found = [m[35]!, m[32]!, m[27]!, m[7]!]
    // What oscillates beyond k = 8000 is left out of the quoted integrals: up to 2e-11.
    wanted.forEach((value, k) => {
      expectClose(found[k]!, value, { rtol: 1e-8, atol: 2e-11 }, `entry ${k}`)
    })
  })
  it('without a top is the closed form integrated over the disc', () => {
    const m = vapourBetween(faces, Number.POSITIVE_INFINITY)
    const a = 0.5
    const vapour = (r: number) => {
      if (r <= a) return ((2 * a) / Math.PI) * ellipticKE(square(r / a))[1]
      const p = square(a / r)
      const [K, E] = ellipticKE(p)
      return ((2 * r) / Math.PI) * (E - (1 - p) * K)
    }
    const steps = 20_000
    let sum = 0
    for (let k = 0; k < steps; k++) {
      const r = (k + 0.5) / steps
      sum += (vapour(r) * r) / steps
      if (k + 1 === steps / 2) expectClose(m[2 * 6 + 2]!, sum, { rtol: 1e-7 }, 'M(½, ½)')
    }
    expectClose(m[2 * 6 + 5]!, sum, { rtol: 1e-7 }, 'M(½, 1)')
  })
  it('is alike on both sides of the change of its form', () => {
    const thin = vapourBetween(faces, 0.3)
    const thick = vapourBetween(faces, 0.3 * (1 + 1e-12))
    thin.forEach((v, p) => void expectClose(thick[p]!, v, { rtol: 1e-8, atol: 1e-12 }, `entry ${p}`))
  })
})

describe('flux of the rings', () => {
  for (const cells of [20, 32, 68, 160]) {
    const { s, area } = meshOf(cells)
    const uniform = new Float64Array(cells).fill(1)
    it(`in still air is 4 D R Δc with its edge, ${cells} cells`, () => {
      const j = fluxes(fluxMatrix(s, Number.POSITIVE_INFINITY), uniform)
      expectClose(through(j, area, cells), 4, { rtol: 1e-4 })
      for (let i = 0; i < cells; i++) {
        const root = (f: number) => Math.sqrt(1 - square(s[f]!))
        const exact = ((2 / Math.PI) * (root(i) - root(i + 1))) / area[i]!
        expectClose(j[i]!, exact, { rtol: 5e-3 }, `ring ${i}`)
      }
    })
    it(`under a thin layer is D Δc/δ with its edge, ${cells} cells`, () => {
      for (const delta of [0.003, 0.01, 0.03]) {
        const j = fluxes(fluxMatrix(s, delta), uniform)
        expectClose(
          (through(j, area, cells) * delta) / Math.PI,
          1 + ((4 * Math.LN2) / Math.PI) * delta,
          { atol: square(delta) },
          `δ/R = ${delta}`,
        )
        for (let i = 0; s[i + 1]! < 1 - 4 * delta; i++) expectClose(j[i]! * delta, 1, { rtol: 1e-3 })
      }
    })
    it(`of vapour that thins outward comes back at the rim in still air, ${cells} cells`, () => {
      const c = Float64Array.from({ length: cells }, (_, i) => 1 - (square(s[i]!) + square(s[i + 1]!)) / 2)
      const j = fluxes(fluxMatrix(s, Number.POSITIVE_INFINITY), c)
      // With q² = 1 − s²: 2π ∫ (2/π)(4q² − 1)/q s ds = 4 (q − 4q³/3).
      const within = (f: number) => {
        const q = Math.sqrt(1 - square(s[f]!))
        return 4 * (q - (4 / 3) * q * q * q)
      }
      for (let f = 1; f <= cells; f++)
        expectClose(through(j, area, f), within(f) - within(0), { atol: 0.02 }, `to face ${f}`)
      expectClose(through(j, area, cells), 4 / 3, { rtol: 5e-3 })
    })
  }
  /** δ/R; flux through the circles at 0.3, 0.6, 0.9, 1 of uniform vapour and of 1 − s². */
  const FREDHOLM = [
    [
      0.2,
      [1.41372564, 5.65634588, 12.94606805, 18.59613107],
      [1.4254949, 4.93812561, 8.18156611, 8.02108403],
    ],
    [1, [0.32464084, 1.37639167, 3.717273, 6.38312437], [0.57553055, 2.0290338, 3.19031829, 2.21802182]],
    [5, [0.2021913, 0.8776531, 2.47396353, 4.38357134], [0.52533086, 1.82873452, 2.70820044, 1.4620582]],
  ] as const
  it.each(FREDHOLM)('at δ/R = %d is that of Fredholm’s equation', (delta, uniform, falling) => {
    const cells = 100
    const faces = Float64Array.from({ length: cells + 1 }, (_, f) => f / cells)
    const { s, area } = makeFilmMesh(cells, 10, faces)
    const matrix = fluxMatrix(s, delta)
    const even = fluxes(matrix, new Float64Array(cells).fill(1))
    const bent = fluxes(
      matrix,
      Float64Array.from({ length: cells }, (_, i) => 1 - (square(s[i]!) + square(s[i + 1]!)) / 2),
    )
    ;[30, 60, 90, 100].forEach((f, k) => {
      expectClose(through(even, area, f), uniform[k]!, { rtol: 1e-3 }, `uniform to ${f}`)
      expectClose(through(bent, area, f), falling[k]!, { rtol: 4e-3 }, `falling to ${f}`)
    })
  })
  it('in all tends to still air as by images', () => {
    for (const delta of [30, 100, 400]) {
      const wanted = (4 / Math.PI) * (1 + (2 * Math.LN2) / Math.PI / delta)
      expectClose(meanFlux(delta), wanted, { rtol: 1e-4 + 0.25 / square(delta) }, `δ/R = ${delta}`)
    }
    expectClose(meanFlux(0.003) * 0.003, 1 + ((4 * Math.LN2) / Math.PI) * 0.003, { rtol: 1e-4 })
  })
  it('is laid between the tables within 0.1 %, its slope without jumps', () => {
    const { s, cells } = meshOf(32)
    const tables = airTablesOf(s)
    const laid = new Float64Array(cells * cells)
    const ones = new Float64Array(cells).fill(1)
    for (const delta of [0.0033, 0.021, 0.17, 0.71, 2.3, 17, 160]) {
      tables.lay(delta, 1, laid)
      const [found, exact] = [fluxes(laid, ones), fluxes(fluxMatrix(s, delta), ones)]
      found.forEach((v, i) => void expectClose(v, exact[i]!, { rtol: 1e-3 }, `δ/R = ${delta}, ring ${i}`))
    }
    for (const k of [-3, 0, 2]) {
      const at = (u: number) => Math.log(meanFlux(Math.exp(0.3 * (k + u))))
      expectClose((at(1e-4) - at(0)) / 1e-4, (at(0) - at(-1e-4)) / 1e-4, { rtol: 1e-3 }, `at table ${k}`)
    }
  })
})

describe('a wide layer that forms', () => {
  const D = 1e-5
  const delta = 3e-3
  const flux = (t: number, h: number) => D / formedThickness(D, delta, t, h)
  it('is √(πDt) thick at first and δ soon', () => {
    expectClose(formedThickness(D, delta, 0.01, 1e-9), Math.sqrt(Math.PI * D * 0.01), { rtol: 1e-6 })
    expectClose(formedThickness(D, delta, 0, 1e-7), Math.sqrt((Math.PI * D * 1e-7) / 4), { rtol: 1e-12 })
    expectClose(formedThickness(D, delta, (0.5 * delta * delta) / D, 0.1), delta, { rtol: 0.02 })
    expectClose(formedThickness(D, delta, 1e6, 0.1), delta, { rtol: 1e-12 })
  })
  it('gives off in one step what it gives off in many', () => {
    for (const [t, h] of [
      [0, 5],
      [0.01, 0.02],
      [0.017, 0.002],
      [0.1, 1],
    ] as const) {
      let sum = 0
      for (let k = 0; k < 100; k++) sum += flux(t + (k * h) / 100, h / 100) / 100
      expectClose(flux(t, h), sum, { rtol: 1e-9 }, `from ${t}`)
    }
  })
  it('is what small steps of the diffusion equation give', () => {
    const N = 200
    const dz = delta / N
    const dt = (0.25 * dz * dz) / D
    let c = new Float64Array(N + 1)
    c[0] = 1
    let given = 0
    let t = 0
    for (const end of [0.05, 0.2, 0.9]) {
      const [from, before] = [t, given]
      while (t < end) {
        given += ((D * (c[0]! - c[1]!)) / dz) * dt
        c = c.map((v, i) => (i === 0 || i === N ? v : v + 0.25 * (c[i - 1]! - 2 * v + c[i + 1]!)))
        t += dt
      }
      if (from > 0)
        expectClose(flux(from, t - from), (given - before) / (t - from), { rtol: 5e-3 }, `to ${end}`)
    }
  })
})

describe('a drop under a layer of air', () => {
  const D = 1e-5
  const saturation = 1e-4
  const LATE = 1e9
  /** So thick that the cut-off of dry cells lies beneath rounding, up to `wetTo` of the radius. */
  function disc(R: number, thickness: number, wetTo = 1, cells = 68): Bench {
    const problem = problemWith({
      startRadius: R,
      evaporation: { kind: 'layer', alcoholDiffusivity: D, waterDiffusivity: 2 * D, thickness },
      evaporationCutoff: 5e-9,
      closures: curves({ alcoholLoss: saturation, waterLoss: -0.3 * saturation }),
    })
    return bench(problem, { cells, rtol: 1e-3 }, (s) => (s < wetTo ? 10 : 0))
  }
  function rates({ sys, stepper }: Bench): { out: Float64Array; loss: number; alcohol: number } {
    const out = sys.vector()
    // Settles the surface of what is dry: one laying a step.
    for (let k = 0; k < 200; k++) sys.beginStep(LATE, 1, stepper.y)
    sys.rates(stepper.y, out)
    const book = (k: number) => 2 * Math.PI * out[sys.booksAt + k]!
    return { out, loss: book(BOOKS.lostVolume), alcohol: book(BOOKS.lostAlcohol) }
  }
  it('loses what still air takes where the layer is thick, alcohol and water each by its own', () => {
    const R = 2e-3
    const { loss, alcohol } = rates(disc(R, 1))
    expectClose(alcohol, 4 * D * R * saturation, { rtol: 5e-3 })
    expectClose(loss - alcohol, -0.3 * 4 * 2 * D * R * saturation, { rtol: 5e-3 })
  })
  it('loses D/δ where the layer is thin', () => {
    const [R, thickness] = [0.05, 3e-4]
    const { alcohol } = rates(disc(R, thickness))
    expectClose(alcohol, ((Math.PI * R * R * D) / thickness) * saturation, { rtol: 0.01 })
  })
  it('neither gives nor takes where it is dry: the wet disc is a disc by itself', () => {
    const R = 5e-3
    for (const [thickness, wetTo] of [
      [1, 0.92],
      [5e-3, 0.92],
    ] as const) {
      const b = disc(R, thickness, wetTo)
      b.sys.evaluate(b.stepper.y)
      const { s } = b.sys.mesh
      const last = b.sys.h.findIndex((h) => !(h > 0))
      const radius = s[last]! * R
      const { alcohol } = rates(b)
      const wanted = Math.PI * radius * D * saturation * meanFlux(thickness / radius)
      expectClose(alcohol, wanted, { rtol: 0.01 }, `δ = ${thickness}`)
    }
  })
  it('what its cells lose is what the books get', () => {
    const b = disc(5e-3, 5e-3, 0.7)
    const { sys } = b
    const { out } = rates(b)
    for (const [offset, book] of [
      [0, BOOKS.lostVolume],
      [1, BOOKS.lostAlcohol],
    ] as const) {
      let [sum, size] = [0, 0]
      for (let i = 0; i < sys.mesh.cells; i++) {
        sum += sys.mesh.area[i]! * out[i * sys.block + offset]!
        size += Math.abs(sys.mesh.area[i]! * out[i * sys.block + offset]!)
      }
      expect(size).toBeGreaterThan(0)
      expectClose(sum, -out[sys.booksAt + book]!, { atol: 1e-12 * size })
    }
  })
})
