/**
 * Answers of the bath's surface to forces that vary as exp(iky) along a straight rim, integrated over cells in closed form.
 * The bath is a half space of creeping liquid with a flat surface. In z = kx its kernels are, in units of 1/(2πηo):
 * K0 for the gradient of a tension; K0 + z K1 (across, from a force across), 2 K0 − z K1 (along, from a force along) and
 * ∓ i z K0 (mixed) for other forces. With x measured in radii, z = n s: they depend on the number of waves n alone.
 */
import { besselK0, besselK1, integralK0 } from '../numerics/besselK.ts'
import { log } from '../numerics/elementary.ts'
import type { RimGeometry } from './geometry.ts'

/** Beyond this z the kernels have died away. */
const FAR = 45

/** Antiderivatives at one signed z. */
class Primitives {
  /** ∫K0, odd. */
  k0 = 0
  /** ∫|z| K1, odd. */
  zk1 = 0
  /** ∫z K0 = −|z| K1, even. */
  zk0 = 0
  /** −ln|z| − K0, even: g0 − g. */
  plain = 0
  /** −ln|z| − K0 − |z| K1, even: the same for a force across. */
  across = 0
  /** z K0, odd. */
  product = 0

  set(z: number): void {
    const x = Math.abs(z)
    const sign = z < 0 ? -1 : 1
    if (x > FAR) {
      this.k0 = this.zk1 = sign * 0.5 * Math.PI
      this.zk0 = this.product = 0
      this.plain = this.across = -log(x)
      return
    }
    if (x < 1e-14) {
      this.k0 = this.zk1 = this.product = 0
      this.zk0 = -1
      this.plain = AT_ZERO
      this.across = AT_ZERO - 1
      return
    }
    const k0 = besselK0(x)
    const k1 = besselK1(x)
    const integral = integralK0(x)
    this.k0 = sign * integral
    this.zk1 = sign * (integral - x * k0)
    this.zk0 = -x * k1
    this.plain = -log(x) - k0
    this.across = this.plain - x * k1
    this.product = sign * x * k0
  }
}
/** γ − ln 2, the limit of −ln z − K0. */
const AT_ZERO = 0.5772156649015329 - Math.LN2

type Name = 'k0' | 'zk1' | 'zk0' | 'plain' | 'across' | 'product'
export type Table = Float64Array

/**
 * Integrals ∫ kernel(n(s − s′)) d(n s′) over the cells between `ends`, for targets s: one row per cell,
 * one column per target. With a mirror
 * at `plane` the image of each cell is added with the sign given.
 */
function integrals(
  n: number,
  targets: Float64Array,
  ends: Float64Array,
  wanted: readonly (readonly [Name, 1 | -1])[],
  plane: number | null,
): Table[] {
  const cells = ends.length - 1
  const tables = wanted.map(() => new Float64Array(targets.length * cells))
  const here = new Primitives()
  const values = wanted.map(() => new Float64Array(cells + 1))
  const lay = (place: (end: number) => number) => {
    for (let e = 0; e <= cells; e++) {
      here.set(place(ends[e]))
      wanted.forEach(([name], w) => {
        values[w][e] = here[name]
      })
    }
  }
  targets.forEach((s, i) => {
    lay((end) => n * (s - end))
    for (let w = 0; w < wanted.length; w++)
      for (let g = 0; g < cells; g++) tables[w][g * targets.length + i] = values[w][g] - values[w][g + 1]
    if (plane === null) return
    lay((end) => n * (s - 2 * plane + end))
    for (let w = 0; w < wanted.length; w++)
      for (let g = 0; g < cells; g++)
        tables[w][g * targets.length + i] += wanted[w][1] * (values[w][g + 1] - values[w][g])
  })
  return tables
}

/** All integrals that the operator needs for one n. Rows: dual cells of the faces, or cells; columns: targets. */
export interface RimKernels {
  n: number
  /** At faces, from forces across in dual cells: tension's gradient; others. */
  facePull: Table
  facePush: Table
  /** At faces, from the displaced forces of the base: ∂x(g0 − g), for tension and for other forces. */
  faceMoved: Table
  faceMovedPush: Table
  /** At faces, from forces along in cells, and in dual cells: ∫z K0. */
  faceAlong: Table
  faceLine: Table
  /** At middles, from forces in dual cells: ∫K0, ∫z K0, z K0 (differences). */
  cellPull: Table
  cellAcross: Table
  cellMoved: Table
  /** At middles, from tension and from other forces along, in cells: ∫K0, ∫(2 K0 − z K1). */
  cellTension: Table
  cellAlong: Table
  /** At middles, from a force along in dual cells: ∫(2 K0 − z K1). */
  cellLine: Table
}

const combine = (a: Table, b: Table, weight: number): Table => a.map((value, i) => 2 * value + weight * b[i])

export function rimKernels({ faces, middles, ends, inside }: RimGeometry, n: number): RimKernels {
  const plane = inside === 'mirror' ? faces[0] : null
  // A force across has an opposite image; a displaced force of the base, twice turned, and a force along have an equal one.
  const [facePull, faceShear, faceMoved, faceMovedPush, faceLine] = integrals(
    n,
    faces,
    ends,
    [
      ['k0', -1],
      ['zk1', -1],
      ['plain', 1],
      ['across', 1],
      ['zk0', 1],
    ],
    plane,
  )
  const [faceAlong] = integrals(n, faces, faces, [['zk0', 1]], plane)
  const [cellPull, cellShear, cellAcross, cellMoved] = integrals(
    n,
    middles,
    ends,
    [
      ['k0', 1],
      ['zk1', 1],
      ['zk0', -1],
      ['product', 1],
    ],
    plane,
  )
  const [cellTension, cellOwn] = integrals(
    n,
    middles,
    faces,
    [
      ['k0', 1],
      ['zk1', 1],
    ],
    plane,
  )
  return {
    n,
    facePull,
    facePush: facePull.map((value, i) => value + faceShear[i]),
    faceMoved,
    faceMovedPush,
    faceAlong,
    faceLine,
    cellPull,
    cellAcross,
    cellMoved,
    cellTension,
    cellAlong: combine(cellTension, cellOwn, -1),
    cellLine: combine(cellPull, cellShear, -1),
  }
}

/**
 * −Δ ln|s − s′| over the dual cells of all faces of the mesh (from the axis on), for the targets given: ∂x g0 in units of
 * 1/(2πηo), one row per face of the mesh, one column per target; and the same for the opposite images of the forces, or
 * null. At the edge itself the last entry is infinite.
 */
export function stillSlopes(
  geometry: RimGeometry,
  targets: Float64Array,
): { own: Table; image: Table | null } {
  const { mesh, inside, faces } = geometry
  const N = mesh.cells
  const ends = new Float64Array(N + 2)
  for (let i = 0; i < N; i++) ends[i + 1] = Math.sqrt(mesh.zc[i])
  ends[0] = mesh.s[0]
  ends[N + 1] = 1
  const own = new Float64Array(targets.length * (N + 1))
  const image = inside === 'mirror' ? new Float64Array(own.length) : null
  targets.forEach((s, i) => {
    for (let f = 1; f <= N; f++) {
      const at = f * targets.length + i
      own[at] = log(Math.abs(s - ends[f + 1])) - log(Math.abs(s - ends[f]))
      if (!image) continue
      const behind = s - 2 * faces[0]
      image[at] = log(behind + ends[f + 1]) - log(behind + ends[f])
    }
  })
  return { own, image }
}
