import type { FilmMesh } from './filmMesh.ts'
import type { OilMotion } from './oilMotion.ts'

/** m = STEP·c·√(D θ): amount per area (m) behind a surface that has had the concentration c for the time θ. */
const STEP = 2 / Math.sqrt(Math.PI)

/**
 * 1 − √(1 − ρ) ≈ Σ w ρ^p for 0 ≤ ρ ≤ 0.99, within 0.004 (least largest error, by linear programming): what is still
 * missing of the uptake behind an older surface, as a sum of remnants that die out as powers of the age. The powers are
 * products of squares. Totals behind a concentration that falls, returns or swings come out within 1.3 % of the largest.
 */
const POWERS = [1, 4, 20, 144] as const
const WEIGHTS = [0.54426319, 0.28687272, 0.07785229, 0.0910118] as const
const MODES = POWERS.length

/** Places in the list of fields that the oil carries with it; content and reach per area times R², as X. */
const CONTENT = 0
const REACH = 1
const SURFACE = 2
const REMNANT = 3
const FIELDS = REMNANT + MODES - 1

/**
 * What passes between the film and the oil under it, diffuses there and is carried along: alcohol, or warmth. Of alcohol,
 * c is the volume per volume of oil, m the volume per area; of warmth, c is a temperature and m that times a depth. Below
 * its surface the oil obeys
 *
 *     ∂t c + u ∂r c − z (div u) ∂z c = D ∂zz c
 *
 * Stretching takes the depth coordinate with it: in x = z/2ℓ, with a reach ℓ that obeys ∂t ℓ + div(ℓ u) = D/2ℓ, the
 * profile behind a constant surface concentration c₀ is erfc x for ever, and what differs from it dies out as powers of
 * the age θ = ℓ²/D. So the oil of a cell is described by four numbers that no stretching changes (c₀ and remnants B of
 * former surface concentrations), its reach ℓ, and its content, both gathered and thinned as the oil is:
 *
 *     m = ℓ (STEP c₀ + Σ B)
 *
 * A change δ of c₀ adds −δ STEP w_j to B_j; over dt, B_j falls by (θ/(θ + dt))^p_j. The content is booked and so conserved;
 * the last remnant is what it leaves. What a step takes up is linear in the surface concentration that it has, and exact
 * for a sudden contact: STEP δ √(D dt). It is laid at the start of a step
 * (`take`, `back`: rate = take·c − back); what has really passed is booked in the state and taken over by `commit`.
 * The edge of the drop moves with the oil's surface, so that no oil passes under it.
 */
export class OilLayer {
  /** Rate of uptake per cell in units of X = h R² (m³/s): take·c − back, c the concentration that the film lends to the surface. */
  readonly take: Float64Array
  readonly back: Float64Array
  private diffusivity = 0
  /** Largest size of a surface value: where what passes is given it follows, and a drop that all but vanishes may ask for any. */
  private most = Number.POSITIVE_INFINITY
  /** The oil as it was accepted last, and as a step under way carries it: FIELDS rows of cells. */
  private readonly kept: Float64Array
  private readonly moved: Float64Array
  /** Books of the state at the last acceptance, m³. */
  private readonly booked: Float64Array
  /** What a step would take with an unchanged surface concentration, m. */
  private readonly unchanged: Float64Array
  /** Reach and fading of the age by the end of the step under way. */
  private readonly reaching: Float64Array
  /** What a step takes per sudden change of the surface concentration, m. */
  private readonly sudden: Float64Array
  private readonly ratio: Float64Array
  /** By z, of the values in the cells that are being carried; none in the first and the last. */
  private readonly slope: Float64Array

  constructor(
    private readonly mesh: FilmMesh,
    private readonly motion: OilMotion,
  ) {
    const N = mesh.cells
    const cells = () => new Float64Array(N)
    ;[this.take, this.back, this.booked, this.unchanged] = [cells(), cells(), cells(), cells()]
    ;[this.reaching, this.ratio, this.slope, this.sudden] = [cells(), cells(), cells(), cells()]
    this.kept = new Float64Array(FIELDS * N)
    this.moved = new Float64Array(FIELDS * N)
  }

  /** A bath that has taken up nothing; diffusivity of the alcohol in the oil in m²/s. */
  reset(diffusivity: number, most = Number.POSITIVE_INFINITY): void {
    this.diffusivity = diffusivity
    this.most = most
    for (const part of [this.take, this.back, this.booked, this.unchanged]) part.fill(0)
    for (const part of [this.reaching, this.ratio, this.slope, this.sudden]) part.fill(0)
    for (const part of [this.kept, this.moved]) part.fill(0)
  }

