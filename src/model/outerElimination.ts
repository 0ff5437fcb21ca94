import { invert } from '../numerics/invert.ts'
import type { FilmSystem } from './film.ts'
import type { FilmMesh } from './filmMesh.ts'
import type { Bands } from './outerBath.ts'

/**
 * The outer bath of 1/hg − J, eliminated from the wall inward: per group of fields that drive each other one block
 * tridiagonal system, of which the blocks beside the diagonal are diagonal. A field of its own is a group of one.
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
  /** What a face adds to the block of the next one inward. */
  private readonly carried: Float64Array
  private readonly given: Float64Array
  private readonly answer: Float64Array

  constructor(
    private readonly mesh: FilmMesh,
    private readonly fields: number,
  ) {
    const K = mesh.outer
    this.edgeDiagonal = new Float64Array(fields)
    this.edgeAcross = new Float64Array(fields * fields)
    this.inverse = new Float64Array(fields * fields * K)
    ;[this.low, this.up] = [new Float64Array(fields * K), new Float64Array(fields * K)]
    this.carried = new Float64Array(fields * fields)
    ;[this.given, this.answer] = [new Float64Array(fields), new Float64Array(fields)]
  }

  setGroups(sizes: readonly number[]): void {
    this.sizes = sizes
  }

  clear(): void {
    const { edgeDiagonal, edgeAcross, inverse, low, up, carried, given, answer } = this
    for (const part of [edgeDiagonal, edgeAcross, inverse, low, up, carried, given, answer]) part.fill(0)
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
      else this.factorGroup(sys, hg, bands[1], first, size, link)
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

  private factorGroup(
    sys: FilmSystem,
    hg: number,
    own: Float64Array,
    first: number,
    size: number,
    link: number,
  ): void {
    const { low, up, inverse, carried, fields } = this
    const { linkRate, decay } = sys
    const K = this.mesh.outer
    carried.fill(0)
    for (let k = K - 1; k >= 1; k--) {
      const at = fields * (first * K + k * size)
      let next = link
      for (let i = 0; i < size; i++) {
        for (let j = 0; j < size; j++) {
          const rate = i === j ? 1 / hg + decay[first + i] - own[(first + i) * K + k] : -linkRate[next++]
          inverse[at + i * size + j] = rate + carried[i * size + j]
        }
      }
      invert(inverse, at, size)
      for (let i = 0; i < size; i++) {
        const above = up[(first + i) * K + k - 1]
        for (let j = 0; j < size; j++)
          carried[i * size + j] = -above * inverse[at + i * size + j] * low[(first + j) * K + k]
      }
    }
    let next = link
    for (let i = 0; i < size; i++) {
      this.edgeDiagonal[first + i] = carried[i * size + i]
      for (let j = 0; j < size; j++) if (i !== j) this.edgeAcross[next++] = carried[i * size + j]
    }
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
      else this.reduceGroup(sys, b, first, size)
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

  private reduceGroup(sys: FilmSystem, b: Float64Array, first: number, size: number): void {
    const { up, given, answer, mesh } = this
    const K = mesh.outer
    const start = this.base(sys, first)
    const edge = this.edge(sys, first)
    for (let k = K - 1; k >= 1; k--) {
      for (let j = 0; j < size; j++) given[j] = b[start + j * (K - 1) + k]
      this.apply(first, size, k)
      for (let i = 0; i < size; i++)
        b[k === 1 ? edge + i : start + i * (K - 1) + k - 1] += up[(first + i) * K + k - 1] * answer[i]
    }
  }

  /** `answer` = inverted pivot block of face k times `given`. Groups are of three mostly: written out, it takes half the time. */
  private apply(first: number, size: number, k: number): void {
    const { inverse, given, answer } = this
    const at = this.fields * (first * this.mesh.outer + k * size)
    if (size === 3) {
      const x = given[0]
      const y = given[1]
      const z = given[2]
      answer[0] = inverse[at] * x + inverse[at + 1] * y + inverse[at + 2] * z
      answer[1] = inverse[at + 3] * x + inverse[at + 4] * y + inverse[at + 5] * z
      answer[2] = inverse[at + 6] * x + inverse[at + 7] * y + inverse[at + 8] * z
      return
    }
    for (let i = 0; i < size; i++) {
      let sum = 0
      for (let j = 0; j < size; j++) sum += inverse[at + i * size + j] * given[j]
      answer[i] = sum
    }
  }

  /** Back substitution from the edge outward. */
  expand(sys: FilmSystem, b: Float64Array): void {
    let first = 0
    for (const size of this.sizes) {
      if (size === 1) this.expandOne(sys, b, first)
      else this.expandGroup(sys, b, first, size)
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

  private expandGroup(sys: FilmSystem, b: Float64Array, first: number, size: number): void {
    const { low, given, answer, mesh } = this
    const K = mesh.outer
    const start = this.base(sys, first)
    const edge = this.edge(sys, first)
    for (let j = 0; j < size; j++) answer[j] = b[edge + j]
    for (let k = 1; k < K; k++) {
      for (let j = 0; j < size; j++)
        given[j] = b[start + j * (K - 1) + k] + low[(first + j) * K + k] * answer[j]
      this.apply(first, size, k)
      for (let i = 0; i < size; i++) b[start + i * (K - 1) + k] = answer[i]
    }
  }
}
