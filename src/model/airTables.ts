/**
 * The flux matrices of a mesh (`airRings.ts`) over the thickness of the layer, made when they are first asked for and kept
 * for all lives on that mesh: at even distances of ln(δ/R), between which a cubic with continuous slope is laid. What is
 * tabled, A·x/(1 + x) with x = δ/R, has finite limits at both ends. Single precision is enough for what is kept.
 */
import { exp, log, square } from '../numerics/elementary.ts'
import { fluxMatrix } from './airRings.ts'
import { makeFilmMesh } from './filmMesh.ts'

/** Distance of the tables in ln(δ/R). */
const STEP = 0.3
/** Thinner layers have the flux D/δ everywhere, thicker ones are still air: there x/(1 + x) A stays as it is, within 0.1 %. */
const RANGE = [0.002, 500] as const

export class AirTables {
  private readonly made = new Map<number, Float32Array>()
  readonly cells: number

  /** @param s faces of the rings, 0 … 1 */
  constructor(readonly s: Float64Array) {
    this.cells = s.length - 1
  }

  private table(k: number): Float32Array {
    const known = this.made.get(k)
    if (known) return known
    const x = exp(k * STEP)
    const scale = x / (1 + x)
    const table = Float32Array.from(fluxMatrix(this.s, x), (a) => scale * a)
    this.made.set(k, table)
    return table
  }

  /** Lays factor · A(x) into `out`, row by row; x = δ/R above 0. */
  lay(x: number, factor: number, out: Float64Array): void {
    const place = log(Math.min(RANGE[1], Math.max(RANGE[0], x))) / STEP
    const k = Math.floor(place)
    const u = place - k
    const scale = (factor * (1 + x)) / x
    // Catmull and Rom's cubic.
    const wa = scale * 0.5 * u * (u * (2 - u) - 1)
    const wb = scale * (0.5 * u * u * (3 * u - 5) + 1)
    const wc = scale * 0.5 * u * (u * (4 - 3 * u) + 1)
    const wd = scale * 0.5 * u * u * (u - 1)
    const [a, b, c, d] = [this.table(k - 1), this.table(k), this.table(k + 1), this.table(k + 2)]
    for (let p = 0; p < out.length; p++) out[p] = wa * a[p] + wb * b[p] + wc * c[p] + wd * d[p]
  }
}

/** So many meshes are remembered, the longest unused leaves first: those of a drop, its companion and their like. */
const KEPT = 4
const kept: AirTables[] = []

/** The tables of a mesh, by the values of its faces. What they hold does not hang on what was asked before. */
export function airTablesOf(s: Float64Array): AirTables {
  const at = kept.findIndex((t) => t.s.length === s.length && t.s.every((v, f) => v === s[f]))
  const tables = at < 0 ? new AirTables(s.slice()) : kept.splice(at, 1)[0]!
  kept.push(tables)
  if (kept.length > KEPT) kept.shift()
  return tables
}

/** Rings by which a mean over the drop is found: within 1e-5. */
const RINGS = 24
let coarse: AirTables | null = null

/** Mean flux over a disc of uniform vapour Δc, per D Δc/R; x = δ/R. 4/π for still air, 1/x for a thin layer. */
export function meanFlux(x: number): number {
  coarse ??= new AirTables(makeFilmMesh(RINGS, 2).s)
  const { s } = coarse
  const matrix = new Float64Array(RINGS * RINGS)
  coarse.lay(x, 1, matrix)
  let sum = 0
  for (let p = 0; p < matrix.length; p++) {
    const i = Math.floor(p / RINGS)
    sum += (square(s[i + 1]) - square(s[i])) * matrix[p]
  }
  return sum
}
