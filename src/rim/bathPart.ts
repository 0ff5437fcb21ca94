/** What the bath's surface does under a disturbed rim, by the unknowns of the operator: see `operator.ts`. */
import { CLOSURE } from '../model/problem.ts'
import { square } from '../numerics/elementary.ts'
import type { RimBase } from './base.ts'
import { type CellForms, clear, type FaceForm, form } from './forms.ts'
import type { RimGeometry } from './geometry.ts'
import { type RimKernels, stillSlopes, type Table } from './kernels.ts'

/** Rows and columns exchanged. */
function turn(from: Float64Array, rows: number, to: Float64Array): void {
  const columns = from.length / rows
  for (let i = 0; i < rows; i++) for (let j = 0; j < columns; j++) to[j * rows + i] = from[i * columns + j]
}

export class BathPart {
  /** u1 at the faces (the last is the speed of the edge's displacement) by the unknowns, a row a face. */
  readonly speed: Float64Array
  /** i k u′_y at the middles by the unknowns, a row a cell. */
  readonly along: Float64Array
  /** ∂x u0 at the faces from the base's pulls on a half space, 1/s; infinite at the edge. */
  readonly stretch: Float64Array
  // The same by unknowns first.
  private readonly speedBy: Float64Array
  private readonly alongBy: Float64Array
  private readonly slopes: { own: Table; image: Table | null }
  private readonly capillaryForm = form()
  private base!: RimBase
  private k = 0

  constructor(
    private readonly geometry: RimGeometry,
    private readonly cells: CellForms,
    private readonly size: number,
  ) {
    const m = geometry.count
    this.speed = new Float64Array((m + 1) * size)
    this.along = new Float64Array(m * size)
    this.speedBy = new Float64Array(this.speed.length)
    this.alongBy = new Float64Array(this.along.length)
    this.stretch = new Float64Array(m + 1)
    this.slopes = stillSlopes(geometry, geometry.faces)
  }

  /** @param k wavenumber along the rim, 1/m */
  lay(base: RimBase, kernels: RimKernels, k: number): void {
    this.base = base
    this.k = k
    this.speedBy.fill(0)
    this.alongBy.fill(0)
    this.layStretch()
    this.layTension(kernels)
    this.layOther(kernels)
    this.layMoved(kernels)
    turn(this.speedBy, this.size, this.speed)
    turn(this.alongBy, this.size, this.along)
  }

  /** Factor 1/(2πηo) of all kernels. */
  private get answer(): number {
    return 1 / (2 * Math.PI * this.base.sys.problem.oilViscosity)
  }

  /** Width of the dual cell of face g, m. */
  private dualWidth(g: number): number {
    const { ends } = this.geometry
    return (ends[g + 1] - ends[g]) * this.base.R
  }

  /** Pull per width (Pa) of the base in the dual cell of mesh face f. */
  private pullDensity(pulls: Float64Array, f: number): number {
    const { mesh } = this.geometry
    const near = Math.sqrt(mesh.zc[f - 1])
    const far = f < mesh.cells ? Math.sqrt(mesh.zc[f]) : 1
    return pulls[f] / ((far - near) * this.base.R)
  }

  private layStretch(): void {
    const { base, geometry, stretch, slopes, answer } = this
    const width = geometry.mesh.cells + 1
    const places = geometry.count + 1
    for (let i = 0; i < places; i++) {
      let sum = 0
      for (let f = 1; f < width; f++) {
        const density = this.pullDensity(base.pulls.tension, f) + this.pullDensity(base.pulls.other, f)
        sum += density * (slopes.own[f * places + i] + (slopes.image?.[f * places + i] ?? 0))
      }
      stretch[i] = answer * sum
    }
  }

  /** Adds `amount` times row g of a kernel table to the speeds by one unknown, across (faces) or along (middles). */
  private spread(table: Table, g: number, to: Float64Array, unknown: number, amount: number): void {
    if (amount === 0) return
    const places = to.length / this.size
    const at = unknown * places
    const from = g * places
    for (let i = 0; i < places; i++) to[at + i] += amount * table[from + i]
  }

  /** Speeds from the perturbed tension. */
  private layTension(kernels: RimKernels): void {
    const { geometry, speedBy: speed, alongBy: along, answer, k, base } = this
    const { sigmaH, sigmaPsi } = this.cells
    const m = geometry.count
    const mirror = geometry.inside === 'mirror'
    for (let j = 0; j < m; j++) {
      // A cell's tension is a rise at its inner face and a fall at its outer one.
      for (const [g, sign] of [
        [j, 1],
        [j + 1, -1],
      ] as const) {
        if (mirror && g === 0) continue
        const share = (sign * answer) / (k * this.dualWidth(g))
        this.spread(kernels.facePull, g, speed, j, share * sigmaH[j])
        this.spread(kernels.facePull, g, speed, m + j, share * sigmaPsi[j])
      }
      this.spread(kernels.cellTension, j, along, j, -answer * k * sigmaH[j])
      this.spread(kernels.cellTension, j, along, m + j, -answer * k * sigmaPsi[j])
    }
    for (let g = 0; g <= m; g++) {
      const f = geometry.first + g
      if (f === 0) continue
      const amount = answer * k * geometry.shiftFace[g] * this.pullDensity(base.pulls.tension, f)
      this.spread(kernels.cellPull, g, along, 2 * m, amount)
    }
  }

