/**
 * The outer bath of 1/hg − J, eliminated from the wall inward: per group of fields that drive each other one block
 * tridiagonal system, of which the blocks beside the diagonal are diagonal. A field of its own is a group of one; the other
 * groups are of three, and written out: loops over a block's entries take twice the time.
 */
import type { FilmState } from './filmState.ts'
import { copy, type Reals } from './memory.ts'
import { beyondEdge, edgeOf } from './outerBath.ts'
import { GROUPS } from './places.ts'

/** What the elimination adds to the edge's rows is then in `edgeDiagonal` (by field) and `edgeAcross` (by link). */
export function factorOuter(q: FilmState, hg: f64): void {
  // The stages of a step evaluate other states in between.
  copy(q.lowKept, q.low, q.modes * q.outer)
  copy(q.upKept, q.up, q.modes * q.outer)
  let first = 0
  let link = 0
  const groups = q.set[GROUPS] as i32
  for (let g = 0; g < groups; g++) {
    const size = q.groups[g] as i32
    if (size === 1) factorOne(q, hg, first)
    else factorThree(q, hg, first, link)
    first += size
    link += size * (size - 1)
  }
}

function factorOne(q: FilmState, hg: f64, m: i32): void {
  const K = q.outer
  const decay = q.decay[m]
  let carried: f64 = 0
  for (let k = K - 1; k >= 1; k--) {
    const at = m * K + k
    const pivot = 1 / (1 / hg + decay - q.own[at] + carried)
    q.pivots[q.modes * at] = pivot
    carried = -q.upKept[at - 1] * pivot * q.lowKept[at]
  }
  q.edgeDiagonal[m] = carried
}

