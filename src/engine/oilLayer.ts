/** What the oil under a drop takes up: alcohol, or warmth. */
import { clear, type Reals, reals } from './memory.ts'
import { LAID_R, type OilMotion } from './oilMotion.ts'

/** m = UNIT·c·√(D θ), 2/√π: amount per area (m) behind a surface that has had the concentration c for the time θ. */
const UNIT: f64 = 1.1283791670955126

/**
 * 1 − √(1 − ρ) ≈ Σ w ρ^p, p = 1, 4, 20, 144, for 0 ≤ ρ ≤ 0.99, within 0.004 (least largest error, by linear programming): what
 * is still missing of the uptake behind an older surface, as a sum of remnants that die out as powers of the age. The powers
 * are products of squares. Totals behind a concentration that falls, returns or swings come out within 1.3 % of the largest.
 * What the last one weighs is what the others leave.
 */
const WEIGHT_1: f64 = 0.54426319
const WEIGHT_4: f64 = 0.28687272
const WEIGHT_20: f64 = 0.07785229
const MODES: i32 = 4

/** Places in the list of fields that the oil carries with it; content and reach per area times R², as X. */
const CONTENT: i32 = 0
const REACH: i32 = 1
const SURFACE: i32 = 2
const REMNANT: i32 = 3
const FIELDS: i32 = 6

/** Places in `set`: diffusivity, m²/s; largest size of a surface value. */
const DIFFUSIVITY: i32 = 0
const MOST: i32 = 1

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
 *     m = ℓ (UNIT c₀ + Σ B)
 *
 * A change δ of c₀ adds −δ UNIT w_j to B_j; over dt, B_j falls by (θ/(θ + dt))^p_j. The content is booked and so conserved;
 * the last remnant is what it leaves. What a step takes up is linear in the surface concentration that it has, and exact
 * for a sudden contact: UNIT δ √(D dt). It is laid at the start of a step
 * (`take`, `back`: rate = take·c − back); what has really passed is booked in the state and taken over by `commit`.
 * The edge of the drop moves with the oil's surface, so that no oil passes under it.
 */
export class OilLayer {
  readonly set: Reals
  /** Rate of uptake per cell in units of X = h R² (m³/s): take·c − back, c the concentration that the film lends to the surface. */
  readonly take: Reals
  readonly back: Reals
  /** The oil as it was accepted last, and as a step under way carries it: FIELDS rows of cells. */
  readonly kept: Reals
  readonly moved: Reals
  /** Books of the state at the last acceptance, m³. */
  readonly booked: Reals
  /** What a step would take with an unchanged surface concentration, m. */
  readonly unchanged: Reals
  /** Reach and fading of the age by the end of the step under way. */
  readonly reaching: Reals
  readonly ratio: Reals
  /** What a step takes per sudden change of the surface concentration, m. */
  readonly sudden: Reals
  /** By z, of the values in the cells that are being carried; none in the first and the last. */
  readonly slope: Reals
  /** Powers of an age ratio. */
  readonly fade: Reals
  /** What has passed so far in the place of each cell where no state books it, m³. */
  readonly passed: Reals

  constructor(readonly cells: i32) {
    this.set = reals(2)
    this.take = reals(cells)
    this.back = reals(cells)
    this.kept = reals(FIELDS * cells)
    this.moved = reals(FIELDS * cells)
    this.booked = reals(cells)
    this.unchanged = reals(cells)
    this.reaching = reals(cells)
    this.ratio = reals(cells)
    this.sudden = reals(cells)
    this.slope = reals(cells)
    this.fade = reals(MODES)
    this.passed = reals(cells)
  }
}

/**
 * Oil that has taken up nothing; diffusivity in m²/s. Where what passes is given the surface value follows, and a drop that all
 * but vanishes may ask for any: `most` is the largest.
 */
export function emptyLayer(o: OilLayer, diffusivity: f64, most: f64): void {
  const cells = o.cells
  o.set[DIFFUSIVITY] = diffusivity
  o.set[MOST] = most
  clear(o.take, 0, cells)
  clear(o.back, 0, cells)
  clear(o.kept, 0, FIELDS * cells)
  clear(o.moved, 0, FIELDS * cells)
  clear(o.booked, 0, cells)
  clear(o.unchanged, 0, cells)
  clear(o.reaching, 0, cells)
  clear(o.ratio, 0, cells)
  clear(o.sudden, 0, cells)
  clear(o.slope, 0, cells)
  clear(o.fade, 0, MODES)
  clear(o.passed, 0, cells)
}

