/** Buffers and constants of one drop on its bath: all that the engine's equations read and write. */
import { Band } from './band.ts'
import { type Reals, reals } from './memory.ts'
import { OilLayer } from './oilLayer.ts'
import { OilMotion } from './oilMotion.ts'
import { BOOKS, CLOSURES, NUMBERS, SETTINGS, STRIDE } from './places.ts'

/** Columns of a cell's blocks that the cells two away reach: thickness and alcohol. */
const FAR: i32 = 2

/**
 * State vectors hold per cell i the block [X, P, u_1 … u_M] with X = h R² and P = h φ R² (m³: cell volumes divided by 2π and
 * by the cell's ∫ s ds, so that a conserved quantity is a conserved sum) and u_m the bath fields at the cell's outer face
 * (m/s); then the outer bath fields mode by mode; then the books; then, where the oil takes up alcohol, what it has taken
 * in each cell (m³, as P); then R (m).
 */
export class FilmState {
  readonly block: i32
  readonly outerAt: i32
  readonly booksAt: i32
  readonly oilAt: i32
  readonly radiusAt: i32
  /** Number of unknowns, and the distance of two of the stage vectors. */
  readonly n: i32
  readonly stride: i32

  readonly set: Reals
  readonly now: Reals

  // The mesh; see model/filmMesh.ts.
  readonly s: Reals
  readonly area: Reals
  readonly gap: Reals
  readonly weight: Reals
  readonly bathL: Reals
  readonly bathC: Reals
  readonly bathR: Reals
  readonly slopeL: Reals
  readonly slopeC: Reals
  readonly slopeR: Reals
  readonly g: Reals
  /** ∫ (2/π)/√(1 − s²) s ds over each cell. */
  readonly ringFlux: Reals

  // Cells
  readonly h: Reals
  readonly phi: Reals
  readonly psi: Reals
  /** CLOSURES values then as many φ-derivatives per cell. */
  readonly closure: Reals
  readonly cover: Reals
  readonly coverSlope: Reals
  /** 1 where the cell is wet, 0 where its fraction is lent. */
  readonly wetness: Reals
  /** Tension passed to the bath, N/m. */
  readonly sigma: Reals
  readonly pressure: Reals
  /** ∇²h in the cells. */
  readonly curvature: Reals
  /** Coefficients of ∇²h·R² on cells i−1, i, i+1. */
  readonly lapL: Reals
  readonly lapC: Reals
  readonly lapR: Reals
  /** What evaporates from the cells, by the last rates, m³/s as X. */
  readonly alcoholLoss: Reals
  readonly waterLoss: Reals

  // Vapour: loss = speed · closure − back (m/s), and the speeds' dependence on R (1/s).
  readonly alcoholSpeed: Reals
  readonly waterSpeed: Reals
  readonly alcoholSpeedByR: Reals
  readonly waterSpeedByR: Reals
  readonly alcoholBack: Reals
  readonly waterBack: Reals
  // The oil: its motion, the alcohol that it takes up and the warmth that it lacks.
  readonly motion: OilMotion
  readonly uptake: OilLayer
  readonly warmth: OilLayer
  /** Uptake by the oil: take · c − back, m³/s as X. */
  readonly oilTake: Reals
  readonly oilBack: Reals

  // Faces 0 … cells
  readonly speed: Reals
  readonly force: Reals
  readonly volumeFlux: Reals
  readonly alcoholFlux: Reals
  readonly filmFlux: Reals
  /** Root of the mean square over the depth of what the film's shear carries past its mean, ∫ v′ dz, m²/s. */
  readonly stirring: Reals
  /** Dispersion of the alcohol, m²/s. */
  readonly dispersion: Reals

  // Bath fields: decay, 1/s; answer to the force, m/s² per Pa; spreading, m²/s, and that by R², 1/s.
  readonly decay: Reals
  readonly gain: Reals
  readonly spread: Reals
  readonly diffusion: Reals
  /** Number of fields in each group of fields that drive each other: 1 or 3. */
  readonly groups: Reals
  /** Fields that drive another one, group by group and there row by row: which, by which, and the rate, 1/s. */
  readonly linkTo: Reals
  readonly linkFrom: Reals
  readonly linkRate: Reals

  // The bath outside the drop, faces 0 (edge) … outer (wall).
  /** ∂r((1/r)∂r(r u)) at face k on faces k−1, k, k+1, 1/m². */
  readonly outL: Reals
  readonly outC: Reals
  readonly outR: Reals
  /** Drift with the mesh, (1 − g) ∂r u at face k, on faces k−1, k, k+1, 1/m. */
  readonly driftL: Reals
  readonly driftC: Reals
  readonly driftR: Reals
  readonly radius: Reals
  /** Jacobian by fields and faces: lower, diagonal without the decay, upper. */
  readonly low: Reals
  readonly own: Reals
  readonly up: Reals
  /** Its elimination: inverted pivot blocks by group and face; off-diagonals as they were factored; what it adds to the edge's rows. */
  readonly pivots: Reals
  readonly lowKept: Reals
  readonly upKept: Reals
  readonly edgeDiagonal: Reals
  readonly edgeAcross: Reals

  // The Jacobian
  /** Columns beside the band: direct dependence of the rates on U and on R. */
  readonly byU: Reals
  readonly byR: Reals
  /** d(book)/d(X, P) per cell and book; d(what passes into the oil)/d(X, P) per cell. */
  readonly books: Reals
  readonly oil: Reals
  readonly phiH: Reals
  readonly phiPsi: Reals
  /** Change of thickness and fraction with R at fixed contents. */
  readonly hR: Reals
  readonly phiR: Reals
  // Derivatives of one face's quantities by thickness and fraction of the cells f−2 … f+1.
  readonly forceH: Reals
  readonly forcePhi: Reals
  readonly fluxH: Reals
  readonly fluxPhi: Reals
  readonly fluxAlcoholH: Reals
  readonly fluxAlcoholPhi: Reals
  readonly pressureH: Reals
  readonly pressurePhi: Reals
  readonly upH: Reals
  readonly upPhi: Reals

