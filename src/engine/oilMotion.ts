/**
 * How the oil under a drop moves in one step: from where it comes into each cell, and by how much it is stretched. All
 * that the oil carries is carried by it.
 */
import { clear, copy, type Reals, reals } from './memory.ts'

// Places in `now`.
/** Radius at the last acceptance and the one for which the step is laid, m; growth of the radius, 1/s. */
const SEEN_R: i32 = 0
export const LAID_R: i32 = 1
const GROWTH: i32 = 2

export class OilMotion {
  readonly now: Reals
  // The mesh: faces, their squares, ∫ s ds by cell and twice that, the cells' middles in s² and from each to the next one's.
  readonly s: Reals
  readonly squares: Reals
  readonly area: Reals
  readonly twice: Reals
  readonly zc: Reals
  readonly gap: Reals
  /** Faces' s² before the step, and by cell what lies between two of them. */
  readonly from: Reals
  readonly width: Reals
  /** 1 + 1/stretch² by cell: diffusion early in the step runs over depths that are stretched or gathered until its end. */
  readonly thinning: Reals
  /** Per place `from`: the cell in which it lies, how far behind that cell's left face, and how far the middle of the way is from the cell's. */
  readonly cell: Reals
  readonly along: Reals
  readonly lever: Reals
  /** Speed of the oil relative to the faces, in radii per second. */
  readonly drift: Reals

  constructor(readonly cells: i32) {
    const faces = cells + 1
    this.now = reals(4)
    this.s = reals(faces)
    this.squares = reals(faces)
    this.area = reals(cells)
    this.twice = reals(cells)
    this.zc = reals(cells)
    this.gap = reals(cells)
    this.from = reals(faces)
    this.width = reals(cells)
    this.thinning = reals(cells)
    this.cell = reals(faces)
    this.along = reals(faces)
    this.lever = reals(faces)
    this.drift = reals(faces)
  }
}

/** Lays the mesh: faces s and the cells' ∫ s ds and middles in s². */
export function layMotionMesh(m: OilMotion, s: Reals, area: Reals, zc: Reals): void {
  const cells = m.cells
  copy(m.s, s, cells + 1)
  copy(m.area, area, cells)
  copy(m.zc, zc, cells)
  for (let f = 0; f <= cells; f++) m.squares[f] = s[f] * s[f]
  for (let i = 0; i < cells; i++) {
    m.twice[i] = 2 * area[i]
    m.gap[i] = i + 1 < cells ? zc[i + 1] - zc[i] : 1
  }
}

/** Oil at rest. */
export function restMotion(m: OilMotion): void {
  const cells = m.cells
  clear(m.from, 0, cells + 1)
  clear(m.width, 0, cells)
  clear(m.thinning, 0, cells)
  clear(m.cell, 0, cells + 1)
  clear(m.along, 0, cells + 1)
  clear(m.lever, 0, cells + 1)
  clear(m.drift, 0, cells + 1)
  m.now[SEEN_R] = 1
  m.now[LAID_R] = 1
  m.now[GROWTH] = 0
}

/** Notes the motion from which the next steps are tried: speeds of the faces in m/s, edge at R (m) moving with U. */
export function seeMotion(m: OilMotion, speed: Reals, R: f64, U: f64): void {
  for (let f = 1; f < m.cells; f++) m.drift[f] = (speed[f] - m.s[f] * U) / R
  m.now[SEEN_R] = R
  m.now[GROWTH] = U / R
}

/** Lays a step of h seconds. */
export function layMotion(m: OilMotion, h: f64): void {
  const x = h * m.now[GROWTH]
  const R = m.now[SEEN_R]
  const laidR = R * Math.max(0.5, 1 + x + 0.5 * x * x)
  m.now[LAID_R] = laidR
  layFaces(m, h)
  const widened = (laidR * laidR) / (R * R)
  for (let i = 0; i < m.cells; i++) {
    const width = m.from[i + 1] - m.from[i]
    const stretch = (m.twice[i] * widened) / width
    m.width[i] = width
    m.thinning[i] = 1 + 1 / (stretch * stretch)
  }
  findCells(m)
}

function layFaces(m: OilMotion, h: f64): void {
  const from = m.from
  const area = m.area
  const cells = m.cells
  from[0] = 0
  from[cells] = 1
  for (let f = 1; f < cells; f++) {
    const at = m.s[f] - h * m.drift[f]
    const squared = at > 0 ? at * at : 0
    from[f] = Math.min(1, squared)
  }
  // Faces that a long step would let overtake each other keep a trace of distance.
  for (let f = 1; f < cells; f++) from[f] = Math.max(from[f], from[f - 1] + 1e-3 * area[f - 1])
  for (let f = cells - 1; f > 0; f--) from[f] = Math.min(from[f], from[f + 1] - 1e-3 * area[f])
}

function findCells(m: OilMotion): void {
  const cells = m.cells
  let c = 0
  for (let f = 1; f <= cells; f++) {
    const z = m.from[f]
    while (c < cells - 1 && z > m.squares[c + 1]) c++
    const low = m.squares[c]
    m.cell[f] = c as f64
    m.along[f] = z - low
    m.lever[f] = 0.5 * (z + low) - m.zc[c]
  }
}
