import type { FilmSystem } from './film.ts'
import type { FilmMesh } from './filmMesh.ts'
import type { Bands } from './outerBath.ts'

/**
 * The outer bath of 1/hg − J, eliminated from the wall inward: per group of fields that drive each other one block
 * tridiagonal system, of which the blocks beside the diagonal are diagonal. A field of its own is a group of one; the other
 * groups are of three, and written out: loops over a block's entries take twice the time.
 */
export class OuterElimination {
  /** What the elimination adds to the edge rows: to their diagonal by field, to the other entries by link. */
  readonly edgeDiagonal: Float64Array
  readonly edgeAcross: Float64Array
  private sizes: readonly number[] = []
  /** Inverted pivot blocks by group and face, row by row. */
  private readonly inverse: Float64Array
  /** Off-diagonals by field and face as they were factored: the stages of a step evaluate other states in between. */
  private readonly low: Float64Array
  private readonly up: Float64Array

  constructor(
    private readonly mesh: FilmMesh,
    private readonly fields: number,
  ) {
    const K = mesh.outer
    this.edgeDiagonal = new Float64Array(fields)
    this.edgeAcross = new Float64Array(fields * fields)
    this.inverse = new Float64Array(fields * fields * K)
    ;[this.low, this.up] = [new Float64Array(fields * K), new Float64Array(fields * K)]
  }

  /** @throws RangeError where a group is neither of one field nor of three */
  setGroups(sizes: readonly number[]): void {
    if (sizes.some((size) => size !== 1 && size !== 3))
      throw new RangeError('bath fields drive each other in groups of three')
    this.sizes = sizes
  }

  clear(): void {
    const { edgeDiagonal, edgeAcross, inverse, low, up } = this
    for (const part of [edgeDiagonal, edgeAcross, inverse, low, up]) part.fill(0)
    this.sizes = []
  }

  /** @param bands entries of J by field and face, without decay and links */
  factor(sys: FilmSystem, hg: number, bands: Bands): void {
    this.low.set(bands[0])
    this.up.set(bands[2])
    let first = 0
    let link = 0
    for (const size of this.sizes) {
      if (size === 1) this.factorOne(sys, hg, bands[1], first)
      else this.factorThree(sys, hg, bands[1], first, link)
      first += size
      link += size * (size - 1)
    }
  }

  private factorOne(sys: FilmSystem, hg: number, own: Float64Array, m: number): void {
    const { low, up, inverse, fields } = this
    const K = this.mesh.outer
    const decay = sys.decay[m]
    let carried = 0
    for (let k = K - 1; k >= 1; k--) {
      const at = m * K + k
      const pivot = 1 / (1 / hg + decay - own[at] + carried)
      inverse[fields * at] = pivot
      carried = -up[at - 1] * pivot * low[at]
    }
    this.edgeDiagonal[m] = carried
  }

  /** Inverts the pivot blocks by Gauss–Jordan without exchange of rows: their leading minors are far from zero. */
  private factorThree(sys: FilmSystem, hg: number, own: Float64Array, first: number, link: number): void {
    const { low, up, inverse, fields } = this
    const { linkRate, decay } = sys
    const K = this.mesh.outer
    const [x, y, z] = [first * K, (first + 1) * K, (first + 2) * K]
    const ownX = 1 / hg + decay[first]
    const ownY = 1 / hg + decay[first + 1]
    const ownZ = 1 / hg + decay[first + 2]
    const [rateXY, rateXZ, rateYX] = [linkRate[link], linkRate[link + 1], linkRate[link + 2]]
    const [rateYZ, rateZX, rateZY] = [linkRate[link + 3], linkRate[link + 4], linkRate[link + 5]]
    // What a face adds to the block of the next one inward.
    let [xx, xy, xz, yx, yy, yz, zx, zy, zz] = [0, 0, 0, 0, 0, 0, 0, 0, 0]
    for (let k = K - 1; k >= 1; k--) {
      xx += ownX - own[x + k]
      yy += ownY - own[y + k]
      zz += ownZ - own[z + k]
      xy -= rateXY
      xz -= rateXZ
      yx -= rateYX
      yz -= rateYZ
      zx -= rateZX
      zy -= rateZY

      xx = 1 / xx
      xy *= xx
      xz *= xx
      yy -= yx * xy
      yz -= yx * xz
      yx *= -xx
      zy -= zx * xy
      zz -= zx * xz
      zx *= -xx

      yy = 1 / yy
      yx *= yy
      yz *= yy
      xx -= xy * yx
      xz -= xy * yz
      xy *= -yy
      zx -= zy * yx
      zz -= zy * yz
      zy *= -yy

      zz = 1 / zz
      zx *= zz
      zy *= zz
      xx -= xz * zx
      xy -= xz * zy
      xz *= -zz
      yx -= yz * zx
      yy -= yz * zy
      yz *= -zz

      const at = fields * (x + 3 * k)
      inverse[at] = xx
      inverse[at + 1] = xy
      inverse[at + 2] = xz
      inverse[at + 3] = yx
      inverse[at + 4] = yy
      inverse[at + 5] = yz
      inverse[at + 6] = zx
      inverse[at + 7] = zy
      inverse[at + 8] = zz
      const [lowX, lowY, lowZ] = [low[x + k], low[y + k], low[z + k]]
      const [upX, upY, upZ] = [-up[x + k - 1], -up[y + k - 1], -up[z + k - 1]]
      xx = upX * xx * lowX
      xy = upX * xy * lowY
      xz = upX * xz * lowZ
      yx = upY * yx * lowX
      yy = upY * yy * lowY
      yz = upY * yz * lowZ
      zx = upZ * zx * lowX
      zy = upZ * zy * lowY
      zz = upZ * zz * lowZ
    }
    this.edgeDiagonal[first] = xx
    this.edgeDiagonal[first + 1] = yy
    this.edgeDiagonal[first + 2] = zz
    const across = this.edgeAcross
    across[link] = xy
    across[link + 1] = xz
    across[link + 2] = yx
    across[link + 3] = yz
    across[link + 4] = zx
    across[link + 5] = zy
  }

