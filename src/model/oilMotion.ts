import type { FilmMesh } from './filmMesh.ts'

/**
 * How the oil under a drop moves in one step: from where it comes into each cell, and by how much it is stretched. All
 * that the oil carries is carried by it.
 */
export class OilMotion {
  /** Radius at the last acceptance and the one for which the step is laid, m. */
  R = 1
  laidR = 1
  /** Faces' s² before the step, and by cell what lies between two of them. */
  readonly from: Float64Array
  readonly width: Float64Array
  /** 1 + 1/stretch² by cell: diffusion early in the step runs over depths that are stretched or gathered until its end. */
  readonly thinning: Float64Array
  /** Per place `from`: the cell in which it lies, how far behind that cell's left face, and how far the middle of the way is from the cell's. */
  readonly cell: Int32Array
  readonly along: Float64Array
  readonly lever: Float64Array
  /** The cells' whole ∫ dz, and from each cell's middle to the next one's. */
  readonly twice: Float64Array
  readonly gap: Float64Array
  /** Speed of the oil relative to the faces, in radii per second. */
  private readonly drift: Float64Array
  private readonly squares: Float64Array
  private growth = 0

  constructor(private readonly mesh: FilmMesh) {
    const N = mesh.cells
    const faces = () => new Float64Array(N + 1)
    ;[this.from, this.along, this.lever, this.drift] = [faces(), faces(), faces(), faces()]
    ;[this.width, this.thinning] = [new Float64Array(N), new Float64Array(N)]
    this.cell = new Int32Array(N + 1)
    this.squares = mesh.s.map((s) => s * s)
    this.twice = mesh.area.map((area) => 2 * area)
    this.gap = mesh.zc.map((z, i) => (i + 1 < N ? mesh.zc[i + 1]! - z : 1))
  }

  /** Oil at rest. */
  reset(): void {
    for (const part of [this.from, this.along, this.lever, this.drift, this.width, this.thinning])
      part.fill(0)
    this.cell.fill(0)
    this.R = this.laidR = 1
    this.growth = 0
  }

  /** Notes the motion from which the next steps are tried: speeds of the faces in m/s, edge at R (m) moving with U. */
  see(speed: Float64Array, R: number, U: number): void {
    const { s, cells } = this.mesh
    for (let f = 1; f < cells; f++) this.drift[f] = (speed[f]! - s[f]! * U) / R
    this.R = R
    this.growth = U / R
  }

  /** Lays a step of h seconds. */
  lay(h: number): void {
    const x = h * this.growth
    this.laidR = this.R * Math.max(0.5, 1 + x + 0.5 * x * x)
    this.layFaces(h)
    const { mesh, from, width, thinning, twice } = this
    const widened = (this.laidR * this.laidR) / (this.R * this.R)
    for (let i = 0; i < mesh.cells; i++) {
      width[i] = from[i + 1]! - from[i]!
      const stretch = (twice[i]! * widened) / width[i]!
      thinning[i] = 1 + 1 / (stretch * stretch)
    }
    this.findCells()
  }

  private layFaces(h: number): void {
    const { mesh, from, drift } = this
    const N = mesh.cells
    const { s, area } = mesh
    from[0] = 0
    from[N] = 1
    for (let f = 1; f < N; f++) {
      const at = s[f]! - h * drift[f]!
      const squared = at > 0 ? at * at : 0
      from[f] = Math.min(1, squared)
    }
    // Faces that a long step would let overtake each other keep a trace of distance.
    for (let f = 1; f < N; f++) from[f] = Math.max(from[f]!, from[f - 1]! + 1e-3 * area[f - 1]!)
    for (let f = N - 1; f > 0; f--) from[f] = Math.min(from[f]!, from[f + 1]! - 1e-3 * area[f]!)
  }

  private findCells(): void {
    const { mesh, from, cell, along, lever, squares } = this
    const N = mesh.cells
    const { zc } = mesh
    let c = 0
    for (let f = 1; f <= N; f++) {
      const z = from[f]!
      while (c < N - 1 && z > squares[c + 1]!) c++
      const low = squares[c]!
      cell[f] = c
      along[f] = z - low
      lever[f] = 0.5 * (z + low) - zc[c]!
    }
  }
}