  // Its factorisation
  readonly band: Band
  /** A⁻¹(byU + hg byR). */
  readonly border: Reals
  /** Entries of the Jacobian that make room for what is added to them. */
  readonly kept: Reals

  /** Polynomials of the closures: [interval][closure][4]; see numerics/curveSet.ts. */
  readonly curves: Reals
  /** Stage vectors of a step, weights of a combination of them, and vectors for whoever needs one. */
  readonly stages: Reals
  readonly weights: Reals
  readonly vectors: Reals

  /**
   * @param cells under the drop @param outer faces from edge to wall @param modes bath fields
   * @param drinks 1: the oil takes up alcohol @param stages of the method @param intervals most grid intervals of the closures
   */
  constructor(
    readonly cells: i32,
    readonly outer: i32,
    readonly modes: i32,
    readonly drinks: i32,
    stages: i32,
    intervals: i32,
  ) {
    const faces = cells + 1
    const block = 2 + modes
    this.block = block
    const outerAt = cells * block
    const booksAt = outerAt + modes * (outer - 1)
    const oilAt = booksAt + BOOKS
    const radiusAt = oilAt + (drinks !== 0 ? cells : 0)
    const n = radiusAt + 1
    const stride = (n + 3) & ~1
    this.outerAt = outerAt
    this.booksAt = booksAt
    this.oilAt = oilAt
    this.radiusAt = radiusAt
    this.n = n
    this.stride = stride
    this.set = reals(SETTINGS)
    this.now = reals(NUMBERS)

    this.s = reals(faces)
    this.area = reals(cells)
    this.gap = reals(faces)
    this.weight = reals(faces)
    this.bathL = reals(faces)
    this.bathC = reals(faces)
    this.bathR = reals(faces)
    this.slopeL = reals(faces)
    this.slopeC = reals(faces)
    this.slopeR = reals(faces)
    this.g = reals(outer + 1)
    this.ringFlux = reals(cells)

    this.h = reals(cells)
    this.phi = reals(cells)
    this.psi = reals(cells)
    this.closure = reals(cells * STRIDE)
    this.cover = reals(cells)
    this.coverSlope = reals(cells)
    this.wetness = reals(cells)
    this.sigma = reals(cells)
    this.pressure = reals(cells)
    this.curvature = reals(cells)
    this.lapL = reals(cells)
    this.lapC = reals(cells)
    this.lapR = reals(cells)
    this.alcoholLoss = reals(cells)
    this.waterLoss = reals(cells)

    this.alcoholSpeed = reals(cells)
    this.waterSpeed = reals(cells)
    this.alcoholSpeedByR = reals(cells)
    this.waterSpeedByR = reals(cells)
    this.alcoholBack = reals(cells)
    this.waterBack = reals(cells)
    const uptake = new OilLayer(cells)
    this.uptake = uptake
    this.oilTake = uptake.take
    this.oilBack = uptake.back
    this.warmth = new OilLayer(cells)
    this.motion = new OilMotion(cells)

    this.speed = reals(faces)
    this.force = reals(faces)
    this.volumeFlux = reals(faces)
    this.alcoholFlux = reals(faces)
    this.filmFlux = reals(faces)
    this.stirring = reals(faces)
    this.dispersion = reals(faces)

    this.decay = reals(modes)
    this.gain = reals(modes)
    this.spread = reals(modes)
    this.diffusion = reals(modes)
    this.groups = reals(modes)
    this.linkTo = reals(modes * modes)
    this.linkFrom = reals(modes * modes)
    this.linkRate = reals(modes * modes)

    this.outL = reals(outer)
    this.outC = reals(outer)
    this.outR = reals(outer)
    this.driftL = reals(outer)
    this.driftC = reals(outer)
    this.driftR = reals(outer)
    this.radius = reals(outer + 1)
    this.low = reals(modes * outer)
    this.own = reals(modes * outer)
    this.up = reals(modes * outer)
    this.pivots = reals(modes * modes * outer)
    this.lowKept = reals(modes * outer)
    this.upKept = reals(modes * outer)
    this.edgeDiagonal = reals(modes)
    this.edgeAcross = reals(modes * modes)

    this.byU = reals(n)
    this.byR = reals(n)
    this.books = reals(2 * BOOKS * cells)
    this.oil = reals(2 * cells)
    this.phiH = reals(cells)
    this.phiPsi = reals(cells)
    this.hR = reals(cells)
    this.phiR = reals(cells)
    this.forceH = reals(4)
    this.forcePhi = reals(4)
    this.fluxH = reals(4)
    this.fluxPhi = reals(4)
    this.fluxAlcoholH = reals(4)
    this.fluxAlcoholPhi = reals(4)
    this.pressureH = reals(4)
    this.pressurePhi = reals(4)
    // The limiter's third slot may lie beyond the four.
    this.upH = reals(5)
    this.upPhi = reals(5)

    this.band = new Band(cells, block, FAR)
    this.border = reals(n)
    this.kept = reals(modes * modes)

    this.curves = reals(intervals * CLOSURES * 4)
    this.stages = reals(stages * stride)
    this.weights = reals(stages)
    this.vectors = reals(VECTORS * stride)
  }
}

/** Vectors of the unknowns besides the stages: those of a stepper, and some to spare. */
export const VECTORS: i32 = 40
