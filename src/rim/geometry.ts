/** The outer part of a drop's mesh, on which the perturbations of the rim live. */
import type { FilmMesh } from '../model/filmMesh.ts'

/** Perturbations are carried in cells beyond this share of the radius. */
const FROM = 0.6

/** What lies inside the first cell: film that stays as it is, or the mirror image of what lies outside. */
export type Inside = 'still' | 'mirror'

/** Where the displacement of the edge goes over into rest: f = 0 up to `low`, 1 from `high` on, in r/R. */
export interface Shift {
  low: number
  high: number
}
const SHIFT: Shift = { low: 0.7, high: 0.88 }

/** Step from 0 to 1 with three continuous derivatives at both ends. */
function stepOf({ low, high }: Shift, s: number): number {
  const x = (s - low) / (high - low)
  if (x <= 0) return 0
  if (x >= 1) return 1
  const y = x * x
  return y * y * (35 + x * (-84 + x * (70 - 20 * x)))
}

/**
 * Places on the mesh, r/R. Faces are numbered from 0 (the inner end of the first cell) to `count` (the edge), cells from
 * 0 to count − 1. The dual cell of a face reaches from the middle of the cell inside it to that of the cell outside it;
 * the edge's ends at the edge.
 */
export interface RimGeometry {
  mesh: FilmMesh
  inside: Inside
  /** Index in the mesh of the first cell. */
  first: number
  /** Number of cells. */
  count: number
  /** Faces 0 … count. */
  faces: Float64Array
  /** Middles of the cells 0 … count − 1. */
  middles: Float64Array
  /** Ends of the dual cells: dual g reaches from ends[g] to ends[g + 1], g = 0 … count. */
  ends: Float64Array
  /** f at the cells and at the faces. */
  shiftCell: Float64Array
  shiftFace: Float64Array
}

export function rimGeometry(
  mesh: FilmMesh,
  { from = FROM, inside = 'still', shift = SHIFT }: { from?: number; inside?: Inside; shift?: Shift } = {},
): RimGeometry {
  const N = mesh.cells
  let first = 0
  while (first < N - 4 && mesh.s[first] < from) first++
  if (inside === 'still' && first === 0) first = 1
  const count = N - first
  const middle = (i: number) => Math.sqrt(mesh.zc[i])
  const faces = mesh.s.slice(first)
  const middles = Float64Array.from({ length: count }, (_, k) => middle(first + k))
  const before = inside === 'mirror' ? 2 * faces[0] - middles[0] : middle(first - 1)
  return {
    mesh,
    inside,
    first,
    count,
    faces,
    middles,
    ends: Float64Array.of(before, ...middles, 1),
    shiftCell: middles.map((s) => stepOf(shift, s)),
    shiftFace: faces.map((s) => stepOf(shift, s)),
  }
}