/** Inverts the pivot blocks by Gauss–Jordan without exchange of rows: their leading minors are far from zero. */
function factorThree(q: FilmState, hg: f64, first: i32, link: i32): void {
  const low = q.lowKept
  const up = q.upKept
  const own = q.own
  const pivots = q.pivots
  const rate = q.linkRate
  const K = q.outer
  const x = first * K
  const y = (first + 1) * K
  const z = (first + 2) * K
  const ownX = 1 / hg + q.decay[first]
  const ownY = 1 / hg + q.decay[first + 1]
  const ownZ = 1 / hg + q.decay[first + 2]
  // What a face adds to the block of the next one inward.
  let xx: f64 = 0
  let xy: f64 = 0
  let xz: f64 = 0
  let yx: f64 = 0
  let yy: f64 = 0
  let yz: f64 = 0
  let zx: f64 = 0
  let zy: f64 = 0
  let zz: f64 = 0
  for (let k = K - 1; k >= 1; k--) {
    xx += ownX - own[x + k]
    yy += ownY - own[y + k]
    zz += ownZ - own[z + k]
    xy -= rate[link]
    xz -= rate[link + 1]
    yx -= rate[link + 2]
    yz -= rate[link + 3]
    zx -= rate[link + 4]
    zy -= rate[link + 5]

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

    const at = q.modes * (x + 3 * k)
    pivots[at] = xx
    pivots[at + 1] = xy
    pivots[at + 2] = xz
    pivots[at + 3] = yx
    pivots[at + 4] = yy
    pivots[at + 5] = yz
    pivots[at + 6] = zx
    pivots[at + 7] = zy
    pivots[at + 8] = zz
    const lowX = low[x + k]
    const lowY = low[y + k]
    const lowZ = low[z + k]
    const upX = -up[x + k - 1]
    const upY = -up[y + k - 1]
    const upZ = -up[z + k - 1]
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
  q.edgeDiagonal[first] = xx
  q.edgeDiagonal[first + 1] = yy
  q.edgeDiagonal[first + 2] = zz
  const across = q.edgeAcross
  across[link] = xy
  across[link + 1] = xz
  across[link + 2] = yx
  across[link + 3] = yz
  across[link + 4] = zx
  across[link + 5] = zy
}

/** Carries the outer right-hand side to the edge rows. */
export function reduceOuter(q: FilmState, b: Reals): void {
  let first = 0
  const groups = q.set[GROUPS] as i32
  for (let g = 0; g < groups; g++) {
    const size = q.groups[g] as i32
    if (size === 1) reduceOne(q, b, first)
    else reduceThree(q, b, first)
    first += size
  }
}

function reduceOne(q: FilmState, b: Reals, m: i32): void {
  const K = q.outer
  const start = beyondEdge(q, m)
  const edge = edgeOf(q, m)
  for (let k = K - 1; k >= 1; k--) {
    const at = m * K + k
    const to = k === 1 ? edge : start + k - 1
    b[to] += q.upKept[at - 1] * q.pivots[q.modes * at] * b[start + k]
  }
}

function reduceThree(q: FilmState, b: Reals, first: i32): void {
  const pivots = q.pivots
  const up = q.upKept
  const K = q.outer
  const x = first * K
  const y = (first + 1) * K
  const z = (first + 2) * K
  const startX = beyondEdge(q, first)
  const startY = startX + K - 1
  const startZ = startX + 2 * (K - 1)
  let u = b[startX + K - 1]
  let v = b[startY + K - 1]
  let w = b[startZ + K - 1]
  for (let k = K - 1; k >= 1; k--) {
    const at = q.modes * (x + 3 * k)
    const nextU = up[x + k - 1] * (pivots[at] * u + pivots[at + 1] * v + pivots[at + 2] * w)
    const nextV = up[y + k - 1] * (pivots[at + 3] * u + pivots[at + 4] * v + pivots[at + 5] * w)
    const nextW = up[z + k - 1] * (pivots[at + 6] * u + pivots[at + 7] * v + pivots[at + 8] * w)
    if (k === 1) {
      const edge = edgeOf(q, first)
      b[edge] += nextU
      b[edge + 1] += nextV
      b[edge + 2] += nextW
      return
    }
    u = b[startX + k - 1] + nextU
    v = b[startY + k - 1] + nextV
    w = b[startZ + k - 1] + nextW
    b[startX + k - 1] = u
    b[startY + k - 1] = v
    b[startZ + k - 1] = w
  }
}

/** Back substitution from the edge outward. */
export function expandOuter(q: FilmState, b: Reals): void {
  let first = 0
  const groups = q.set[GROUPS] as i32
  for (let g = 0; g < groups; g++) {
    const size = q.groups[g] as i32
    if (size === 1) expandOne(q, b, first)
    else expandThree(q, b, first)
    first += size
  }
}

function expandOne(q: FilmState, b: Reals, m: i32): void {
  const K = q.outer
  const start = beyondEdge(q, m)
  let before = b[edgeOf(q, m)]
  for (let k = 1; k < K; k++) {
    const at = m * K + k
    before = q.pivots[q.modes * at] * (b[start + k] + q.lowKept[at] * before)
    b[start + k] = before
  }
}

function expandThree(q: FilmState, b: Reals, first: i32): void {
  const pivots = q.pivots
  const low = q.lowKept
  const K = q.outer
  const x = first * K
  const y = (first + 1) * K
  const z = (first + 2) * K
  const startX = beyondEdge(q, first)
  const startY = startX + K - 1
  const startZ = startX + 2 * (K - 1)
  const edge = edgeOf(q, first)
  let beforeX = b[edge]
  let beforeY = b[edge + 1]
  let beforeZ = b[edge + 2]
  for (let k = 1; k < K; k++) {
    const at = q.modes * (x + 3 * k)
    const u = b[startX + k] + low[x + k] * beforeX
    const v = b[startY + k] + low[y + k] * beforeY
    const w = b[startZ + k] + low[z + k] * beforeZ
    beforeX = pivots[at] * u + pivots[at + 1] * v + pivots[at + 2] * w
    beforeY = pivots[at + 3] * u + pivots[at + 4] * v + pivots[at + 5] * w
    beforeZ = pivots[at + 6] * u + pivots[at + 7] * v + pivots[at + 8] * w
    b[startX + k] = beforeX
    b[startY + k] = beforeY
    b[startZ + k] = beforeZ
  }
}