  /** Lays `take` and `back` for a step of h seconds, for which the oil's motion has been laid. */
  lay(h: number): void {
    const { mesh, motion, moved, take, back, unchanged, reaching, ratio, fade, diffusivity: D } = this
    const N = mesh.cells
    this.carry()
    const { thinning } = motion
    const square = motion.laidR * motion.laidR
    for (let i = 0; i < N; i++) {
      const within = 0.5 * D * h * thinning[i]!
      const old = moved[REACH * N + i]! / square
      const now = Math.sqrt(old * old + within)
      const aged = (old / now) * (old / now)
      ratio[i] = aged
      this.fill(aged)
      const c = moved[SURFACE * N + i]!
      let stays = STEP * c * (now - old)
      let rest = moved[CONTENT * N + i]! / square - STEP * c * old
      for (let j = 0; j < MODES - 1; j++) {
        const remnant = moved[(REMNANT + j) * N + i]!
        stays += remnant * (now * fade[j]! - old)
        rest -= remnant * old
      }
      if (old > 0) stays += rest * ((now / old) * fade[MODES - 1]! - 1)
      const sudden = STEP * Math.sqrt(within)
      this.sudden[i] = sudden
      unchanged[i] = stays
      reaching[i] = now
      take[i] = (sudden / h) * square
      back[i] = ((sudden * c - stays) / h) * square
    }
  }

  /** Powers of an age ratio; see POWERS. */
  private readonly fade = new Float64Array(MODES)
  private fill(ratio: number): void {
    const r2 = ratio * ratio
    const r4 = r2 * r2
    const r16 = r4 * r4 * r4 * r4
    const r64 = r16 * r16 * r16 * r16
    const { fade } = this
    fade[0] = ratio
    fade[1] = r4
    fade[2] = r16 * r4
    fade[3] = r64 * r64 * r16
  }

  /** Carries the fields with the oil: a conservative remapping, limited so that nothing overshoots. */
  private carry(): void {
    const { motion, mesh } = this
    for (let k = 0; k < FIELDS; k++) this.remap(k * mesh.cells, k <= REACH ? motion.twice : motion.width)
  }

  /** What of the piecewise linear values from `at` on comes into each cell, divided by `width`. */
  private remap(at: number, width: Float64Array): void {
    const { kept, moved, slope } = this
    const { cell, along, lever, twice, gap } = this.motion
    const N = this.mesh.cells
    let left = (kept[at + 1]! - kept[at]!) / gap[0]!
    for (let i = 1; i < N - 1; i++) {
      const right = (kept[at + i + 1]! - kept[at + i]!) / gap[i]!
      slope[i] = left * right > 0 ? (2 * left * right) / (left + right) : 0
      left = right
    }
    let c = 0
    /** ∫ values dz from 0 to the left face of c. */
    let before = 0
    let last = 0
    for (let f = 1; f <= N; f++) {
      const end = cell[f]!
      for (; c < end; c++) before += twice[c]! * kept[at + c]!
      // Linear in z about the cell's middle: the integral from its left face to z.
      const sum = before + along[f]! * (kept[at + c]! + slope[c]! * lever[f]!)
      moved[at + f - 1] = (sum - last) / width[f - 1]!
      last = sum
    }
  }

  /**
   * Takes over an accepted step.
   * @param y state; `at` the place of the first cell's book in it (what the oil has taken in that cell so far, m³, as X)
   */
  commit(y: Float64Array, at: number): void {
    const { mesh, kept, moved, booked, unchanged, reaching, ratio, sudden, fade, motion, most } = this
    const N = mesh.cells
    const square = motion.laidR * motion.laidR
    for (let i = 0; i < N; i++) {
      const passed = y[at + i]! - booked[i]!
      booked[i] = y[at + i]!
      const now = reaching[i]!
      this.fill(ratio[i]!)
      const before = moved[SURFACE * N + i]!
      const asked = (passed / square - unchanged[i]!) / sudden[i]!
      const change = Math.abs(before + asked) > most ? Math.sign(before + asked) * most - before : asked
      kept[SURFACE * N + i] = before + change
      for (let j = 0; j < MODES - 1; j++) {
        const k = (REMNANT + j) * N + i
        kept[k] = (moved[k]! - STEP * WEIGHTS[j]! * change) * fade[j]!
      }
      kept[CONTENT * N + i] = moved[CONTENT * N + i]! + passed
      kept[REACH * N + i] = now * square
    }
  }

  /** Surface concentration that the oil of cell i had in the last step. */
  surface(i: number): number {
    return this.kept[SURFACE * this.mesh.cells + i]!
  }

  /** What the oil of cell i holds per area, m. */
  content(i: number, R: number): number {
    return this.kept[CONTENT * this.mesh.cells + i]! / (R * R)
  }
}
