/** Where the word of an outcome stands on a map: inside each connected piece of it, as far from its border as can be. Pure. */
import type { Grid } from './lines.ts'

export interface Region {
  kind: number
  /** Its points. */
  points: number[]
  /** The point farthest from the border, and how far that is, in the unit of `width` and `height`. */
  middle: number
  room: number
}

/** Distance of every point to the nearest one of another kind or to the frame, along rows, columns and diagonals. */
function clearances({ nx, ny, kinds }: Grid, width: number, height: number): Float64Array {
  const room = new Float64Array(nx * ny)
  const diagonal = Math.hypot(width, height)
  const near = (k: number, i: number, j: number, away: number): number => {
    if (i < 0 || i >= nx || j < 0 || j >= ny) return away / 2
    const other = j * nx + i
    return kinds[other] === kinds[k] ? room[other]! + away : away / 2
  }
  const pass = (i: number, j: number, to: 1 | -1) => {
    const k = j * nx + i
    const least = Math.min(
      near(k, i - to, j, width),
      near(k, i, j - to, height),
      near(k, i - to, j - to, diagonal),
      near(k, i + to, j - to, diagonal),
    )
    room[k] = to === 1 ? least : Math.min(room[k]!, least)
  }
  for (let j = 0; j < ny; j++) for (let i = 0; i < nx; i++) pass(i, j, 1)
  for (let j = ny - 1; j >= 0; j--) for (let i = nx - 1; i >= 0; i--) pass(i, j, -1)
  return room
}

/** Connected pieces of one kind; those of kind −1 are left out. @param width of a cell @param height of a cell */
export function regionsOf(grid: Grid, width: number, height: number): Region[] {
  const { nx, ny, kinds } = grid
  const room = clearances(grid, width, height)
  const seen = new Uint8Array(nx * ny)
  const regions: Region[] = []
  for (let start = 0; start < nx * ny; start++) {
    const kind = kinds[start]!
    if (seen[start] || kind < 0) continue
    const points = [start]
    seen[start] = 1
    for (let n = 0; n < points.length; n++) {
      const k = points[n]!
      const i = k % nx
      for (const other of [i > 0 ? k - 1 : -1, i + 1 < nx ? k + 1 : -1, k - nx, k + nx]) {
        if (other < 0 || other >= nx * ny || seen[other] || kinds[other] !== kind) continue
        seen[other] = 1
        points.push(other)
      }
    }
    const middle = points.reduce((best, k) => (room[k]! > room[best]! ? k : best))
    regions.push({ kind, points, middle, room: room[middle]! })
  }
  return regions
}

/** Whether a box about a point lies in points of its kind. */
export function fitsAbout(
  { nx, ny, kinds }: Grid,
  k: number,
  halfWidth: number,
  halfHeight: number,
): boolean {
  const [i, j] = [k % nx, Math.floor(k / nx)]
  const [di, dj] = [Math.ceil(halfWidth - 0.5), Math.ceil(halfHeight - 0.5)]
  if (i - di < 0 || i + di >= nx || j - dj < 0 || j + dj >= ny) return false
  for (let b = j - dj; b <= j + dj; b++) {
    for (let a = i - di; a <= i + di; a++) if (kinds[b * nx + a] !== kinds[k]) return false
  }
  return true
}