  /** Index of field m at face k ≥ 1, less k; at the edge. */
  private base(sys: FilmSystem, m: number): number {
    return sys.outerAt + m * (this.mesh.outer - 1) - 1
  }
  private edge(sys: FilmSystem, m: number): number {
    return (this.mesh.cells - 1) * sys.block + 2 + m
  }

  /** Carries the outer right-hand side to the edge rows. */
  reduce(sys: FilmSystem, b: Float64Array): void {
    let first = 0
    for (const size of this.sizes) {
      if (size === 1) this.reduceOne(sys, b, first)
      else this.reduceThree(sys, b, first)
      first += size
    }
  }

  private reduceOne(sys: FilmSystem, b: Float64Array, m: number): void {
    const { inverse, up, fields } = this
    const K = this.mesh.outer
    const start = this.base(sys, m)
    const edge = this.edge(sys, m)
    for (let k = K - 1; k >= 1; k--) {
      const at = m * K + k
      b[k === 1 ? edge : start + k - 1] += up[at - 1] * inverse[fields * at] * b[start + k]
    }
  }

  private reduceThree(sys: FilmSystem, b: Float64Array, first: number): void {
    const { inverse, up, fields } = this
    const K = this.mesh.outer
    const [x, y, z] = [first * K, (first + 1) * K, (first + 2) * K]
    const startX = this.base(sys, first)
    const [startY, startZ] = [startX + K - 1, startX + 2 * (K - 1)]
    let [u, v, w] = [b[startX + K - 1], b[startY + K - 1], b[startZ + K - 1]]
    for (let k = K - 1; k >= 1; k--) {
      const at = fields * (x + 3 * k)
      const nextU = up[x + k - 1] * (inverse[at] * u + inverse[at + 1] * v + inverse[at + 2] * w)
      const nextV = up[y + k - 1] * (inverse[at + 3] * u + inverse[at + 4] * v + inverse[at + 5] * w)
      const nextW = up[z + k - 1] * (inverse[at + 6] * u + inverse[at + 7] * v + inverse[at + 8] * w)
      if (k === 1) {
        const edge = this.edge(sys, first)
        b[edge] += nextU
        b[edge + 1] += nextV
        b[edge + 2] += nextW
        return
      }
      b[startX + k - 1] = u = b[startX + k - 1] + nextU
      b[startY + k - 1] = v = b[startY + k - 1] + nextV
      b[startZ + k - 1] = w = b[startZ + k - 1] + nextW
    }
  }

  /** Back substitution from the edge outward. */
  expand(sys: FilmSystem, b: Float64Array): void {
    let first = 0
    for (const size of this.sizes) {
      if (size === 1) this.expandOne(sys, b, first)
      else this.expandThree(sys, b, first)
      first += size
    }
  }

  private expandOne(sys: FilmSystem, b: Float64Array, m: number): void {
    const { inverse, low, fields } = this
    const K = this.mesh.outer
    const start = this.base(sys, m)
    let before = b[this.edge(sys, m)]
    for (let k = 1; k < K; k++) {
      const at = m * K + k
      before = inverse[fields * at] * (b[start + k] + low[at] * before)
      b[start + k] = before
    }
  }

  private expandThree(sys: FilmSystem, b: Float64Array, first: number): void {
    const { inverse, low, fields } = this
    const K = this.mesh.outer
    const [x, y, z] = [first * K, (first + 1) * K, (first + 2) * K]
    const startX = this.base(sys, first)
    const [startY, startZ] = [startX + K - 1, startX + 2 * (K - 1)]
    const edge = this.edge(sys, first)
    let [beforeX, beforeY, beforeZ] = [b[edge], b[edge + 1], b[edge + 2]]
    for (let k = 1; k < K; k++) {
      const at = fields * (x + 3 * k)
      const u = b[startX + k] + low[x + k] * beforeX
      const v = b[startY + k] + low[y + k] * beforeY
      const w = b[startZ + k] + low[z + k] * beforeZ
      b[startX + k] = beforeX = inverse[at] * u + inverse[at + 1] * v + inverse[at + 2] * w
      b[startY + k] = beforeY = inverse[at + 3] * u + inverse[at + 4] * v + inverse[at + 5] * w
      b[startZ + k] = beforeZ = inverse[at + 6] * u + inverse[at + 7] * v + inverse[at + 8] * w
    }
  }
}