  /** Speeds from the perturbed capillary forces. */
  private layOther(kernels: RimKernels): void {
    const { geometry, base, speedBy: speed, alongBy: along, answer, k, cells } = this
    const { unknowns, amounts } = cells
    const { count: m, first } = geometry
    const one = this.capillaryForm
    for (let g = geometry.inside === 'mirror' ? 1 : 0; g <= m; g++) {
      clear(one)
      const own = this.capillary(g, one)
      cells.takeApart(g, one)
      if (own !== 0) cells.term(2 * m, own)
      const share = answer / (k * this.dualWidth(g))
      for (let t = 0; t < cells.terms; t++) {
        this.spread(kernels.facePush, g, speed, unknowns[t], share * amounts[t])
        this.spread(kernels.cellAcross, g, along, unknowns[t], share * k * amounts[t])
      }
    }
    for (let j = 0; j < m; j++) {
      const h = base.sys.h[first + j]
      const f = geometry.shiftCell[j]
      const bend = 0.5 * square(base.hx[j]) * base.closureSlope(j, CLOSURE.levelling)
      cells.terms = 0
      cells.pressureTerms(j, -h)
      cells.term(j, -bend * base.phiH[j])
      cells.term(m + j, -bend * base.phiPsi[j])
      cells.term(2 * m, f * (h * base.px[j] + bend * base.phix[j]))
      for (let t = 0; t < cells.terms; t++) {
        this.spread(kernels.faceAlong, j, speed, unknowns[t], answer * amounts[t])
        this.spread(kernels.cellAlong, j, along, unknowns[t], -answer * k * amounts[t])
      }
    }
    // The edge's own pull turns with the edge: a force along −ik ζ ½ γ_eff s².
    const line = (answer * base.pulls.line) / this.dualWidth(m)
    this.spread(kernels.faceLine, m, speed, 2 * m, -line)
    this.spread(kernels.cellLine, m, along, 2 * m, line * k)
  }

  /** Capillary pull in the dual cell of face g, N/m, as a form in what lies beside it; returns its part by ζ. */
  private capillary(g: number, to: FaceForm): number {
    const { base, geometry } = this
    const { sys, R } = base
    const { count: m, first, mesh, shiftCell } = geometry
    const gamma = CLOSURE.levelling
    if (g === m) {
      const d = R * mesh.gap[mesh.cells]
      const slope = sys.h[mesh.cells - 1] / d
      const by = 0.5 * base.closureSlope(m - 1, gamma) * slope * slope
      to.h[1] += (base.closure(m - 1, gamma) * slope) / d + by * base.phiH[m - 1]
      to.psi[1] += by * base.phiPsi[m - 1]
      return 0
    }
    const c = first + g
    const d = R * mesh.gap[c]
    const slope = (sys.h[c] - sys.h[c - 1]) / d
    const w = mesh.weight[c]
    const rise = sys.pressure[c] - sys.pressure[c - 1]
    to.push = -(sys.h[c - 1] + w * (sys.h[c] - sys.h[c - 1]))
    const STEP = this.levellingStep(g)
    to.h[1] += -(1 - w) * rise + (slope * STEP) / d
    to.h[2] += -w * rise - (slope * STEP) / d
    const half = 0.5 * slope * slope
    if (g > 0) {
      const by = half * base.closureSlope(g - 1, gamma)
      to.h[1] += by * base.phiH[g - 1]
      to.psi[1] += by * base.phiPsi[g - 1]
    }
    const by = half * base.closureSlope(g, gamma)
    to.h[2] -= by * base.phiH[g]
    to.psi[2] -= by * base.phiPsi[g]
    // −2 f′ (−½ (∂x h)² ∂x γ_eff): what the displaced frame leaves of the last force where f varies.
    const turn = g > 0 ? (shiftCell[g] - shiftCell[g - 1]) / d : 0
    return 2 * turn * half * STEP
  }

  private levellingStep(g: number): number {
    const { base } = this
    return base.closure(g, CLOSURE.levelling) - base.closure(g - 1, CLOSURE.levelling)
  }

  /** Speeds from the displacement of the base's pulls, in the displaced frame. */
  private layMoved(kernels: RimKernels): void {
    const { geometry, base, speedBy: speed, alongBy: along, slopes, answer, k } = this
    const { count: m, first, mesh, shiftFace } = geometry
    const { tension, other } = base.pulls
    for (let f = 1; f <= mesh.cells; f++) {
      const g = f - first
      const inside = g < 0
      const shift = inside ? 0 : shiftFace[g]
      const pull = this.pullDensity(tension, f)
      const push = this.pullDensity(other, f)
      for (let i = 0; i <= m; i++) {
        const at = 2 * m * (m + 1) + i
        const from = f * (m + 1) + i
        if (shiftFace[i] !== shift)
          speed[at] += answer * (pull + push) * (shiftFace[i] - shift) * slopes.own[from]
        if (slopes.image) speed[at] += answer * (pull + push) * (shiftFace[i] + shift) * slopes.image[from]
        if (inside || shift === 0) continue
        const column = g * (m + 1) + i
        speed[at] +=
          answer * shift * (pull * kernels.faceMoved[column] + push * kernels.faceMovedPush[column])
      }
      if (!inside && shift > 0) this.spread(kernels.cellMoved, g, along, 2 * m, -answer * k * shift * push)
    }
  }
}