/** Lays `take` and `back` for a step of h seconds, for which the oil's motion has been laid. */
export function layLayer(o: OilLayer, motion: OilMotion, h: f64): void {
  const moved = o.moved
  const fade = o.fade
  const cells = o.cells
  const D = o.set[DIFFUSIVITY]
  const laidR = motion.now[LAID_R]
  const square = laidR * laidR
  carry(o, motion)
  for (let i = 0; i < cells; i++) {
    const within = 0.5 * D * h * motion.thinning[i]
    const old = moved[REACH * cells + i] / square
    const reach = Math.sqrt(old * old + within)
    const aged = (old / reach) * (old / reach)
    o.ratio[i] = aged
    layFade(fade, aged)
    const c = moved[SURFACE * cells + i]
    let stays = UNIT * c * (reach - old)
    let rest = moved[CONTENT * cells + i] / square - UNIT * c * old
    for (let j = 0; j < MODES - 1; j++) {
      const remnant = moved[(REMNANT + j) * cells + i]
      stays += remnant * (reach * fade[j] - old)
      rest -= remnant * old
    }
    if (old > 0) stays += rest * ((reach / old) * fade[MODES - 1] - 1)
    const sudden = UNIT * Math.sqrt(within)
    o.sudden[i] = sudden
    o.unchanged[i] = stays
    o.reaching[i] = reach
    o.take[i] = (sudden / h) * square
    o.back[i] = ((sudden * c - stays) / h) * square
  }
}

function layFade(fade: Reals, ratio: f64): void {
  const r2 = ratio * ratio
  const r4 = r2 * r2
  const r16 = r4 * r4 * r4 * r4
  const r64 = r16 * r16 * r16 * r16
  fade[0] = ratio
  fade[1] = r4
  fade[2] = r16 * r4
  fade[3] = r64 * r64 * r16
}

/** Carries the fields with the oil: a conservative remapping, limited so that nothing overshoots. */
function carry(o: OilLayer, motion: OilMotion): void {
  for (let k = 0; k < FIELDS; k++) remap(o, motion, k * o.cells, k <= REACH ? motion.twice : motion.width)
}

/** What of the piecewise linear values from `at` on comes into each cell, divided by `width`. */
function remap(o: OilLayer, motion: OilMotion, at: i32, width: Reals): void {
  const kept = o.kept
  const moved = o.moved
  const slope = o.slope
  const along = motion.along
  const lever = motion.lever
  const twice = motion.twice
  const gap = motion.gap
  const cells = o.cells
  let left = (kept[at + 1] - kept[at]) / gap[0]
  for (let i = 1; i < cells - 1; i++) {
    const right = (kept[at + i + 1] - kept[at + i]) / gap[i]
    slope[i] = left * right > 0 ? (2 * left * right) / (left + right) : 0
    left = right
  }
  let c = 0
  /** ∫ values dz from 0 to the left face of c. */
  let before: f64 = 0
  let last: f64 = 0
  for (let f = 1; f <= cells; f++) {
    const end = motion.cell[f] as i32
    for (; c < end; c++) before += twice[c] * kept[at + c]
    // Linear in z about the cell's middle: the integral from its left face to z.
    const sum = before + along[f] * (kept[at + c] + slope[c] * lever[f])
    moved[at + f - 1] = (sum - last) / width[f - 1]
    last = sum
  }
}

/** Takes over an accepted step. @param y where the books stand; `at` the place of the first cell's (taken so far in that cell, m³, as X) */
export function commitLayer(o: OilLayer, motion: OilMotion, y: Reals, at: i32): void {
  const kept = o.kept
  const moved = o.moved
  const fade = o.fade
  const cells = o.cells
  const most = o.set[MOST]
  const laidR = motion.now[LAID_R]
  const square = laidR * laidR
  for (let i = 0; i < cells; i++) {
    const passed = y[at + i] - o.booked[i]
    o.booked[i] = y[at + i]
    layFade(fade, o.ratio[i])
    const before = moved[SURFACE * cells + i]
    const asked = (passed / square - o.unchanged[i]) / o.sudden[i]
    const wanted = before + asked
    const change = Math.abs(wanted) > most ? (wanted < 0 ? -most : most) - before : asked
    kept[SURFACE * cells + i] = before + change
    for (let j = 0; j < MODES - 1; j++) {
      const weight = j === 0 ? WEIGHT_1 : j === 1 ? WEIGHT_4 : WEIGHT_20
      const k = (REMNANT + j) * cells + i
      kept[k] = (moved[k] - UNIT * weight * change) * fade[j]
    }
    kept[CONTENT * cells + i] = moved[CONTENT * cells + i] + passed
    kept[REACH * cells + i] = o.reaching[i] * square
  }
}

/** Surface concentration that the oil of cell i had in the last step. */
export function surfaceOf(o: OilLayer, i: i32): f64 {
  return o.kept[SURFACE * o.cells + i]
}

/** What the oil of cell i holds per area, m. */
export function contentOf(o: OilLayer, i: i32, R: f64): f64 {
  return o.kept[CONTENT * o.cells + i] / (R * R)
}
