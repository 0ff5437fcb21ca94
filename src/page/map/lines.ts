/** Lines over a grid of points: contours of a number (marching squares) and borders between kinds. Pure. */

/** Corners of a line, in steps of the grid (0 = first point). */
export type GridLine = [number, number][]

export interface Grid {
  nx: number
  ny: number
  /** What a point is; lines of a number end where kinds meet. −1: nothing is known, no line passes. */
  kinds: ArrayLike<number>
}

/** Piece of a line between two nodes: edges between neighbouring points, and middles of cells. */
type Piece = [number, number]

/** Node on the edge from (i, j) to the right, on that upwards, and in the middle of the cell above and right of it. */
const nodeOf = (nx: number, i: number, j: number, kind: 0 | 1 | 2): number => 3 * (j * nx + i) + kind

/** Joins pieces into lines; where three or more meet, all end. */
function joined(pieces: readonly Piece[], place: (node: number) => [number, number]): GridLine[] {
  const at = new Map<number, number[]>()
  pieces.forEach((piece, k) => {
    for (const node of piece) {
      const there = at.get(node)
      if (there) there.push(k)
      else at.set(node, [k])
    }
  })
  const used = new Uint8Array(pieces.length)
  const follow = (first: number, start: number): GridLine => {
    const nodes = [start]
    let [piece, node] = [first, start]
    for (;;) {
      used[piece] = 1
      const [a, b] = pieces[piece]!
      node = a === node ? b : a
      nodes.push(node)
      const there = at.get(node)!
      const next = there.length === 2 ? there.find((k) => !used[k]) : undefined
      if (next === undefined) return nodes.map(place)
      piece = next
    }
  }
  const lines: GridLine[] = []
  for (const [node, there] of at) {
    if (there.length === 2) continue
    for (const k of there) if (!used[k]) lines.push(follow(k, node))
  }
  pieces.forEach(([a], k) => {
    if (!used[k]) lines.push(follow(k, a))
  })
  return lines
}

/** The four corners of a cell, counter-clockwise from the lower left one. */
const cornersOf = (nx: number, i: number, j: number): [number, number, number, number] => {
  const k = j * nx + i
  return [k, k + 1, k + nx + 1, k + nx]
}

/** Nodes on the edges of a cell, each after the corner of its number. */
const edgesOf = (nx: number, i: number, j: number): [number, number, number, number] => [
  nodeOf(nx, i, j, 0),
  nodeOf(nx, i + 1, j, 1),
  nodeOf(nx, i, j + 1, 0),
  nodeOf(nx, i, j, 1),
]

/** Pieces of a contour in one cell, from the values at its corners less the level. */
function contourPieces(off: readonly number[], edges: readonly number[]): Piece[] {
  const crossed = edges.filter((_, e) => off[e]! >= 0 !== off[(e + 1) % 4]! >= 0)
  if (crossed.length === 2) return [[crossed[0]!, crossed[1]!]]
  if (crossed.length < 4) return []
  // A saddle: the mean of the corners tells which of them hang together.
  const middle = off[0]! + off[1]! + off[2]! + off[3]! >= 0
  const [a, b, c, d] = edges as [number, number, number, number]
  return middle === off[0]! >= 0
    ? [
        [a, b],
        [c, d],
      ]
    : [
        [d, a],
        [b, c],
      ]
}

/** Lines along which `values` (one a point) have a value. They leave out cells with a point of another kind or without a number. */
export function contourLines({ nx, ny, kinds }: Grid, values: Float64Array, level: number): GridLine[] {
  const pieces: Piece[] = []
  for (let j = 0; j + 1 < ny; j++) {
    for (let i = 0; i + 1 < nx; i++) {
      const corners = cornersOf(nx, i, j)
      const kind = kinds[corners[0]]!
      if (kind < 0 || corners.some((k) => kinds[k] !== kind || !Number.isFinite(values[k]!))) continue
      pieces.push(
        ...contourPieces(
          corners.map((k) => values[k]! - level),
          edgesOf(nx, i, j),
        ),
      )
    }
  }
  return joined(pieces, (node) => {
    const k = Math.floor(node / 3)
    const [i, j] = [k % nx, Math.floor(k / nx)]
    const up = node % 3 === 1
    const [a, b] = [values[k]!, values[up ? k + nx : k + 1]!]
    const part = a === b ? 0.5 : (level - a) / (b - a)
    return up ? [i, j + part] : [i + part, j]
  })
}

/** Lines half way between neighbouring points of different kinds, corners cut. */
export function borderLines({ nx, ny, kinds }: Grid): GridLine[] {
  const pieces: Piece[] = []
  for (let j = 0; j + 1 < ny; j++) {
    for (let i = 0; i + 1 < nx; i++) {
      const corners = cornersOf(nx, i, j)
      if (corners.some((k) => kinds[k]! < 0)) continue
      const crossed = edgesOf(nx, i, j).filter((_, e) => kinds[corners[e]!] !== kinds[corners[(e + 1) % 4]!])
      if (crossed.length === 2) pieces.push([crossed[0]!, crossed[1]!])
      else for (const node of crossed) pieces.push([node, nodeOf(nx, i, j, 2)])
    }
  }
  return joined(pieces, (node) => {
    const k = Math.floor(node / 3)
    const [i, j] = [k % nx, Math.floor(k / nx)]
    const kind = node % 3
    return [i + (kind === 1 ? 0 : 0.5), j + (kind === 0 ? 0 : 0.5)]
  })
}
